//! A function of each of a few values.
//!
//! As `<[T; N]>::map`, which the compiler makes of a dozen functions for every closure: over a hundred of them weighed 12 kB (`gzip -9`) in the
//! WebAssembly.

/// Arrays of a few values.
pub trait Each<T> {
    /// As many of another kind.
    type Of<U>;

    /// What a function makes of each, in their order.
    fn each<U>(self, f: impl FnMut(T) -> U) -> Self::Of<U>;
}

macro_rules! each {
    ($($n:literal: $($x:ident)+;)+) => {$(
        impl<T> Each<T> for [T; $n] {
            type Of<U> = [U; $n];

            #[inline(always)]
            fn each<U>(self, mut f: impl FnMut(T) -> U) -> [U; $n] {
                let [$($x),+] = self;
                [$(f($x)),+]
            }
        }
    )+};
}

each! {
    2: a b;
    3: a b c;
    4: a b c d;
    5: a b c d e;
    6: a b c d e f_;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_map() {
        let mut seen = 0;
        let mut count = |k: i32| {
            seen += k;
            (k, seen)
        };
        assert_eq!([1, 2, 3].each(&mut count), [(1, 1), (2, 3), (3, 6)]);
        assert_eq!([4, 5].each(&mut count), [4, 5].map(|k| (k, if k == 4 { 10 } else { 15 })));
    }
}

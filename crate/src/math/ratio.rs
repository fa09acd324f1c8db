//! Exact fractions: what a builder types is kept exact until the one rounding to `f64` at the end.

/// A reduced fraction of two 128-bit integers, the denominator positive. Every operation that would not fit answers `None`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ratio {
    n: i128,
    d: i128,
}

impl Ratio {
    /// Nought.
    pub const ZERO: Ratio = Ratio { n: 0, d: 1 };

    /// `n / d`, reduced; `None` when `d` is nought or negative, or `n` the one integer that has no opposite.
    pub fn new(n: i128, d: i128) -> Option<Ratio> {
        if d <= 0 || n == i128::MIN {
            return None;
        }
        let (mut a, mut b) = (n.unsigned_abs(), d.unsigned_abs());
        while b != 0 {
            (a, b) = (b, a % b);
        }
        let g = i128::try_from(a).ok()?;
        Some(Ratio { n: n / g, d: d / g })
    }

    /// Sum.
    pub fn plus(self, o: Ratio) -> Option<Ratio> {
        Ratio::new(self.n.checked_mul(o.d)?.checked_add(o.n.checked_mul(self.d)?)?, self.d.checked_mul(o.d)?)
    }

    /// Difference.
    pub fn minus(self, o: Ratio) -> Option<Ratio> {
        self.plus(Ratio { n: -o.n, d: o.d })
    }

    /// Product.
    pub fn times(self, o: Ratio) -> Option<Ratio> {
        // Reduced crosswise first, so that it overflows only where the answer does.
        let (p, q) = (Ratio::new(self.n, o.d)?, Ratio::new(o.n, self.d)?);
        Ratio::new(p.n.checked_mul(q.n)?, p.d.checked_mul(q.d)?)
    }

    /// Quotient; `None` when `o` is not positive.
    pub fn over(self, o: Ratio) -> Option<Ratio> {
        self.times(Ratio::new(o.d, o.n)?)
    }

    /// The same without its sign.
    pub fn size(self) -> Ratio {
        Ratio { n: self.n.abs(), d: self.d }
    }

    /// Below nought?
    pub fn negative(self) -> bool {
        self.n < 0
    }

    /// The integer that this is, if it is one.
    pub fn integer(self) -> Option<i128> {
        (self.d == 1).then_some(self.n)
    }

    /// Numerator and denominator.
    pub fn parts(self) -> (i128, i128) {
        (self.n, self.d)
    }

    /// The nearest `f64`, ties to even: rounded once.
    pub fn to_f64(self) -> f64 {
        let (n, d) = (self.n.unsigned_abs(), self.d.unsigned_abs());
        let (mut q, mut r, mut scale) = (n / d, n % d, 1.0);
        // Long division to 60 bits and more, then a last bit that says whether anything is left: the cast rounds correctly.
        while q < 1 << 60 && r != 0 && scale > 1e-60 {
            r <<= 1;
            q = (q << 1) | u128::from(r >= d);
            if r >= d {
                r -= d;
            }
            scale *= 0.5;
        }
        let size = (q | u128::from(r != 0)) as f64 * scale;
        if self.n < 0 { -size } else { size }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_once_and_to_even() {
        let r = |n, d| Ratio::new(n, d).map(Ratio::to_f64);
        // Literals are correctly rounded by the compiler.
        assert_eq!(r(1, 10), Some(0.1));
        assert_eq!(r(-1_317_625, 10_000), Some(-131.7625));
        assert_eq!(r(1, 3), Some(1.0 / 3.0));
        // 2^53 + 1 lies between two floats: to the even one; with anything more, up.
        assert_eq!(r((1 << 53) + 1, 1), Some(9_007_199_254_740_992.0));
        assert_eq!(r(((1 << 53) + 1) * 1000 + 1, 1000), Some(9_007_199_254_740_994.0));
        assert_eq!(r(i128::MAX, 1), Some(i128::MAX as f64));
        assert_eq!(r(1, i128::MAX), Some(1.0 / i128::MAX as f64));
        assert_eq!(r(1, 0), None);
    }
}

//! Vectors, the closed linkage, sines, exact fractions, roots, lists in order. Knows no car.

pub mod closure;
pub mod each;
pub mod order;
pub mod ratio;
pub mod root;
pub(crate) mod trig;
pub mod vector;

/// `x`, but no less than `lo` and no more than `hi`; NaN stays NaN. Like `clamp`, but for every type and without a panic.
#[inline(always)]
pub fn within<T: PartialOrd>(x: T, lo: T, hi: T) -> T {
    if x < lo {
        lo
    } else if x > hi {
        hi
    } else {
        x
    }
}

//! Where a margin changes its sign, and what passes between.

use crate::geometry::within;

/// First and last place of the longest run of what passes.
pub(super) fn longest_run<T>(seen: &[T], passes: impl Fn(&T) -> bool) -> Option<(usize, usize)> {
    let mut best: Option<(usize, usize)> = None;
    let mut from = None;
    for (i, s) in seen.iter().enumerate() {
        if !passes(s) {
            from = None;
            continue;
        }
        let start = *from.get_or_insert(i);
        if best.is_none_or(|(a, b)| i - start > b - a) {
            best = Some((start, i));
        }
    }
    best
}

/// Where `f` changes its sign between `a` and `b`: two places less than 0.01 apart, in the order of `a` and `b`.
///
/// Regula falsi with the Illinois rule, bisection where `f` is not finite; each guess goes a little past the root, towards the
/// farther end, so that both ends close in.
pub(super) fn cross([mut a, mut b]: [f64; 2], [mut fa, mut fb]: [f64; 2], f: &dyn Fn(f64) -> f64) -> (f64, f64) {
    let rising = fb >= 0.0;
    let mut last = 0;
    for i in 0..40 {
        if b - a < 0.01 {
            break;
        }
        let even = i % 5 == 4 || !(fa.is_finite() && fb.is_finite());
        let guess = if even { (a + b) / 2.0 } else { (a * fb - b * fa) / (fb - fa) };
        let past = if b - guess > guess - a { guess + 0.004 } else { guess - 0.004 };
        let x = within(past, a + 0.003, b - 0.003);
        let y = f(x);
        if (y >= 0.0) == rising {
            (b, fb) = (x, y);
            fa *= if last == 1 { 0.5 } else { 1.0 };
            last = 1;
        } else {
            (a, fa) = (x, y);
            fb *= if last == -1 { 0.5 } else { 1.0 };
            last = -1;
        }
    }
    (a, b)
}

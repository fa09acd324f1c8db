//! Where a margin changes its sign, where it is largest, and what passes between.

use crate::math::within;

/// First and last place of the longest run of what passes.
pub fn longest_run<T>(seen: &[T], passes: impl Fn(&T) -> bool) -> Option<(usize, usize)> {
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

/// Where `f` changes its sign between `a` and `b`: two places less than `near` apart, in the order of `a` and `b`.
///
/// Regula falsi with the Illinois rule, bisection where `f` is not finite; each guess goes a little past the root, towards the
/// farther end, so that both ends close in.
pub fn cross([mut a, mut b]: [f64; 2], [mut fa, mut fb]: [f64; 2], near: f64, f: &mut dyn FnMut(f64) -> f64) -> (f64, f64) {
    let rising = fb >= 0.0;
    let mut last = 0;
    for i in 0..60 {
        if (b - a).abs() < near {
            break;
        }
        let even = i % 5 == 4 || !(fa.is_finite() && fb.is_finite());
        let guess = if even { (a + b) / 2.0 } else { (a * fb - b * fa) / (fb - fa) };
        let way = (b - a).signum();
        let past = if (b - guess).abs() > (guess - a).abs() { guess + way * 0.4 * near } else { guess - way * 0.4 * near };
        let (p, q) = (a + way * 0.3 * near, b - way * 0.3 * near);
        let x = within(past, p.min(q), p.max(q));
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

/// Where `f`, with one hill between `a` and `b`, is largest, and how large: golden section, `steps` looks after the first two.
pub fn summit([mut a, mut b]: [f64; 2], steps: usize, f: &mut dyn FnMut(f64) -> f64) -> (f64, f64) {
    const SHARE: f64 = 0.618_033_988_749_895;
    let (mut p, mut q) = (b - (b - a) * SHARE, a + (b - a) * SHARE);
    let (mut fp, mut fq) = (f(p), f(q));
    for _ in 0..steps {
        if fp > fq {
            (b, q, fq) = (q, p, fp);
            p = b - (b - a) * SHARE;
            fp = f(p);
        } else {
            (a, p, fp) = (p, q, fq);
            q = a + (b - a) * SHARE;
            fq = f(q);
        }
    }
    if fp > fq { (p, fp) } else { (q, fq) }
}

//! The lower arm's angle that brings a point to a height.

use crate::math::root::{cross, summit};
use crate::math::within;
use crate::suspension::RanOut;
use std::f64::consts::PI;

/// Largest step of the search, radians: no suspension's curves turn twice within it.
const STEP: f64 = 0.1;
/// How closely an angle is found, radians: 1e-10 mm at an arm of half a metre.
const NEAR: f64 = 2e-13;
/// Where the search for the last angle that can be taken gives up, radians.
const EDGE: f64 = 1e-9;

/// The angle nearest to `start`, walked to from there without a gap, at which `height` (mm, as a function of the lower arm's angle)
/// comes to `target`; `rise` its derivative at the start, roughly.
///
/// Bracketed by steps of at most 0.1 rad, then by [`cross`]. Errors: what `height` says where it ends before the target is reached;
/// [`RanOut::LowerArm`] where the height turns back before.
pub(crate) fn arm_angle(target: f64, start: f64, rise: f64, height: &mut dyn FnMut(f64) -> Result<f64, RanOut>) -> Result<f64, RanOut> {
    let (mut a, mut fa) = (start, height(start)? - target);
    if fa == 0.0 {
        return Ok(start);
    }
    // Which way to go, and which sign the target's far side has.
    let far = -fa.signum();
    let way = if rise < 0.0 { -far } else { far };
    let (mut before, mut most) = (a, STEP);
    let mut step = within((1.05 * fa / rise).abs(), EDGE, STEP);
    while (a - start).abs() < PI {
        let b = a + way * step;
        let Ok(z) = height(b) else {
            most = step / 2.0;
            if most < EDGE {
                return Err(height(b).err().unwrap_or(RanOut::LowerArm));
            }
            step = most;
            continue;
        };
        let fb = z - target;
        if fb * far >= 0.0 {
            return Ok(between([a, b], [fa, fb], target, height));
        }
        if (fb - fa) * far <= 0.0 {
            let (x, most) = summit([before, b], 60, &mut |x| height(x).map_or(f64::NEG_INFINITY, |z| (z - target) * far));
            let fx = most * far;
            return if most >= 0.0 { Ok(between([a, x], [fa, fx], target, height)) } else { Err(RanOut::LowerArm) };
        }
        step = within((1.2 * fb / (fb - fa) * step).abs(), EDGE, most);
        (before, a, fa) = (a, b, fb);
    }
    Err(RanOut::LowerArm)
}

/// Steps of the secant before the slower search that cannot fail: a smooth curve needs four or five.
const SECANTS: usize = 10;

/// The angle between two at which the height comes to `target`: by secants, which must stay between them; else by [`cross`].
fn between(ends: [f64; 2], values: [f64; 2], target: f64, height: &mut dyn FnMut(f64) -> Result<f64, RanOut>) -> f64 {
    let ([low, high], [mut a, mut b], [mut fa, mut fb]) = ([ends[0].min(ends[1]), ends[0].max(ends[1])], ends, values);
    for _ in 0..SECANTS {
        let next = b - fb * (b - a) / (fb - fa);
        if !(next >= low && next <= high) {
            break;
        }
        if (next - b).abs() < NEAR {
            return next;
        }
        let Ok(z) = height(next) else { break };
        (a, fa, b, fb) = (b, fb, next, z - target);
        if fb == 0.0 {
            return b;
        }
    }
    let (a, b) = cross(ends, values, NEAR, &mut |x| height(x).map_or(f64::NAN, |z| z - target));
    (a + b) / 2.0
}

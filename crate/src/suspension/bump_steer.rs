//! Bump steer of one corner: how its toe changes with travel, and where the rod's inner joint would have to be.
//!
//! Toe change is toe(z) − toe(0), toe-in positive; z the wheel centre's height above the reference, the rack held.

use crate::math::each::Each;
use crate::math::root::{cross, summit};
use crate::math::trig::Angle;
use crate::math::vector::Vec3;
use crate::math::within;
use crate::suspension::RanOut;
use crate::suspension::band::Band;
use crate::suspension::corner::Corner;
use crate::suspension::held::held;
use std::f64::consts::PI;

/// The largest toe change over a travel band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Wheel travel there, mm.
    pub travel: f64,
    /// Toe change there, radians, toe-in positive.
    pub change: f64,
}

/// Toe changes (radians, toe-in positive) at [`LOBES`] travels: whichever grows within its ± may become the largest.
pub type Lobes = [f64; LOBES];
/// The ends of the band, the middle of each half, and where the largest was found.
pub const LOBES: usize = 5;

/// Intervals in which the curve is looked at before each turning point is found: a curve of a suspension turns once or twice.
const INTERVALS: usize = 32;

impl Corner {
    /// Slope of the toe curve at ride height, radians per mm of wheel travel, exact; rack at `s`.
    pub fn bump_slope(&self, s: f64) -> Result<f64, RanOut> {
        let r = self.rates(self.arm_at(0.0, s)?, s)?;
        if !(r.rise.abs() > 1e-6) {
            return Err(RanOut::LowerArm);
        }
        Ok(r.toe / r.rise)
    }

    /// Toe change at one height of the wheel centre, radians, rack at `s`.
    pub fn toe_change(&self, travel: f64, s: f64) -> Result<f64, RanOut> {
        Ok(self.at_travel(travel, s)?.toe() - self.at_travel(0.0, s)?.toe())
    }

    /// Toe changes at the ends of the travel band ± `band` mm, at the middle of each half and at the travel `peak`; rack at mid-travel.
    pub fn lobes(&self, band: f64, peak: f64) -> Result<Lobes, RanOut> {
        let still = self.at_travel(0.0, 0.0)?.toe();
        let mut changes = [-band, -band / 2.0, band / 2.0, band, peak];
        for change in &mut changes {
            *change = self.at_travel(*change, 0.0)?.toe() - still;
        }
        Ok(changes)
    }

    /// Largest toe change over the travel band `[lowest, highest]` (mm), rack at `s`: at an end of the band, or where the exact
    /// derivative is nought between two of 33 angles of the lower arm. The earlier one where two are alike.
    pub fn bump_peak(&self, [low, high]: [f64; 2], s: f64) -> Result<Peak, RanOut> {
        let [still, from, to] = [0.0, low, high].each(|z| self.arm_at(z, s));
        let (still, from, to) = (self.at_arm(still?, s)?.toe(), from?, to?);
        let mut peak = Peak { travel: 0.0, change: 0.0 };
        let mut see = |arm: f64| -> Result<(), RanOut> {
            let pose = self.at_arm(arm, s)?;
            let change = pose.toe() - still;
            if change.abs() > peak.change.abs() {
                peak = Peak { travel: pose.travel(), change };
            }
            Ok(())
        };
        let mut before = (from, self.rates(from, s)?.toe);
        see(from)?;
        for k in 1..=INTERVALS {
            let arm = from + (to - from) * k as f64 / INTERVALS as f64;
            let here = (arm, self.rates(arm, s)?.toe);
            if (here.1 >= 0.0) != (before.1 >= 0.0) {
                // The curve is flat there: half the digits are enough for all of its own.
                let slope = &mut |arm: f64| self.rates(arm, s).map_or(f64::NAN, |r| r.toe);
                let (a, b) = cross([before.0, here.0], [before.1, here.1], 1e-10, slope);
                see((a + b) / 2.0)?;
            }
            before = here;
        }
        see(to)?;
        Ok(peak)
    }
}

/// Roll steer at rest: dδ̄/droll, plain (rad/rad), from both corners' slopes of toe against travel (rad/mm); roll positive right side
/// down (ISO 8855), so that the left wheel's travel is −(track/2)·tan(roll) and the right one's +; δ̄ positive to the left.
pub fn roll_steer([left, right]: [f64; 2], track: f64) -> f64 {
    track / 4.0 * (left + right)
}

/// A place of the inner joint, from where it is fitted: mm up and towards the car's centre plane.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Shift {
    /// Up, negative down.
    pub up: f64,
    /// Towards the centre plane, negative outboard.
    pub inboard: f64,
}

impl Shift {
    /// How far that is, mm.
    pub fn distance(self) -> f64 {
        self.up.hypot(self.inboard)
    }
}

/// A better place of the inner joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Where, from the joint as fitted.
    pub shift: Shift,
    /// By how much the distance of the two joints' places would change over the band with toe held, at most, mm: what was minimised.
    pub slack: f64,
    /// The largest toe change that is left, solved anew with the joint there and the rod made to fit.
    pub peak: Peak,
}

/// Heights at which the outer joint's arc is taken.
const HEIGHTS: usize = 41;
/// How far up, down, in and out a better place is looked for, mm.
pub(crate) const WINDOW: f64 = 200.0;
/// A toe change where there is none, radians: worse than any.
const BEYOND: f64 = 1e3;
/// Looks of a golden section: 200 mm come down to 1e-7 mm.
const LOOKS: usize = 46;

/// The arc of the outer joint with toe held at static, over even heights of the wheel centre.
#[derive(Debug, Clone)]
pub struct Arc {
    outer: [Vec3; HEIGHTS],
    still: Vec3,
    inner: Vec3,
}

impl Arc {
    /// Over the travel band `[lowest, highest]`, mm.
    pub fn new(corner: &Corner, [low, high]: [f64; 2]) -> Result<Arc, RanOut> {
        let mut outer = [Vec3::default(); HEIGHTS];
        for (k, place) in outer.iter_mut().enumerate() {
            *place = held(corner, low + (high - low) * k as f64 / (HEIGHTS - 1) as f64)?.outer;
        }
        Ok(Arc { outer, still: corner.points().outer, inner: corner.points().inner })
    }

    /// The largest ||O(z) − I| − |O(0) − I|| over the band with the inner joint shifted, mm.
    pub fn slack(&self, shift: Shift) -> f64 {
        let inner = self.inner + Vec3::new(0.0, -shift.inboard, shift.up);
        let rod = (self.still - inner).norm();
        let change = self.outer.iter().map(|o| ((*o - inner).norm() - rod).abs());
        change.fold(0.0, |most, change| if change > most { change } else { most })
    }

    /// The travels at which that is largest within `alike` mm, each with the change there.
    pub(crate) fn extremes(&self, shift: Shift, [low, high]: [f64; 2], alike: f64) -> impl Iterator<Item = (f64, f64)> {
        let inner = self.inner + Vec3::new(0.0, -shift.inboard, shift.up);
        let rod = (self.still - inner).norm();
        let least = self.slack(shift) - alike;
        let change = move |k: usize| (self.outer[k] - inner).norm() - rod;
        let travel = move |k: usize| low + (high - low) * k as f64 / (HEIGHTS - 1) as f64;
        (0..HEIGHTS).filter(move |k| change(*k).abs() >= least).map(move |k| (travel(k), change(k)))
    }

    /// The height within `[from, to]` at which the slack is least, by golden section.
    fn best_height(&self, inboard: f64, range: [f64; 2], looks: usize) -> (f64, f64) {
        let (up, slack) = summit(range, looks, &mut |up| -self.slack(Shift { up, inboard }));
        (up, -slack)
    }

    /// As [`Arc::best_height`], anywhere in the window: the hill is found on a grid first.
    fn best_height_anywhere(&self, inboard: f64, looks: usize) -> (f64, f64) {
        const CELLS: usize = 20;
        let at = |k: usize| WINDOW * (2.0 * k as f64 / CELLS as f64 - 1.0);
        let slack = |k: usize| self.slack(Shift { up: at(k), inboard });
        let best = (0..=CELLS).min_by(|a, b| slack(*a).total_cmp(&slack(*b))).unwrap_or(0);
        self.best_height(inboard, [at(best.saturating_sub(1)), at((best + 1).min(CELLS))], looks)
    }

    /// The height alone at which the slack is least.
    pub fn height(&self) -> (Shift, f64) {
        let (up, slack) = self.best_height_anywhere(0.0, LOOKS);
        (Shift { up, inboard: 0.0 }, slack)
    }

    /// Height and width at which the slack is least: for every width the best height, which goes along the rod's own line.
    pub fn height_and_width(&self) -> (Shift, f64) {
        const CELLS: usize = 40;
        let at = |k: usize| WINDOW * (2.0 * k as f64 / CELLS as f64 - 1.0);
        let all: Vec<(f64, f64)> = (0..=CELLS).map(|k| self.best_height_anywhere(at(k), LOOKS / 2)).collect();
        let best = (0..=CELLS).min_by(|a, b| all[*a].1.total_cmp(&all[*b].1)).unwrap_or(0);
        let (a, b) = (best.saturating_sub(1), (best + 1).min(CELLS));
        // Between two widths the best height is near the line between theirs.
        let range = |inboard: f64| {
            let share = (inboard - at(a)) / (at(b) - at(a));
            let middle = all[a].0 + (all[b].0 - all[a].0) * share;
            let room = 2.0 + (all[b].0 - all[a].0).abs() / 4.0;
            [middle - room, middle + room]
        };
        let (inboard, slack) = summit([at(a), at(b)], LOOKS, &mut |w| -self.best_height(w, range(w), LOOKS).1);
        (Shift { up: self.best_height(inboard, range(inboard), LOOKS).0, inboard }, -slack)
    }
}

impl Corner {
    /// This corner with the inner joint of its rod shifted and the rod made to fit. `None` where that makes no linkage.
    pub fn shifted(&self, shift: Shift) -> Option<Corner> {
        let outboard = -shift.inboard * self.side().sign();
        self.with_inner_moved(Vec3::new(0.0, outboard, shift.up)).ok()
    }

    /// The largest toe change with the inner joint shifted, at mid-travel of the rack; `None` where the band cannot be reached then.
    pub fn shifted_peak(&self, shift: Shift, band: [f64; 2]) -> Option<Peak> {
        self.shifted(shift)?.bump_peak(band, 0.0).ok()
    }

    fn place(&self, (shift, slack): (Shift, f64), band: [f64; 2]) -> Option<Place> {
        // At the window's edge the best place lies beyond it.
        let inside = |x: f64| x.abs() < WINDOW - 1e-3;
        let peak = self.shifted_peak(shift, band)?;
        (inside(shift.up) && inside(shift.inboard)).then_some(Place { shift, slack, peak })
    }

    /// What a shim can do: the best place of the inner joint above or below where it is, and what remains.
    /// `None` where there is none within 200 mm.
    pub fn best_height(&self, band: [f64; 2]) -> Result<Option<Place>, RanOut> {
        Ok(self.place(Arc::new(self, band)?.height(), band))
    }

    /// The best place of the inner joint by height and width. `None` where there is none within 200 mm.
    pub fn best_place(&self, band: [f64; 2]) -> Result<Option<Place>, RanOut> {
        Ok(self.place(Arc::new(self, band)?.height_and_width(), band))
    }

    /// The heights of the inner joint, from where it is fitted, between which the largest toe change stays within `limit` (radians):
    /// the slot to make. Around the best height; `None` where that is not within the limit. An end at ±200 mm is the window's.
    pub fn height_band(&self, band: [f64; 2], limit: f64) -> Result<Option<[f64; 2]>, RanOut> {
        Ok(self.height_band_about(Arc::new(self, band)?.height().0, band, limit))
    }

    /// The same with the best height known.
    pub(crate) fn height_band_about(&self, best: Shift, band: [f64; 2], limit: f64) -> Option<[f64; 2]> {
        let over = |up: f64| self.shifted_peak(Shift { up, inboard: 0.0 }, band).map_or(BEYOND, |p| p.change.abs() - limit);
        // The best by toe is near the best by length, but not the same.
        let (near, least) = summit([best.up - 3.0, best.up + 3.0], 24, &mut |up| -over(up));
        if !(least >= 0.0) {
            return None;
        }
        Some([-1.0, 1.0].each(|way| {
            let (mut from, mut step, mut here) = (near, 0.5, -least);
            loop {
                let to = within(near + way * step, -WINDOW, WINDOW);
                let there = over(to);
                if there > 0.0 {
                    // The inner end: there the limit still holds.
                    return cross([from, to], [here, there], 1e-6, &mut |up| over(up)).0;
                }
                if to.abs() >= WINDOW {
                    return to;
                }
                (from, here, step) = (to, there, 2.0 * step);
            }
        }))
    }

    /// The smallest move of the inner joint, up and in, that brings the largest toe change within `limit` (radians); no move where it is
    /// within already, `None` where none of up to 200 mm does.
    ///
    /// Looked for along directions, at 41 heights with the arms where toe held at static puts them: on each the first distance at which
    /// the limit is met; then the direction where that is smallest. About this one both are solved anew, exactly.
    pub fn least_move(&self, band: [f64; 2], limit: f64) -> Result<Option<Place>, RanOut> {
        let arc = Arc::new(self, band)?;
        self.least_move_about(&arc, arc.height_and_width().0, band, limit)
    }

    /// The same with the arc and the best place known.
    pub(crate) fn least_move_about(&self, arc: &Arc, best: Shift, band: [f64; 2], limit: f64) -> Result<Option<Place>, RanOut> {
        let quick = Band::new(self, band, HEIGHTS)?;
        let over = |shift: Shift| self.shifted_peak(shift, band).map_or(BEYOND, |p| p.change.abs() - limit);
        let roughly = |shift: Shift| quick.peak(Vec3::new(0.0, -shift.inboard, shift.up)).map_or(BEYOND, |peak| peak - limit);
        let made = |shift: Shift| self.place((shift, arc.slack(shift)), band);
        if over(Shift::default()) <= 0.0 {
            return Ok(made(Shift::default()));
        }
        let to = |angle: f64, r: f64| Shift { up: r * angle.cosine(), inboard: r * angle.sine() };
        // Farther than any where a direction never meets the limit, the farther the more it misses it: so the search finds its way.
        let reach = |angle: f64| first_within(&mut |r| roughly(to(angle, r))).unwrap_or_else(|least| 2.0 * WINDOW + least.min(BEYOND));
        let turn = PI / 36.0;
        // The best place as well: where only few places will do, they are around it.
        let start = (0..72).map(|k| f64::from(k) * turn).chain([best.inboard.atan2(best.up)]);
        let Some((middle, _)) = start.map(|a| (a, reach(a))).min_by(|a, b| a.1.total_cmp(&b.1)) else { return Ok(None) };
        let (angle, far) = summit([middle - turn, middle + turn], 30, &mut |a| -reach(a));
        // With the arms where the rod puts them, the limit is met a little nearer or farther, and a little aside.
        let exact = |angle: f64, close: f64| {
            let ends = [-far * 0.9, -far * 1.1];
            let values = ends.each(|r| over(to(angle, r)));
            match values {
                [near, beyond] if near > 0.0 && beyond <= 0.0 => Ok(cross(ends, values, close, &mut |r| over(to(angle, r))).1),
                _ => first_within(&mut |r| over(to(angle, r))),
            }
        };
        let distance = |angle: f64| exact(angle, 1e-5).unwrap_or_else(|least| 2.0 * WINDOW + least.min(BEYOND));
        let (angle, _) = summit([angle - turn, angle + turn], 12, &mut |a| -distance(a));
        Ok(exact(angle, 1e-7).ok().map(|r| to(angle, r)).and_then(made))
    }
}

/// The first r in (0, 200] at which `over` is no longer positive, falling towards a valley; `Err` the least of it where it never is.
fn first_within(over: &mut dyn FnMut(f64) -> f64) -> Result<f64, f64> {
    let (mut before, mut a, mut fa, mut step) = (0.0, 0.0, over(0.0), 0.5);
    let first = fa;
    while a < WINDOW {
        let b = (a + step).min(WINDOW);
        let fb = over(b);
        if fb <= 0.0 {
            return Ok(cross([a, b], [fa, fb], 1e-7, over).1);
        }
        if fb > fa && fa < first {
            // Past a valley: it may dip below nought between, or another may follow.
            let (x, most) = summit([before, b], 30, &mut |r| -over(r));
            if most >= 0.0 {
                let from = over(before);
                return Ok(cross([before, x], [from, -most], 1e-7, over).1);
            }
            return Err(-most);
        }
        if fb > fa && b > 20.0 {
            // It only ever rose.
            return Err(first);
        }
        (before, a, fa) = (a, b, fb);
        step *= 1.5;
    }
    Err(fa)
}

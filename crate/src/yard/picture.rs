//! What to look for as a picture: the spacings across, the lock that each allows up, the plan's racks as points.

use super::{Edge, Yard};
use crate::fields::Field;
use crate::plan::Plan;
use crate::readings::{Readings, carrier};
use crate::results::Name;
use crate::steering::{Solution, solve};
use serde::Serialize;

/// Spacing of the inner joints across (mm), angle of the inner wheel at lock up (degrees).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Picture {
    /// From where to where, across.
    pub x: [f64; 2],
    /// From where to where, up.
    pub y: [f64; 2],
    /// Marks across, for the reader of mm and of inches: where, and what stands there.
    pub ticks: [Vec<(f64, String)>; 2],
    /// Marks up.
    pub rises: Vec<(f64, String)>,
    /// The most lock that the limits allow, by spacing.
    pub most: Vec<(f64, f64)>,
    /// What passes: spacing, least and most lock.
    pub band: Vec<(f64, f64, f64)>,
    /// The wanted lock, where one is asked for.
    pub wanted: Option<f64>,
    /// The plan's racks: place in the plan, spacing, lock to its worse side.
    pub racks: Vec<(usize, f64, f64)>,
    /// What stands across and up.
    pub axes: [&'static str; 2],
}

/// Angle of the inner wheel at lock, degrees, to the side that turns less.
pub(super) fn lock(rack: &Solution) -> Option<f64> {
    let side = |k| rack.sheet.get(Name::LockInner, k).ok();
    Some(side(0)?.min(side(1)?))
}

/// Round steps of a unit that divide a range into a handful: where, and what stands there.
fn marks(range: [f64; 2], unit: f64, steps: &[f64], most: usize, sign: &str) -> Vec<(f64, String)> {
    let [from, to] = range.map(|x| x / unit);
    let step = steps.iter().copied().find(|s| ((to - from) / s) as usize <= most).or(steps.last().copied()).unwrap_or(1.0);
    let first = (from / step - 1e-9).ceil() as i64;
    let mut out = Vec::new();
    for k in (first..).take(64) {
        let x = k as f64 * step;
        if !(x <= to + 1e-9) {
            break;
        }
        out.push((x * unit, format!("{x:.0}{sign}")));
    }
    out
}

const BAND: usize = 11;
const BESIDE: usize = 5;

pub(super) fn picture(yard: &Yard, plan: &Plan, edges: Option<&[Edge; 2]>, at: f64) -> Picture {
    let mut racks = Vec::new();
    for i in 0..plan.racks.len() {
        let mut x = Readings::of(plan, i).inputs();
        if x.get(Field::RackLine).is_none() && carrier(plan, i, Field::RackLine).is_none() {
            x = x.with(Field::RackLine, Some(0.0));
        }
        if let (Some(lock), Some(spacing)) = (lock(&solve(&x, [None; 2])), x.get(Field::InnerJointSpacing)) {
            racks.push((i, spacing, lock));
        }
    }
    let ends = edges.map_or([at, at], |e| [e[0].spacing, e[1].spacing]);
    let [mut a, mut b] = ends;
    for (_, s, _) in &racks {
        (a, b) = (a.min(*s), b.max(*s));
    }
    let pad = (0.12 * (b - a)).max(40.0);
    let x = [(a - pad).max(yard.narrowest()), b + pad];
    let lock_at = |s: f64, t: f64| lock(&yard.at(s, t));
    // Outside the range the most lock alone; inside, what passes as well.
    let (mut band, mut most) = (Vec::new(), Vec::new());
    for (from, to, n) in [(x[0], ends[0], BESIDE), (ends[0], ends[1], BAND), (ends[1], x[1].min(yard.widest), BESIDE)] {
        for s in (0..n).map(|i| from + (to - from) * i as f64 / (n - 1) as f64) {
            if n == BAND {
                let Some(window) = edges.and_then(|_| yard.window(s).ok()) else { continue };
                if let [Some(least), Some(most)] = window.travel.map(|t| lock_at(s, t)) {
                    band.push((s, least, most));
                }
            } else if !(to - from > 1.0) {
                continue;
            }
            if let Some(lock) = yard.most(s).ok().and_then(|(t, _)| lock_at(s, t)) {
                most.push((s, lock));
            }
        }
    }
    let wanted = yard.limit(Field::LockWanted);
    let (mut low, mut top) = wanted.map_or((f64::INFINITY, 0.0), |w| (w, w + 5.0));
    for (least, most) in band.iter().map(|p| (p.1, p.2)).chain(racks.iter().map(|r| (r.2, r.2))) {
        (low, top) = (low.min(least), top.max(most));
    }
    // Nothing passes, no lock is wanted, no rack is there: what the limits allow at most is all there is to see.
    if !low.is_finite() {
        (low, top) = most.iter().fold((low, top), |(low, top), p| (low.min(p.1), top.max(p.1)));
    }
    let low = if low.is_finite() { low } else { top };
    let y = [(((low - 4.0) / 5.0).floor() * 5.0).max(0.0), ((top + 2.0) / 5.0).ceil() * 5.0];
    let across = [marks(x, 1.0, &[20.0, 50.0, 100.0, 200.0, 500.0], 5, ""), marks(x, 25.4, &[1.0, 2.0, 5.0, 10.0, 20.0], 5, "")];
    let rises = marks(y, 1.0, &[5.0, 10.0, 20.0], 6, "°");
    Picture { x, y, ticks: across, rises, most, band, wanted, racks, axes: ["inner joints apart", "inner wheel at lock"] }
}

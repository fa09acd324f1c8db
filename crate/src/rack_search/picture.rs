//! What to look for as a picture: the spacings across, the lock that each allows up, the plan's racks as points.

use super::edges::{Effort, Place};
use super::{Edge, RackSearch};
use crate::catalogue::field::Field;
use crate::catalogue::result::ResultId;
use crate::linkage::steering::Solution;
use crate::math::each::Each;
use crate::math::order::order;
use crate::measurement::decimal::fixed;
use serde::Serialize;

/// Spacing of the inner joints across (mm), angle of the inner wheel at lock up (degrees); every rack at its best line.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Picture {
    /// From where to where, across.
    pub x: [f64; 2],
    /// From where to where, up.
    pub y: [f64; 2],
    /// Marks across, for the reader of mm and of inches: where, and what stands there.
    pub ticks: [Vec<(f64, String)>; 2],
    /// Marks up.
    pub rises: Vec<(f64, String)>,
    /// The most lock that the limits allow, by spacing; nought where they allow none.
    pub most: Vec<(f64, f64)>,
    /// What passes: spacing, least and most lock.
    pub band: Vec<(f64, f64, f64)>,
    /// The wanted lock, where one is asked for.
    pub wanted: Option<f64>,
    /// The plan's racks, each where it was evaluated: place in the plan, spacing, lock to its worse side.
    pub racks: Vec<(usize, f64, f64)>,
    /// What stands across and up.
    pub axes: [&'static str; 2],
}

/// Angle of the inner wheel at lock, degrees, to the side that turns less.
pub(super) fn lock(rack: &Solution) -> Option<f64> {
    let side = |k| rack.results.get(ResultId::LockInner, k).ok();
    Some(side(0)?.min(side(1)?))
}

/// Round steps of a unit that divide a range into a handful: where, and what stands there.
fn marks(range: [f64; 2], unit: f64, steps: &[f64], most: usize, sign: &str) -> Vec<(f64, String)> {
    let [from, to] = range.each(|x| x / unit);
    let step = steps.iter().copied().find(|s| ((to - from) / s) as usize <= most).or(steps.last().copied()).unwrap_or(1.0);
    let first = (from / step - 1e-9).ceil() as i64;
    let mut out = Vec::new();
    for k in (first..).take(64) {
        let x = k as f64 * step;
        if !(x <= to + 1e-9) {
            break;
        }
        out.push((x * unit, fixed(x, 0) + sign));
    }
    out
}

/// How many spacings beside the range the most lock is drawn for, each way.
const BESIDE: usize = 4;

pub(super) fn picture(
    search: &RackSearch,
    racks: &[(usize, f64, f64)],
    edges: Option<&[Edge; 2]>,
    places: &[Place],
    at: [f64; 2],
) -> Picture {
    let ends = edges.map_or([at[0]; 2], |e| [e[0].spacing, e[1].spacing]);
    let [mut a, mut b] = ends;
    for (_, s, _) in racks {
        (a, b) = (a.min(*s), b.max(*s));
    }
    let pad = (0.12 * (b - a)).max(40.0);
    let x = [(a - pad).max(search.narrowest()), b + pad];
    let lock_at = |s: f64, t: f64, line: f64| lock(&search.at(s, t, line));
    // Inside the range what passes; outside it the most lock alone.
    let mut band = Vec::new();
    for p in places {
        if let [Some(least), Some(most)] = p.window.travel.map(|t| lock_at(p.spacing, t, p.line)) {
            band.push((p.spacing, least.min(most), most.max(least)));
        }
    }
    let mut most: Vec<(f64, f64)> = band.iter().map(|b| (b.0, b.2)).collect();
    let lines = edges.map_or([at[1]; 2], |e| [e[0].line, e[1].line]);
    let inside = (ends[0], ends[1]);
    for (edge, far, line) in [(inside.0, x[0], lines[0]), (inside.1, x[1].min(search.reach), lines[1])] {
        let mut line = line;
        for i in 0..=BESIDE {
            let s = edge + (far - edge) * i as f64 / BESIDE as f64;
            let (best, _) = search.best_line(s, Some(line), Effort::Rough);
            line = best;
            most.push((s, search.top(s, best).and_then(|t| lock_at(s, t, best)).unwrap_or(0.0)));
        }
    }
    let along = order(most.len(), &|p, q| most[p].0.total_cmp(&most[q].0));
    let mut most: Vec<(f64, f64)> = along.into_iter().map(|k| most[k]).collect();
    most.dedup_by(|p, q| (p.0 - q.0).abs() < 1e-9);
    let wanted = search.limit(Field::LockWanted);
    let (mut low, mut top) = wanted.map_or((f64::INFINITY, 0.0), |w| (w, w + 5.0));
    let drawn = band.iter().flat_map(|p| [p.1, p.2]).chain(racks.iter().map(|r| r.2));
    // Where nothing passes the curve is all there is to see.
    let alone = most.iter().map(|p| p.1).filter(|_| band.is_empty());
    for lock in drawn.chain(alone) {
        (low, top) = (low.min(lock), top.max(lock));
    }
    // Nothing passes, no lock is wanted, no rack is there: what the limits allow at most is all there is to see.
    if !low.is_finite() {
        (low, top) = most.iter().fold((low, top), |(low, top), p| (low.min(p.1), top.max(p.1)));
    }
    let low = if low.is_finite() { low } else { top };
    let y = [(((low - 4.0) / 5.0).floor() * 5.0).max(0.0), ((top + 2.0) / 5.0).ceil() * 5.0];
    let across = [marks(x, 1.0, &[20.0, 50.0, 100.0, 200.0, 500.0], 5, ""), marks(x, 25.4, &[1.0, 2.0, 5.0, 10.0, 20.0], 5, "")];
    let rises = marks(y, 1.0, &[5.0, 10.0, 20.0], 6, "°");
    Picture { x, y, ticks: across, rises, most, band, wanted, racks: racks.to_vec(), axes: ["inner joints apart", "inner wheel at lock"] }
}

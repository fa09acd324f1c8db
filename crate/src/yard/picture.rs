//! What to look for as a picture: the spacings across, the lock that each allows up, the plan's racks as points.

use super::{Edge, Window, Yard};
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

/// Round steps that divide a range into a handful.
fn marks(from: f64, to: f64, steps: &[f64], most: usize) -> Vec<f64> {
    let step = steps.iter().copied().find(|s| ((to - from) / s) as usize <= most).or(steps.last().copied()).unwrap_or(1.0);
    let first = (from / step - 1e-9).ceil() as i64;
    (first..).map(|k| k as f64 * step).take_while(|x| *x <= to + 1e-9).take(64).collect()
}

const BAND: usize = 11;
const BESIDE: usize = 5;

pub(super) fn picture(yard: &Yard, plan: &Plan, edges: Option<&[Edge; 2]>, at: f64) -> Picture {
    let racks: Vec<(usize, f64, f64)> = (0..plan.racks.len())
        .filter_map(|i| {
            let x = Readings::of(plan, i).inputs();
            let x = if x.get(Field::RackLine).is_none() && carrier(plan, i, Field::RackLine).is_none() {
                x.with(Field::RackLine, Some(0.0))
            } else {
                x
            };
            let lock = lock(&solve(&x, [None; 2]))?;
            Some((i, x.get(Field::InnerJointSpacing)?, lock))
        })
        .collect();
    let ends = edges.map_or([at, at], |e| [e[0].spacing, e[1].spacing]);
    let all = racks.iter().map(|r| r.1).chain(ends);
    let (a, b) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), s| (a.min(s), b.max(s)));
    let pad = (0.12 * (b - a)).max(40.0);
    let x = [(a - pad).max(yard.narrowest()), b + pad];
    let span = |from: f64, to: f64, n: usize| (0..n).map(move |i| from + (to - from) * i as f64 / (n - 1) as f64);
    let lock_at = |s: f64, t: f64| lock(&yard.at(s, t));
    // Outside the range the most lock alone; inside, what passes as well.
    let passing = edges.map(|_| span(ends[0], ends[1], BAND)).into_iter().flatten();
    let windows: Vec<(f64, Window)> = passing.filter_map(|s| Some((s, yard.window(s).ok()?))).collect();
    let band = windows.iter().filter_map(|(s, w)| Some((*s, lock_at(*s, w.travel[0])?, lock_at(*s, w.travel[1])?))).collect::<Vec<_>>();
    let widest = x[1].min(yard.widest);
    let mut spacings = Vec::new();
    for (from, to) in [(x[0], ends[0]), (ends[1], widest)] {
        if to - from > 1.0 {
            spacings.extend(span(from, to, BESIDE));
        }
        if from == x[0] {
            spacings.extend(windows.iter().map(|w| w.0));
        }
    }
    let most: Vec<(f64, f64)> = spacings.into_iter().filter_map(|s| Some((s, lock_at(s, yard.most(s).ok()?.0)?))).collect();
    let wanted = yard.limit(Field::LockWanted);
    let top = band.iter().map(|p| p.2).chain(racks.iter().map(|r| r.2)).chain(wanted.map(|w| w + 5.0)).fold(0.0, f64::max);
    let low = band.iter().map(|p| p.1).chain(racks.iter().map(|r| r.2)).chain(wanted).fold(f64::INFINITY, f64::min);
    let y = [(((low - 4.0) / 5.0).floor() * 5.0).max(0.0), ((top + 2.0) / 5.0).ceil() * 5.0];
    let across = [
        marks(x[0], x[1], &[20.0, 50.0, 100.0, 200.0, 500.0], 5).into_iter().map(|s| (s, format!("{s:.0}"))).collect(),
        marks(x[0] / 25.4, x[1] / 25.4, &[1.0, 2.0, 5.0, 10.0, 20.0], 5).into_iter().map(|s| (s * 25.4, format!("{s:.0}"))).collect(),
    ];
    let rises = marks(y[0], y[1], &[5.0, 10.0, 20.0], 6).into_iter().map(|d| (d, format!("{d:.0}°"))).collect();
    Picture { x, y, ticks: across, rises, most, band, wanted, racks, axes: ["inner joints apart", "inner wheel at lock"] }
}

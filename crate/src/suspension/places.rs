//! Every better place of the inner joint that is told, and how it moves when the corner is another by a hair's breadth.

use crate::math::each::Each;
use crate::math::vector::Vec3;
use crate::suspension::RanOut;
use crate::suspension::bump_steer::{Arc, Peak, Shift, WINDOW};
use crate::suspension::corner::Corner;
use crate::suspension::held::held;

/// A place at which the outer joint's arc goes least in and out, and the heights of the wheel that hold it there: at each of them the
/// joints' distance is off by as much as at the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Better {
    /// Where, from the joint as fitted.
    pub shift: Shift,
    /// The largest toe change that is left there.
    pub peak: Peak,
    /// Travel and sign at each of the heights; two hold a height, three a height and a width.
    holds: [(f64, f64); 3],
    count: usize,
}

/// A place at which the largest toe change comes to the limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// Where, from the joint as fitted.
    pub shift: Shift,
    /// Travel at which the limit is met, and the size of the toe change gained by a millimetre farther; `None` where it is not met there:
    /// at the end of the window, and at no move.
    met: Option<(f64, f64)>,
}

/// The better places of one corner's inner joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Places {
    /// The best by height alone.
    pub height: Option<Better>,
    /// The best by height and width.
    pub both: Option<Better>,
    /// The smallest move that keeps the limit.
    pub least: Option<Edge>,
    /// The heights between which the limit is kept, lower end first.
    pub slot: Option<[Edge; 2]>,
}

/// Two heights hold a place as much as each other within this, mm.
const ALIKE: f64 = 1e-6;

/// How much farther apart the joints are than at the reference with the outer one at `outer`, mm, and its derivatives by height and inboard.
fn stretch(corner: &Corner, outer: Vec3, shift: Shift) -> (f64, [f64; 2]) {
    let p = corner.points();
    let inner = p.inner + Vec3::new(0.0, -shift.inboard, shift.up);
    let (a, b) = (outer - inner, p.outer - inner);
    let by = b.unit() - a.unit();
    (a.norm() - b.norm(), [by.z, -by.y])
}

impl Corner {
    /// The size of the toe change at one height with the inner joint shifted.
    fn change_at(&self, shift: Shift, travel: f64) -> Option<f64> {
        Some(self.shifted(shift)?.toe_change(travel, 0.0).ok()?.abs())
    }

    fn better(&self, arc: &Arc, shift: Shift, count: usize, band: [f64; 2]) -> Option<Better> {
        if !(shift.up.abs() < WINDOW - 1e-3 && shift.inboard.abs() < WINDOW - 1e-3) {
            return None;
        }
        let peak = self.shifted_peak(shift, band)?;
        let mut holds = [(0.0, 0.0); 3];
        let mut found = 0;
        for (travel, change) in arc.extremes(shift, band, ALIKE) {
            if found < count {
                holds[found] = (travel, change.signum());
            }
            found += 1;
        }
        Some(Better { shift, peak, holds, count: if found >= count { count } else { 0 } })
    }

    fn edge(&self, shift: Shift, band: [f64; 2], way: Shift) -> Option<Edge> {
        let at = |k: f64| Shift { up: shift.up + k * way.up, inboard: shift.inboard + k * way.inboard };
        let travel = self.shifted_peak(shift, band)?.travel;
        const STEP: f64 = 1e-4;
        let gain = (self.change_at(at(STEP), travel)? - self.change_at(at(-STEP), travel)?) / (2.0 * STEP);
        Some(Edge { shift, met: (gain != 0.0).then_some((travel, gain)) })
    }

    /// Every better place over the travel band for a largest toe change of `limit`, radians.
    pub fn places(&self, band: [f64; 2], limit: f64) -> Result<Places, RanOut> {
        let arc = Arc::new(self, band)?;
        let (by_height, by_both) = (arc.height().0, arc.height_and_width().0);
        let height = self.better(&arc, by_height, 2, band);
        let both = self.better(&arc, by_both, 3, band);
        let up = Shift { up: 1.0, inboard: 0.0 };
        let slot = self.height_band_about(by_height, band, limit).and_then(|ends| {
            let [a, b] = ends.each(|at| {
                let shift = Shift { up: at, inboard: 0.0 };
                if at.abs() < WINDOW { self.edge(shift, band, up) } else { Some(Edge { shift, met: None }) }
            });
            Some([a?, b?])
        });
        let least = self.least_move_about(&arc, by_both, band, limit)?.and_then(|place| {
            let (shift, far) = (place.shift, place.shift.distance());
            if far == 0.0 {
                return Some(Edge { shift, met: None });
            }
            self.edge(shift, band, Shift { up: shift.up / far, inboard: shift.inboard / far })
        });
        let found = Places { height, both, least, slot };
        // Once more in the way in which the neighbours are found, so that they differ by what differs.
        Ok(self.places_near(&found, limit))
    }

    /// Those of a corner that differs by a hair's breadth from the one whose places these are: to first order.
    pub fn places_near(&self, near: &Places, limit: f64) -> Places {
        let up = Shift { up: 1.0, inboard: 0.0 };
        let least = near.least.map(|edge| {
            let far = edge.shift.distance().max(f64::MIN_POSITIVE);
            self.edge_near(edge, Shift { up: edge.shift.up / far, inboard: edge.shift.inboard / far }, limit)
        });
        Places {
            height: near.height.map(|best| self.better_near(best)),
            both: near.both.map(|best| self.better_near(best)),
            least,
            slot: near.slot.map(|ends| ends.each(|edge| self.edge_near(edge, up, limit))),
        }
    }

    fn edge_near(&self, edge: Edge, way: Shift, limit: f64) -> Edge {
        let Some((travel, gain)) = edge.met else { return edge };
        let Some(change) = self.change_at(edge.shift, travel) else { return edge };
        let by = (limit - change) / gain;
        Edge { shift: Shift { up: edge.shift.up + by * way.up, inboard: edge.shift.inboard + by * way.inboard }, ..edge }
    }

    /// One step of Newton's towards where the heights that hold it are off alike again.
    fn better_near(&self, best: Better) -> Better {
        let mut off = [(0.0, [0.0; 2]); 3];
        for (off, (travel, sign)) in off.iter_mut().zip(best.holds).take(best.count) {
            let Ok(at) = held(self, travel) else { return best };
            let (by, slope) = stretch(self, at.outer, best.shift);
            *off = (sign * by, slope.map(|d| sign * d));
        }
        let less = |k: usize| (off[k].0 - off[k + 1].0, [off[k].1[0] - off[k + 1].1[0], off[k].1[1] - off[k + 1].1[1]]);
        let [up, inboard] = match best.count {
            2 => {
                let (g, [d, _]) = less(0);
                [-g / d, 0.0]
            }
            3 => {
                let ((g, [a, b]), (h, [c, d])) = (less(0), less(1));
                let det = a * d - b * c;
                [(b * h - d * g) / det, (c * g - a * h) / det]
            }
            _ => return best,
        };
        if !(up.is_finite() && inboard.is_finite()) {
            return best;
        }
        let shift = Shift { up: best.shift.up + up, inboard: best.shift.inboard + inboard };
        let change = self.change_at(shift, best.peak.travel).map_or(best.peak.change, |c| c * best.peak.change.signum());
        Better { shift, peak: Peak { change, ..best.peak }, ..best }
    }
}

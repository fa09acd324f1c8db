//! The travels that pass at one spacing and one rack line, and how far from passing it is where none does.

use super::{JOINT_SWING, RackSearch};
use crate::catalogue::field::Field;
use crate::catalogue::result::{ResultId, Results};
use crate::judgement::demand::{DEMANDS, Margin, Travel, margins};
use crate::linkage::steering::{Solution, solve_near};
use crate::math::each::Each;
use crate::math::root::{cross, longest_run};
use crate::math::within;

/// How many travels are looked at where a demand may come and go.
const TRAVELS: usize = 9;
/// How near both ends of a travel's root are, mm, where nothing has to be solved for it, and where it has.
const FINE: f64 = 2e-4;
const NEAR: f64 = 5e-3;

/// The travels that pass at one spacing and line, mm, with the limits that bound them (`None`: the table's own range).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Least and most travel, end to end.
    pub travel: [f64; 2],
    /// What is not met with less, and with more.
    pub by: [Option<Field>; 2],
}

/// Why no travel passes at one spacing and line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// What is not met however much travel is used, and what stops the travel: either may be missing, not both.
    pub by: [Option<Field>; 2],
    /// The most travel that the second still allows, mm.
    pub travel: f64,
    /// How far from passing, for comparison: negative, nearer is larger.
    pub score: f64,
}

/// A rack of one spacing at one line, with as little travel as the table knows.
pub(super) struct Stand {
    start: Solution,
    /// Rack travel for one turn of the wheels, mm: ratio on centre times travel per turn.
    pub lever: f64,
    /// The longer of the two rods, mm.
    pub rod: f64,
    spacing: f64,
    line: f64,
}

/// A travel, or by how much something is kept, and the limit that makes it so; `None`: the table's range.
pub(super) type By = (f64, Option<Field>);

/// The score where there is no linkage at all, as a negative.
const NOWHERE: f64 = 800.0;

/// By how much a demand is kept, in its steps: a degree, 200 mm of a circle, 4 % of Ackermann.
pub(super) fn in_steps(m: &Margin) -> f64 {
    m.margin / m.demand().step
}

/// What a millimetre of travel, and of a rod, weighs beside a degree.
pub(super) const TRAVEL_STEP: f64 = 2.5;
pub(super) const ROD_STEP: f64 = 5.0;

/// Half of it to either side: the smallest angle between rod and arm of either wheel on the way there, degrees; nought where there is no way.
pub(super) fn least_angle(rack: &Solution, travel: f64) -> f64 {
    let each = rack.wheels.iter().flatten().flat_map(|w| [0.5, -0.5].each(|k| w.linkage.least_transmission(k * travel)));
    each.fold(90.0, |least, a| least.min(a.map_or(0.0, f64::to_degrees)))
}

/// The same of the largest angle of either inner joint.
pub(super) fn swing(rack: &Solution, travel: f64) -> f64 {
    let both = rack.wheels.iter().flatten().zip(rack.dead.iter().flatten());
    let each = both.map(|(w, d)| w.linkage.largest_inner_joint(-travel / 2.0, travel / 2.0, &d.peaks));
    each.fold(0.0, |most, a| most.max(a.map_or(90.0, f64::to_degrees)))
}

impl RackSearch {
    pub(super) fn margins(&self, results: &Results) -> Vec<Margin> {
        margins(&self.x, self.readings.off, results)
    }

    pub(super) fn stand(&self, spacing: f64, line: f64) -> Option<Stand> {
        let start = self.at(spacing, Field::Travel.spec().scale.range.0, line);
        start.direction?;
        let rod = |side| start.results.get(ResultId::RodLength, side).ok();
        let lever = 360.0 * start.results.get(ResultId::RackPerDegree, 0).ok()?.abs();
        Some(Stand { lever, rod: rod(0)?.max(rod(1)?), start, spacing, line })
    }

    /// The same rack with another travel.
    fn travelling(&self, stand: &Stand, travel: f64) -> Solution {
        let x = self.base.with(Field::InnerJointSpacing, Some(stand.spacing)).with(Field::RackLine, Some(stand.line));
        solve_near(&x.with(Field::Travel, Some(travel)), [None; 2], Some(&stand.start))
    }

    /// Travels between which some travel per turn keeps ratio and turns, mm, with the limit at each end; c is bounded by the table too.
    pub(super) fn by_turning(&self, lever: f64) -> [By; 2] {
        let c = Field::TravelPerTurn.spec().scale.range;
        let least = self.ratio[1].map_or(c.0, |r| (lever / r.0).max(c.0));
        let most = self.ratio[0].map_or(c.1, |r| (lever / r.0).min(c.1));
        let end = |bound: super::Bound, c: f64, none: f64| bound.map_or((none, None), |(n, field)| (n * c, Some(field)));
        [end(self.turns[0], least, 0.0), end(self.turns[1], most, f64::INFINITY)]
    }

    /// The most travel that every demand for less allows, mm, with the demand that bounds it.
    fn most(&self, stand: &Stand) -> Result<By, Block> {
        let (shortest, longest) = Field::Travel.spec().scale.range;
        let (mut top, mut by) = (longest, None);
        let mut lower = |t: f64, field: Option<Field>| {
            if t < top {
                (top, by) = (t, field);
            }
            top
        };
        let kept = self.margins(&stand.start.results);
        let reserve = kept.iter().filter(|m| m.demand().set_by() == Some(Field::ReserveWanted)).map(|m| m.margin);
        let reserve = reserve.fold(f64::INFINITY, f64::min);
        // Dead points do not move with the travel: half of every millimetre comes off the reserve.
        lower(shortest + 2.0 * reserve - 1e-6, Some(Field::ReserveWanted));
        let (most, field) = self.by_turning(stand.lever)[1];
        let mut top = lower(most, field);
        let block = |field: Option<Field>, by: f64| {
            let score = (within(by / 1e3, -1.0, 0.0) - 1.0) * NOWHERE / 2.0;
            Err(Block { by: [None, field], travel: 0.0, score })
        };
        if !(top >= shortest) {
            return block(by, top - shortest);
        }
        let angle = self.limit(Field::TransmissionWanted).filter(|_| !self.readings.off.contains(Field::TransmissionWanted));
        let swings = &mut |t: f64| JOINT_SWING - swing(&stand.start, t);
        let angles = &mut |t: f64| least_angle(&stand.start, t) - angle.unwrap_or(0.0);
        type Test<'a> = (Field, bool, &'a mut dyn FnMut(f64) -> f64);
        let tests: [Test; 2] = [(Field::TransmissionWanted, angle.is_some(), angles), (Field::InnerJointLimit, true, swings)];
        for (field, asked, margin) in tests {
            let end = if asked { margin(top) } else { 0.0 };
            if end >= 0.0 {
                continue;
            }
            let start = margin(shortest);
            if !(start >= 0.0) {
                return block(Some(field), start);
            }
            (top, by) = (cross([shortest, top], [start, end], FINE, margin).0, Some(field));
        }
        Ok((top, by))
    }

    /// By how much the demands for more are met with a travel: the least of them, and whose it is.
    fn enough(&self, stand: &Stand, travel: f64) -> By {
        let (least, field) = self.by_turning(stand.lever)[0];
        let mut worst = ((travel - Field::Travel.spec().scale.range.0) / TRAVEL_STEP, None);
        let mut lower = |margin: f64, field: Option<Field>| {
            if margin < worst.0 {
                worst = (margin, field);
            }
        };
        lower((travel - least) / TRAVEL_STEP, field);
        for m in self.margins(&self.travelling(stand, travel).results).iter().filter(|m| m.demand().travel == Travel::More) {
            lower(in_steps(m), m.demand().set_by());
        }
        worst
    }

    /// How well a spacing does at a line: nought where one travel just passes, negative where none does. It goes evenly with both.
    pub(super) fn score(&self, spacing: f64, line: f64) -> f64 {
        match self.judged(spacing, line) {
            Ok((score, ..)) | Err(Block { score, .. }) => score,
        }
    }

    /// Score, rack, most travel and what stops it; or why there is none.
    fn judged(&self, spacing: f64, line: f64) -> Result<(f64, Stand, By), Block> {
        let Some(stand) = self.stand(spacing, line) else { return Err(Block { by: [None; 2], travel: 0.0, score: -NOWHERE }) };
        let rod = self.limit(Field::UsualRodMax).map_or(f64::INFINITY, |most| (most - stand.rod) / ROD_STEP);
        let (top, stop) = self.most(&stand)?;
        let (mut score, field) = self.enough(&stand, top);
        let mut block = Block { by: [field, stop], travel: top, score };
        if score >= 0.0 && self.asking(Travel::Either) {
            let window = self.least(&stand, top, stop);
            let (travel, (margin, field)) = self.coming_and_going(&stand, window.travel).1;
            if margin < score {
                (score, block) = (margin, Block { by: [field, None], travel, score: margin });
            }
        }
        // Rods that are usual are no better for being more so.
        if rod < 0.0 && rod < score {
            (score, block) = (rod, Block { by: [Some(Field::UsualRodMax), None], travel: top, score: rod });
        }
        block.score = within(block.score, -NOWHERE / 4.0, 0.0);
        if score >= 0.0 { Ok((score, stand, (top, stop))) } else { Err(block) }
    }

    fn asking(&self, travel: Travel) -> bool {
        DEMANDS
            .iter()
            .any(|d| d.travel == travel && d.set_by().is_some_and(|f| self.limit(f).is_some() && !self.unchecked.iter().any(|u| u.0 == f)))
    }

    /// The travels that pass at a spacing and a line.
    pub fn window(&self, spacing: f64, line: f64) -> Result<Window, Block> {
        let (_, stand, (top, stop)) = self.judged(spacing, line)?;
        let window = self.least(&stand, top, stop);
        if self.asking(Travel::Either) { Ok(self.narrowed(&stand, window)) } else { Ok(window) }
    }

    /// The most travel that every demand for less allows, mm, whatever comes of it.
    pub(super) fn top(&self, spacing: f64, line: f64) -> Option<f64> {
        self.most(&self.stand(spacing, line)?).ok().map(|t| t.0)
    }

    /// From the least travel that meets every demand for more, where the most does.
    fn least(&self, stand: &Stand, top: f64, stop: Option<Field>) -> Window {
        let shortest = Field::Travel.spec().scale.range.0;
        let mut window = Window { travel: [shortest, top], by: [None, stop] };
        let (margin, field) = self.enough(stand, shortest);
        if margin < 0.0 {
            let mut by = field;
            let mut margin_at = |t: f64| {
                let (m, f) = self.enough(stand, t);
                if m < 0.0 {
                    by = f;
                }
                m
            };
            let ends = [margin, margin_at(top)];
            window.travel[0] = cross([shortest, top], ends, NEAR, &mut margin_at).1;
            window.by[0] = by;
        }
        window
    }

    /// The demands that may come and go at travels over a window, each with the worst of them; and the best travel.
    fn coming_and_going(&self, stand: &Stand, [a, b]: [f64; 2]) -> (Vec<(f64, By)>, (f64, By)) {
        let seen: Vec<_> = (0..TRAVELS).map(|i| a + (b - a) * i as f64 / (TRAVELS - 1) as f64).map(|t| (t, self.worst(stand, t))).collect();
        let best = seen.iter().fold(seen[0], |m, s| if s.1.0 > m.1.0 { *s } else { m });
        (seen, best)
    }

    fn worst(&self, stand: &Stand, travel: f64) -> By {
        let kept = self.margins(&self.travelling(stand, travel).results);
        let each = kept.iter().filter(|m| m.demand().travel == Travel::Either).map(|m| (in_steps(m), m.demand().set_by()));
        each.reduce(|a, b| if b.0 < a.0 { b } else { a }).unwrap_or((f64::INFINITY, None))
    }

    /// The longest part of a window in which the demands that may come and go are met too.
    fn narrowed(&self, stand: &Stand, window: Window) -> Window {
        let (seen, _) = self.coming_and_going(stand, window.travel);
        let Some((from, to)) = longest_run(&seen, |s| s.1.0 >= 0.0) else { return window };
        let mut margin = |t: f64| self.worst(stand, t).0;
        let mut between = |i: usize| cross([seen[i].0, seen[i + 1].0], [seen[i].1.0, seen[i + 1].1.0], NEAR, &mut margin);
        let mut out = window;
        if from > 0 {
            out.travel[0] = between(from - 1).1;
            out.by[0] = seen[from - 1].1.1;
        }
        if to + 1 < TRAVELS {
            out.travel[1] = between(to).0;
            out.by[1] = seen[to + 1].1.1;
        }
        out
    }
}

//! Travel per turn: what ratio and turns allow.

use super::buying_guide::{Line, Range, about, names, round};
use super::say::{between, near, tenth};
use super::window::By;
use super::{Bound, RackSearch};
use crate::analysis::uncertainty::uncertainties;
use crate::catalogue::field::Field;
use crate::catalogue::result::{ResultId, Results};
use crate::linkage::steering::Solution;
use crate::math::each::Each;
use crate::math::root::summit;
use crate::measurement::figure::{Text, figure};
use crate::measurement::quantity::ResultUnit;

impl RackSearch {
    /// Travel per turn that ratio and turns allow, mm, each end with its limit: ratio times c is the lever, its least for the largest
    /// ratio and its most for the smallest.
    pub(super) fn turned_between(&self, travel: f64, lever: [f64; 2]) -> [By; 2] {
        let table = Field::TravelPerTurn.spec().scale.range;
        let by = |bound: Bound, length: f64| bound.map(|(n, field)| (length / n, Some(field)));
        let least = [by(self.ratio[1], lever[0]), by(self.turns[1], travel)].into_iter().flatten();
        let most = [by(self.ratio[0], lever[1]), by(self.turns[0], travel)].into_iter().flatten();
        let low = least.fold((table.0, None), |a, b| if b.0 > a.0 { b } else { a });
        let high = most.fold((table.1, None), |a, b| if b.0 < a.0 { b } else { a });
        [low, high]
    }

    /// The least and the most lever over all lines at which that rack keeps every demand, where the builder limits the ratio; else `here`.
    fn levers(&self, [spacing, travel, line]: [f64; 3], here: f64) -> [f64; 2] {
        let own = [self.limit(Field::RatioMax), self.limit(Field::RatioMin)];
        let lever = |l: f64| {
            let rack = self.at(spacing, travel, l);
            let passes = self.margins(&rack.results).iter().all(|m| m.margin >= 0.0);
            rack.results.get(ResultId::RackPerDegree, 0).ok().filter(|_| passes && rack.direction.is_some()).map(|r| 360.0 * r.abs())
        };
        let mut out = [here; 2];
        for (k, sign) in [(0, -1.0), (1, 1.0)] {
            if own[k].is_none() {
                continue;
            }
            let rate = &mut |l: f64| lever(l).map_or(f64::NEG_INFINITY, |v| sign * v);
            let mut best = (line, sign * here);
            for l in self.lines(25).chain([line]) {
                let v = rate(l);
                if v > best.1 {
                    best = (l, v);
                }
            }
            let step = (self.room[1] - self.room[0]) / 24.0;
            let found = summit([(best.0 - step).max(self.room[0]), (best.0 + step).min(self.room[1])], 18, rate);
            out[k] = sign * found.1.max(best.1);
        }
        out
    }
}

/// Travel per turn: what ratio and turns allow, the builder's limits or what is usual.
pub(super) fn per_turn(search: &RackSearch, rack: &Solution, at: [f64; 3]) -> (Line, Range) {
    let [spacing, travel, line] = at;
    let here = rack.results.get(ResultId::RackPerDegree, 0).map_or(1.0, |r| 360.0 * r.abs());
    let [least, most] = search.turned_between(travel, search.levers(at, here));
    let ends = [least.0, most.0.max(least.0)];
    let best = round((ends[0] * ends[1]).sqrt(), ends, 1.0);
    let shown = [tenth(ends[0], true), tenth(ends[1], false)];
    let mut more = Vec::new();
    for (side, word) in [(least, "Less makes"), (most, "More makes")] {
        let Some(field) = side.1 else { continue };
        let what = match field {
            Field::RatioMin => "{} a ratio on centre under {}.",
            Field::RatioMax => "{} a ratio on centre over {}.",
            Field::UsualRatioMin => "{} a ratio on centre under {}, quicker than is usual.",
            Field::UsualRatioMax => "{} a ratio on centre over {}, slower than is usual.",
            Field::TurnsMin => "{} fewer than {} lock to lock.",
            Field::UsualTurnsMin => "{} fewer than {} lock to lock, quicker than is usual.",
            Field::UsualTurnsMax => "{} more than {} lock to lock, slower than is usual.",
            _ => "{} more than {} lock to lock.",
        };
        more.push(Text::fill(what, &[&word, &search.bound(field)]));
    }
    let (ratio, turns) = (figure(ResultUnit::Ratio, here / best, None), figure(ResultUnit::Turns, travel / best, None));
    more.push(Text::fill("{} gives {}, {} over {}.", &[&near(best), &ratio, &turns, &near(travel)]));
    // Ratio times travel per turn is the lever: its ± is that of the ratio's ends.
    let readings = search.rack(&[(Field::InnerJointSpacing, spacing), (Field::Travel, travel), (Field::RackLine, line)]);
    let share = uncertainties(&readings, rack).pm[Results::index(ResultId::RackPerDegree, 0)].map(|p| 360.0 * p / here);
    let by_ratio = |end: By| {
        let ratio = matches!(end.1, Some(Field::RatioMin | Field::RatioMax | Field::UsualRatioMin | Field::UsualRatioMax));
        share.filter(|_| ratio).map(|s| s * end.0)
    };
    let limits = [least, most].each(|e| names(e.1.as_slice()));
    let range = Range { ends, best, pm: [by_ratio(least), by_ratio(most)], travel: [0.0; 2], limits };
    (Line { name: "per_turn", label: "Travel per turn", text: about(between(&shown[0], &shown[1]), best), more }, range)
}

//! Where no rack passes: what would have to be otherwise. Each change is solved with the change made, and said only where some rack then
//! keeps every demand by more than its ±.

use super::edges::Effort;
use super::say::near;
use super::{Block, RackSearch};
use crate::analysis::uncertainty::uncertainties;
use crate::catalogue::field::Field;
use crate::catalogue::result::Results;
use crate::judgement::demand::margins;
use crate::judgement::finding;
use crate::judgement::rack_line::WITHIN_REASON;
use crate::judgement::remedy::{changed, counted_anew, in_a_plan, other_arms};
use crate::linkage::arm::arms;
use crate::math::root::summit;
use crate::measurement::figure::Text;
use crate::plan::inputs::kernel;

use serde::Serialize;

/// A change with which some rack passes.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[cfg_attr(test, ts(rename = "GuideChange"))]
pub struct Change {
    /// What is changed.
    pub change: Vec<finding::Change>,
    /// A rack that then passes: spacing and travel, mm.
    pub rack: [f64; 2],
    /// In words.
    pub text: Text,
}

/// A reading or limit and what it becomes, in the kernel's units.
type Sets = Vec<(Field, Option<f64>)>;

/// One kind of change, by an amount counted in steps.
enum Kind {
    /// A limit: the field, the sign and size of a step, how far.
    Limit(Field, f64, f64),
    /// Arms shorter (−1) or longer (+1) by steps of 2 mm.
    Arms(f64),
    /// The room, as wide as within reason.
    Room,
}

/// Where the nearest spacing is that far from passing with a change made, in degrees of lock or the like, those beside it are not looked at.
const TOO_FAR: f64 = 12.0;

/// How many steps a change is tried for.
const STEPS: usize = 40;

impl Kind {
    /// The changes at `n` steps; `None` past its bounds.
    fn sets(&self, search: &RackSearch, n: usize) -> Option<Sets> {
        let x = &search.x;
        match *self {
            Kind::Limit(field, step, bound) => {
                let limit = search.limit(field)?;
                // On the grid of the step, beyond the limit.
                let from = if step < 0.0 { (limit / -step - 1e-9).ceil() * -step } else { (limit / step + 1e-9).floor() * step };
                let value = from + step * n as f64;
                let fits = if step < 0.0 { value >= bound } else { value <= bound };
                fits.then(|| vec![(field, Some(kernel(field, value)))])
            }
            Kind::Arms(way) => {
                let length = arms(x).ok()?[0].length();
                other_arms(x, (length + way * 2.0 * n as f64) / length, false)
            }
            Kind::Room => {
                let typed = x.get(Field::RackLineFrom).is_some() || x.get(Field::RackLineTo).is_some();
                let narrower = search.room[0] > -WITHIN_REASON || search.room[1] < WITHIN_REASON;
                (typed && narrower && n <= 1).then(|| vec![(Field::RackLineFrom, None), (Field::RackLineTo, None)])
            }
        }
    }

    fn text(&self, search: &RackSearch, sets: &Sets) -> Text {
        let to = |field: Field| sets.iter().find(|s| s.0 == field).and_then(|s| s.1);
        match *self {
            Kind::Limit(field, step, _) => {
                let value = to(field).map_or(0.0, |v| if kernel(field, 1.0) == 1.0 { v } else { v.to_degrees() });
                let what = match field {
                    Field::LockWanted => "a wanted lock".to_owned(),
                    Field::UsualRodMin | Field::UsualRodMax => "rods".to_owned(),
                    _ => crate::wording::small(field.label()),
                };
                let word = match field {
                    Field::UsualRodMin => "shorter",
                    Field::UsualRodMax => "longer",
                    _ if step < 0.0 => "less",
                    _ => "more",
                };
                Text::fill("{} of {} or {}", &[&what, &search.bound_of(field, value), &word])
            }
            Kind::Arms(way) => {
                let new = to(Field::ArmForeAft).unwrap_or(0.0).hypot(to(Field::ArmInboard).unwrap_or(0.0));
                let by = arms(&search.x).map_or(0.0, |a| (new - a[0].length()).abs());
                let word = if way < 0.0 { "shorter" } else { "longer" };
                let anew = counted_anew(sets);
                Text::fill("other steering arms, {} {} at the same angle (never heat or bend these){}", &[&near(by), &word, &anew])
            }
            Kind::Room => Text::fill("a place anywhere within {} of the tie-rod ends, fore and aft", &[&near(WITHIN_REASON)]),
        }
    }
}

/// A rack that keeps every demand by more than its ± on this car, sought beside a spacing and a line: spacing and travel.
fn passing(search: &RackSearch, [spacing, line]: [f64; 2]) -> Option<[f64; 2]> {
    let (a, b) = (search.narrowest(), search.widest);
    if b <= a {
        return None;
    }
    let here = spacing.max(a).min(b);
    if search.best_line(here, Some(line), Effort::Rough).1 < -TOO_FAR {
        return None;
    }
    let [from, to] = [(spacing - 150.0).max(a).min(b), (spacing + 150.0).min(b).max(a)];
    let mut best = (from, line, f64::NEG_INFINITY);
    summit([from, to], 5, &mut |s| {
        let (l, score) = search.best_line(s, Some(best.1), Effort::Rough);
        if score > best.2 {
            best = (s, l, score);
        }
        score
    });
    if best.2 < 0.0 {
        return None;
    }
    let window = search.window(best.0, best.1).ok()?;
    let spacing = best.0.round();
    // A few travels: the margins at both ends of the window are nought.
    (1..8).find_map(|i| {
        let travel = (window.travel[0] + (window.travel[1] - window.travel[0]) * f64::from(i) / 8.0).round();
        let solution = search.at(spacing, travel, best.1);
        let readings = search.rack(&[(Field::InnerJointSpacing, spacing), (Field::Travel, travel), (Field::RackLine, best.1)]);
        let pm = uncertainties(&readings, &solution).pm;
        let sure = |m: &crate::judgement::demand::Margin| m.margin >= pm[Results::index(m.demand().result, m.side)].unwrap_or(0.0);
        margins(&search.x, search.readings.off, &solution.results).iter().all(sure).then_some([spacing, travel])
    })
}

/// What would change it, each with the smallest amount that does.
pub(super) fn changes(search: &RackSearch, at: [f64; 2], block: &Block) -> Vec<Change> {
    let mut kinds = Vec::new();
    for field in block.by.into_iter().flatten().chain([Field::LockWanted]) {
        use Field::*;
        let (step, bound) = match field {
            LockWanted => (-0.5, 15.0),
            // Not below our own starting values: those keep the linkage from locking in line.
            TransmissionWanted => (-1.0, 30.0),
            ReserveWanted => (-1.0, 10.0),
            CircleMax | CircleEdgeMax | WallToWallMax => (500.0, 20_000.0),
            TurnsMin | UsualTurnsMin => (-0.1, 0.5),
            TurnsMax | UsualTurnsMax => (0.1, 8.0),
            AckermannMin => (-5.0, -100.0),
            AckermannMax => (5.0, 250.0),
            UsualRodMin => (-5.0, 40.0),
            UsualRodMax => (20.0, 1200.0),
            _ => continue,
        };
        if !kinds.iter().any(|k| matches!(k, Kind::Limit(f, ..) if *f == field)) {
            kinds.push(Kind::Limit(field, step, bound));
        }
    }
    kinds.extend([Kind::Arms(-1.0), Kind::Arms(1.0), Kind::Room]);
    kinds.iter().filter_map(|kind| smallest(search, kind, at)).collect()
}

fn smallest(search: &RackSearch, kind: &Kind, at: [f64; 2]) -> Option<Change> {
    let tried = |n: usize| {
        let sets = kind.sets(search, n)?;
        let other = RackSearch::ready(changed(&search.readings, &sets)).ok()?;
        Some((sets, passing(&other, at)?))
    };
    let most = (1..=STEPS).rev().find(|n| kind.sets(search, *n).is_some())?;
    // From little to much, then back to the least that does. Less of a limit is never worse; of other arms too much may be.
    let (mut bad, mut good) = (0, None);
    let shares: &[usize] = if matches!(kind, Kind::Arms(_)) { &[4, 2, 1] } else { &[1] };
    for &share in shares {
        let n = (most / share).max(1);
        if n <= bad {
            continue;
        }
        if let Some(found) = tried(n) {
            good = Some((n, found));
            break;
        }
        bad = n;
    }
    let (mut n, (mut sets, mut rack)) = good?;
    while n - bad > 1 {
        let middle = usize::midpoint(n, bad);
        match tried(middle) {
            Some(found) => (n, (sets, rack)) = (middle, found),
            None => bad = middle,
        }
    }
    let text =
        Text::fill("{} (then inner joints {} apart with {} of travel pass)", &[&kind.text(search, &sets), &near(rack[0]), &near(rack[1])]);
    Some(Change { change: in_a_plan(&sets), rack, text })
}

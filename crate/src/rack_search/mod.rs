//! What to look for in the yard: the racks that would suit the car, found from the car alone.
//!
//! Three numbers of a rack are free: the spacing S of its inner joints, its travel T, its travel per turn c; and so is its rack line,
//! anywhere in the car's room ([`crate::judgement::rack_line::room`]): every rack is spoken of where it suits best. Car, offset, height and limits are
//! held. At one spacing and one line the travels that pass form one interval: enough to reach the wanted lock, not so much that the
//! hardware runs into toggle or fold-back or that rod and arm come too close on the way. The travels of a spacing are those of all its
//! lines together; the range of S is where some line has any. c only scales ratio and turns.
//!
//! No formula of its own: every edge is a root of a margin of [`crate::judgement::demand`], found by calling [`crate::linkage::steering::solve`] again, and
//! its ± is that of the margins over their slopes (GUM, first order, as `uncertainty`). What is common practice (rods, ratio, turns, the
//! swing of an inner joint) bounds what is told as well, and is named where it does.

use crate::linkage::arm::arms;
use crate::math::each::Each;

use crate::catalogue::field::{FIELD_COUNT, FIELDS, Field, Section};
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::value::{Gap, Why};
use crate::judgement::demand::{DEMANDS, DemandId, Limit, Travel, limit};
use crate::judgement::rack_line::room;
use crate::linkage::steering::{Solution, solve};
use crate::linkage::travel::{ENDS, End};
use crate::linkage::wheel::{Level, axis_spacing};
use crate::measurement::unit::default_pm;
use crate::plan::inputs::{CARRIED, Conflict, Inputs, Item, Origin, Readings, carrier};
use crate::plan::{Plan, Rack};

mod buying_guide;
mod change;
mod edges;
mod picture;
mod say;
mod spread;
mod turned;
mod window;
pub(crate) use buying_guide::{Asked, guide};
pub use buying_guide::{BuyingGuide, Line, Range, look_for};
pub use change::Change;
pub use edges::{Edge, Effort};
pub use picture::Picture;
pub use window::{Block, Window};

/// How far an inner joint of a rack swings at the most, degrees: common practice from memory, no source.
pub const JOINT_SWING: f64 = 40.0;

/// A bound with the limit that sets it.
type Bound = Option<(f64, Field)>;

/// A car with its limits, ready to be asked.
#[derive(Debug, Clone)]
pub struct RackSearch {
    readings: Readings,
    /// Everything known of car and limits.
    x: Inputs,
    /// The same for solving: the wanted reserve is a demand here, not an end of the travel; lock and reserve then vary each by itself.
    base: Inputs,
    /// The room for rack lines, mm, [rearmost, foremost].
    pub room: [f64; 2],
    /// Limits that are set and cannot be checked, with what they lack.
    pub unchecked: Vec<(Field, Gap)>,
    /// Smallest and largest ratio on centre.
    ratio: [Bound; 2],
    /// Fewest and most turns lock to lock.
    turns: [Bound; 2],
    limits: [Option<f64>; FIELD_COUNT],
    /// The widest spacing with rods no shorter than is usual, whatever the line, mm.
    widest: f64,
    /// The widest spacing that leaves any rods, mm.
    reach: f64,
}

/// What the car lacks before anything can be said.
#[derive(Debug, Clone, PartialEq)]
pub enum Lack {
    /// Readings that contradict each other.
    Conflict(Conflict),
    /// Measurements, or a linkage.
    Gap(Gap),
}

impl RackSearch {
    /// The car of a plan, with offset and height as for its chosen rack. Errors: what is missing, unreadable or contradictory.
    pub fn of(plan: &Plan) -> Result<RackSearch, Box<(Lack, Readings)>> {
        RackSearch::ready(RackSearch::known(plan))
    }

    /// What it is made of.
    fn known(plan: &Plan) -> Readings {
        let mut rack = Rack::default();
        for field in CARRIED {
            let own = plan.racks.get(plan.chosen).is_some_and(|r| r.entries.contains_key(&field));
            let from = if own { Some(plan.chosen) } else { carrier(plan, plan.chosen, field) };
            if let Some(i) = from {
                rack.entries.insert(field, plan.racks[i].entries[&field].clone());
            }
        }
        let alone = Plan { car: plan.car.clone(), limits: plan.limits.clone(), racks: vec![rack], ..Plan::default() };
        Readings::of(&alone, 0)
    }

    fn ready(readings: Readings) -> Result<RackSearch, Box<(Lack, Readings)>> {
        if let Some(&c) = readings.conflicts.first() {
            return Err(Box::new((Lack::Conflict(c), readings)));
        }
        let x = readings.inputs();
        let unread = readings.unclear.iter().fold(FieldSet::empty(), |set, u| set.union(FieldSet::only(u.0)));
        let both = arms(&x);
        let spacing = axis_spacing(&x, Level::RodEnd);
        let mut lacking = FieldSet::empty();
        for gap in [both.err(), spacing.err()] {
            if let Some(Gap::Missing(set)) = gap {
                lacking = lacking.union(set);
            }
        }
        for d in DEMANDS {
            // Rods are made to fit here, and leave no toe; bumps wait for where the rack is fitted.
            if let Limit::Standing(field) = d.limit
                && !matches!(d.id, DemandId::Toe | DemandId::BumpSteer)
                && x.get(field).is_none()
                && !readings.off.contains(field)
            {
                lacking = lacking.union(FieldSet::only(field));
            }
        }
        for field in CARRIED {
            if unread.contains(field) {
                lacking = lacking.union(FieldSet::only(field));
            }
        }
        let (Ok([left, right]), Ok((axes, _)), true) = (both, spacing, lacking.is_empty()) else {
            return Err(Box::new((Lack::Gap(Gap::Missing(lacking)), readings)));
        };
        let mut limits = [None; FIELD_COUNT];
        for spec in FIELDS.iter().filter(|s| s.section == Section::Limits) {
            limits[spec.field as usize] = limit(&x, spec.field);
        }
        let offset = x.get(Field::Offset).unwrap_or(0.0);
        let half = (axes / 2.0 - left.inboard - offset).min(axes / 2.0 - right.inboard + offset);
        let reach = (axes - left.inboard - right.inboard).min(Field::InnerJointSpacing.spec().scale.range.1) - 1.0;
        let rods = limits[Field::UsualRodMin as usize].unwrap_or(0.0);
        let mut search = RackSearch {
            x,
            base: x.with(Field::ReserveWanted, Some(0.0)),
            room: room(&x),
            unchecked: Vec::new(),
            ratio: bounds(&limits, [Field::RatioMin, Field::RatioMax], [Field::UsualRatioMin, Field::UsualRatioMax]),
            turns: bounds(&limits, [Field::TurnsMin, Field::TurnsMax], [Field::UsualTurnsMin, Field::UsualTurnsMax]),
            limits,
            widest: reach.min(2.0 * (half - rods)),
            reach,
            readings,
        };
        if search.reach <= search.narrowest() {
            return Err(Box::new((Lack::Gap(Gap::Unreachable(Why::ArmsCross)), search.readings)));
        }
        search.unchecked = search.cannot_be_checked(unread);
        Ok(search)
    }

    fn cannot_be_checked(&self, unread: FieldSet) -> Vec<(Field, Gap)> {
        let mut out = Vec::new();
        let trial = self.at(self.reach / 2.0, 100.0, (self.room[0] + self.room[1]) / 2.0);
        for d in DEMANDS {
            let Some(field) = d.set_by() else { continue };
            // Rods are made to fit here, and leave no toe; bumps wait for where the rack is fitted.
            if matches!(d.id, DemandId::Toe | DemandId::BumpSteer) || (d.travel == Travel::ByChoice && !unread.contains(field)) {
                continue;
            }
            match (self.x.get(field), trial.results.get(d.result, 0)) {
                (Some(_), Err(gap @ Gap::Missing(_))) => out.push((field, gap)),
                (None, _) if unread.contains(field) => out.push((field, Gap::Missing(FieldSet::only(field)))),
                _ => {}
            }
        }
        out
    }

    /// What is known of car, fitting and limits.
    pub fn readings(&self) -> &Readings {
        &self.readings
    }

    /// The narrowest spacing that the table takes, mm.
    pub fn narrowest(&self) -> f64 {
        Field::InnerJointSpacing.spec().scale.range.0
    }

    /// A rack of that spacing and travel (mm) at that line on the car. The wanted reserve does not end its travel.
    pub fn at(&self, spacing: f64, travel: f64, line: f64) -> Solution {
        self.with(&self.base, spacing, travel, line)
    }

    fn with(&self, x: &Inputs, spacing: f64, travel: f64, line: f64) -> Solution {
        let rack = x.with(Field::InnerJointSpacing, Some(spacing)).with(Field::Travel, Some(travel));
        solve(&rack.with(Field::RackLine, Some(line)), [None; 2])
    }

    /// A limit in the unit of its results: mm, degrees, turns, per cent.
    pub fn limit(&self, field: Field) -> Option<f64> {
        match field {
            Field::InnerJointLimit => Some(JOINT_SWING),
            _ => self.limits[field as usize],
        }
    }

    /// The readings with such a rack in them, each with the ± of its usual method.
    fn rack(&self, numbers: &[(Field, f64)]) -> Readings {
        let mut out = self.readings.clone();
        for &(field, value) in numbers {
            let origin = if field == Field::RackLine { Origin::Found } else { Origin::Typed };
            out.items[field as usize] = Some(Item { value, pm: default_pm(field.spec().scale.method), origin });
        }
        out
    }

    /// What comes first where a rack is pushed on, toggle or fold-back.
    pub fn dead_point(&self, rack: &Solution) -> End {
        let mut next = (f64::INFINITY, End::Toggle(0));
        for distances in &rack.distances {
            for (end, distance) in ENDS.into_iter().zip(distances) {
                match (end, distance) {
                    (End::Toggle(_) | End::FoldBack(_), Some(d)) if *d < next.0 => next = (*d, end),
                    _ => {}
                }
            }
        }
        next.1
    }
}

/// The builder's own two limits, else what is usual; what is usual gives way to a limit that contradicts it.
fn bounds(limits: &[Option<f64>; FIELD_COUNT], own: [Field; 2], usual: [Field; 2]) -> [Bound; 2] {
    let get = |f: Field| limits[f as usize].map(|v| (v, f));
    [0, 1].each(|k| {
        let other = get(own[1 - k]).map(|o| o.0);
        let apart = |v: f64| other.is_none_or(|o| if k == 0 { v < o } else { v > o });
        get(own[k]).or(get(usual[k]).filter(|u| apart(u.0)))
    })
}

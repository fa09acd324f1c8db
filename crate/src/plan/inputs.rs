//! What is known about one rack on the car: every measurement read, carried over or set by default, and what contradicts what.

use crate::catalogue::field::{FIELD_COUNT, FIELDS, Field, Joint, Section};
use crate::catalogue::field_set::FieldSet;
use crate::measurement::entry::Unclear;
use crate::measurement::quantity::Quantity;
use crate::plan::{Entries, Plan};
use std::cell::Cell;

/// The measurements as numbers, in the kernel's units: mm, radians; turns, per cent and plain numbers as they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inputs([Option<f64>; FIELD_COUNT]);

impl Inputs {
    /// Nothing measured.
    pub const NONE: Inputs = Inputs([None; FIELD_COUNT]);

    /// The value of a measurement.
    #[inline(always)]
    pub fn get(&self, field: Field) -> Option<f64> {
        self.0[field as usize]
    }

    /// Whether a coordinate of any point is known.
    pub fn has_points(&self) -> bool {
        self.0[Field::LowerBallX as usize..].iter().any(Option::is_some)
    }

    /// The same with one measurement set, or taken away.
    pub fn with(mut self, field: Field, value: Option<f64>) -> Inputs {
        self.set(field, value);
        self
    }

    /// Sets one measurement, or takes it away.
    pub fn set(&mut self, field: Field, value: Option<f64>) {
        self.0[field as usize] = value;
    }
}

/// Where the value of a measurement is looked up. What looks up takes a `dyn` one, so that there is one copy of it.
pub trait Source {
    /// The value of a measurement.
    fn get(&self, field: Field) -> Option<f64>;
}

impl Source for Inputs {
    fn get(&self, field: Field) -> Option<f64> {
        Inputs::get(self, field)
    }
}

/// Inputs that remember what was looked up, found or not.
pub struct Recorder<'a> {
    inputs: &'a Inputs,
    read: Cell<FieldSet>,
}

impl<'a> Recorder<'a> {
    /// Nothing was looked up yet.
    pub fn new(inputs: &'a Inputs) -> Recorder<'a> {
        Recorder { inputs, read: Cell::new(FieldSet::empty()) }
    }

    /// Whether a coordinate of any point is known, in passing: that alone makes no figure.
    pub fn has_points(&self) -> bool {
        self.inputs.has_points()
    }

    /// Everything that was looked up.
    pub fn read(&self) -> FieldSet {
        self.read.get()
    }

    /// The answer of one stage, and what was looked up for it.
    pub fn stage<T>(&self, work: impl FnOnce(&Self) -> T) -> (T, FieldSet) {
        let before = self.read.replace(FieldSet::empty());
        let answer = work(self);
        let own = self.read.get();
        self.read.set(before.union(own));
        (answer, own)
    }
}

impl Source for Recorder<'_> {
    fn get(&self, field: Field) -> Option<f64> {
        self.read.set(self.read.get().union(FieldSet::only(field)));
        self.inputs.get(field)
    }
}

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Typed for this car or rack.
    Typed,
    /// Typed for another rack, the [`carrier`], and carried over.
    Carried,
    /// Our starting value for a limit: common practice, no source.
    Default,
    /// A limit turned off, of which this much is kept all the same.
    Off,
    /// Not measured and not typed: the place at which the rack suits best, found by [`crate::judgement::rack_line`].
    Found,
}

/// One measurement that has a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Item {
    /// Kernel units.
    pub value: f64,
    /// 95 % half-width, same unit.
    pub pm: f64,
    /// Where it comes from.
    pub origin: Origin,
}

/// Which readings cannot all be right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clash {
    /// Travel is not travel per turn times turns.
    Travel,
    /// Travel over two turns is not twice the travel per turn.
    TwoTurns,
    /// Track is not the axes' spacing at the ground plus twice the scrub radius.
    Track,
    /// The axes lie absurdly far from the wheels' contact centres.
    Axes,
    /// The axes' spacing at rod-end height is not the rod ends' spacing plus both inboard distances.
    RodEnds,
    /// The spacings at the ground and at rod-end height do not go with the kingpin inclination.
    Inclination,
    /// The arm's fore-aft distance is not that of its length and angle.
    ArmAhead,
    /// The arm's inboard distance is not that of its length and angle.
    ArmInboard,
    /// What the tape read is not what the points give.
    Points,
    /// A point that makes no suspension with the others: the first of the readings' points is the odd one.
    Odd(Odd),
    /// The shortest rod is longer than the longest.
    RodRange,
    /// A smallest limit is larger than the largest.
    Limits,
}

/// What is odd about a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Odd {
    /// So near to the middle of the car, or to the floor, as only a number of inches is.
    Inches,
    /// Two pivots that are one point.
    OnePoint,
    /// A front pivot behind the rear one.
    Swapped,
    /// A pivot farther out than the joint at the other end of its arm.
    Outboard,
    /// A joint on the axis that its arm turns about.
    NoArm,
    /// An upper point that does not stand above the lower one.
    NotAbove,
    /// A wheel centre inboard of its ball joint, or far ahead of it or behind.
    Wheel,
}

/// Readings that contradict each other by more than their ±. None of them is used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conflict {
    /// What does not go together.
    pub clash: Clash,
    /// The readings.
    pub fields: FieldSet,
    /// By how much (kernel units), never negative.
    pub amount: f64,
    /// The ± of that amount.
    pub pm: f64,
}

/// Everything known about one rack on the car.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// By [`Field`].
    pub items: [Option<Item>; FIELD_COUNT],
    /// What was typed and cannot be used, with the reason.
    pub unclear: Vec<(Field, Unclear)>,
    /// What contradicts what.
    pub conflicts: Vec<Conflict>,
    /// The limits that were turned off.
    pub off: FieldSet,
}

/// The measurements of how a rack is fitted that are taken from the next rack that has them, where a rack has none.
///
/// The rack line is not among them: that of one rack is not the best one for another.
pub const CARRIED: [Field; 2] = [Field::Offset, Field::Height];

/// Our starting values for the limits that are judged (degrees, mm): common practice, no source.
pub const STARTING_LIMITS: [(Field, f64); 6] = [
    (Field::LockWanted, 30.0),
    (Field::ReserveWanted, 10.0),
    (Field::TransmissionWanted, 30.0),
    (Field::ToeMax, 2.0),
    (Field::BumpSteerMax, 0.2),
    (Field::TyreRoomMin, 10.0),
];

/// Limits of which nought is left where they are turned off: a toggle ends the travel, a tyre touches, whatever is asked.
pub const LEAVES_NOUGHT: [Field; 2] = [Field::ReserveWanted, Field::TyreRoomMin];

/// Our starting values for what is looked at (mm): no source.
pub const STARTING_SETTINGS: [(Field, f64); 1] = [(Field::BumpTravel, 50.0)];

/// Our starting values for what is usual (in the unit of the field's base): common practice from memory, no source. What lies outside
/// is noticed, never judged.
pub const STARTING_BANDS: [(Field, f64); 16] = [
    (Field::UsualRatioMin, 10.0),
    (Field::UsualRatioMax, 30.0),
    (Field::UsualTurnsMin, 1.5),
    (Field::UsualTurnsMax, 6.0),
    (Field::UsualCircleMin, 6000.0),
    (Field::UsualCircleMax, 20_000.0),
    (Field::UsualAckermannMin, -50.0),
    (Field::UsualAckermannMax, 150.0),
    (Field::UsualScrubMin, -60.0),
    (Field::UsualScrubMax, 150.0),
    (Field::UsualRodMin, 120.0),
    (Field::UsualRodMax, 600.0),
    (Field::UsualWheelbaseMin, 1.3),
    (Field::UsualWheelbaseMax, 3.0),
    (Field::UsualTiltMax, 25.0),
    (Field::UsualTolerance, 10.0),
];

/// The lines and the level that points are measured from.
pub const LINES: [Field; 3] = [Field::LineAcross, Field::LineAlong, Field::LineLevel];

impl Readings {
    /// What all racks of a plan have in common, not yet held against each other.
    pub(crate) fn shared(plan: &Plan) -> Readings {
        let mut r = Readings { items: [None; FIELD_COUNT], unclear: Vec::new(), conflicts: Vec::new(), off: FieldSet::empty() };
        r.take(&plan.car, |_| true, Origin::Typed);
        r.take(&plan.limits, |_| true, Origin::Typed);
        let points = |f: &Field| Joint::of(*f).is_some();
        // A line is where it was taken to be, within the ± of a chalk line, until its own was typed.
        for line in LINES.into_iter().filter(|line| !plan.car.contains_key(line) && plan.car.keys().any(points)) {
            let pm = crate::measurement::unit::default_pm(line.spec().scale.method);
            r.items[line as usize] = Some(Item { value: 0.0, pm, origin: Origin::Default });
        }
        r
    }

    /// Those of [`Readings::shared`] with the rack of index `rack`, not yet held against each other.
    pub(crate) fn joined_with(mut self, plan: &Plan, rack: usize) -> Readings {
        let r = &mut self;
        if let Some(own) = plan.racks.get(rack) {
            r.take(&own.entries, |_| true, Origin::Typed);
            for field in CARRIED.into_iter().filter(|f| !own.entries.contains_key(f)) {
                if let Some(i) = carrier(plan, rack, field) {
                    r.take(&plan.racks[i].entries, |f| f == field, Origin::Carried);
                }
            }
        }
        for (field, value) in STARTING_LIMITS.into_iter().chain(STARTING_SETTINGS).chain(STARTING_BANDS) {
            if !plan.limits.contains_key(&field) {
                r.items[field as usize] = Some(Item { value: kernel(field, value), pm: 0.0, origin: Origin::Default });
            }
        }
        self
    }

    fn take(&mut self, entries: &Entries, wanted: impl Fn(Field) -> bool, origin: Origin) {
        for (&field, entry) in entries.iter().filter(|(f, _)| wanted(**f)) {
            match entry.read(&field.spec().scale) {
                Ok(x) => self.items[field as usize] = Some(Item { value: kernel(field, x.value), pm: kernel(field, x.pm), origin }),
                Err(Unclear::Empty) => {}
                Err(Unclear::Off) => {
                    self.off = self.off.union(FieldSet::only(field));
                    if LEAVES_NOUGHT.contains(&field) {
                        self.items[field as usize] = Some(Item { value: 0.0, pm: 0.0, origin: Origin::Off });
                    }
                }
                Err(why) => self.unclear.push((field, why)),
            }
        }
    }

    /// The numbers to compute with: everything that has a value and contradicts nothing.
    pub fn inputs(&self) -> Inputs {
        let doubtful = self.doubtful();
        let mut x = Inputs::NONE;
        for spec in FIELDS.iter().filter(|s| !doubtful.contains(s.field)) {
            x.0[spec.field as usize] = self.items[spec.field as usize].map(|i| i.value);
        }
        x
    }

    /// Whether both hold the same to the last bit; to `==` the two noughts, of either sign, are one.
    pub(crate) fn same_as(&self, other: &Readings) -> bool {
        let bits = |r: &Readings| r.items.map(|item| item.map(|i| (i.value.to_bits(), i.pm.to_bits(), i.origin)));
        self == other && bits(self) == bits(other)
    }

    /// Every reading that contradicts another; what a point on the right mirrors with it, for it is none of the left one's.
    pub fn doubtful(&self) -> FieldSet {
        let all = self.conflicts.iter().fold(FieldSet::empty(), |set, c| set.union(c.fields));
        all.iter().filter_map(Joint::mirrored).fold(all, |set, left| set | left)
    }
}

/// The rack from which `rack` takes a measurement of how it is fitted: the nearest before it that has one, else the nearest after.
pub fn carrier(plan: &Plan, rack: usize, field: Field) -> Option<usize> {
    let has = |i: &usize| plan.racks[*i].entries.contains_key(&field);
    (0..rack.min(plan.racks.len())).rev().find(has).or_else(|| (rack + 1..plan.racks.len()).find(has))
}

/// From the unit in which a person reads it to the kernel's.
pub fn kernel(field: Field, value: f64) -> f64 {
    if field.spec().scale.quantity == Quantity::Angle { value.to_radians() } else { value }
}

/// The measurements of a section, in the order of the table.
pub fn of_section(section: Section) -> impl Iterator<Item = Field> {
    FIELDS.iter().filter(move |s| s.section == section).map(|s| s.field)
}

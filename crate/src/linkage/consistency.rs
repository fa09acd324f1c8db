//! Which readings contradict each other: measurements of one linkage are held against each other, each within its ±.

use crate::catalogue::field::{Field, Joint};
use crate::catalogue::field_set::FieldSet;
use crate::linkage::arm::{self, Arm};
use crate::linkage::points;
use crate::math::trig::Angle;
use crate::plan::Plan;
use crate::plan::inputs::{Clash, Conflict, Inputs, Readings, Recorder};

/// A quantity by the points.
type ByPoints = fn(&Recorder) -> Option<f64>;

/// What the tape reads and the points give too.
const BY_POINTS: [(Field, ByPoints); 14] = [
    (Field::FrontTrack, |x| Some(points::contact(x, 0)? + points::contact(x, 1)?)),
    (Field::ScrubRadius, |x| Some(points::contact(x, 0)? - points::axis(x, 0)?.at(0.0).y)),
    (Field::ArmLength, |x| arm::from_points(x).map(|a| a[0].length() * a[0].ahead.signum())),
    (Field::ArmAngle, |x| arm::from_points(x).map(|a| a[0].angle())),
    (Field::RodEndHeight, |x| points::joint(x, Joint::TieRodEnd, 0).map(|o| o.z)),
    (Field::RodEndSpacing, |x| Some(points::joint(x, Joint::TieRodEnd, 0)?.y - points::joint(x, Joint::TieRodEnd, 1)?.y)),
    (Field::AxisSpacingGround, |x| Some(points::axis(x, 0)?.at(0.0).y - points::axis(x, 1)?.at(0.0).y)),
    (Field::AxisSpacingRodEnd, |x| points::axes(x).map(|[left, right]| left.0.y - right.0.y)),
    (Field::KingpinInclination, |x| points::axis(x, 0).map(|axis| (-axis.up.y).atan2(axis.up.z))),
    (Field::Caster, |x| points::axis(x, 0).map(|axis| (-axis.up.x).atan2(axis.up.z))),
    (Field::ArmForeAft, |x| arm::from_points(x).map(|a| a[0].ahead)),
    (Field::ArmInboard, |x| arm::from_points(x).map(|a| a[0].inboard)),
    (Field::RightArmForeAft, |x| arm::from_points(x).map(|a| a[1].ahead)),
    (Field::RightArmInboard, |x| arm::from_points(x).map(|a| a[1].inboard)),
];

impl Readings {
    /// A quantity by the points: its value, its ± to first order, and the coordinates that it was made from.
    fn by_points(&self, x: &Inputs, quantity: ByPoints) -> Option<(f64, f64, FieldSet)> {
        let record = Recorder::new(x);
        let value = quantity(&record)?;
        let (mut square, mut made_from) = (0.0, FieldSet::empty());
        for (field, item) in record.read().iter().filter_map(|f| Some((f, self.items[f as usize]?))) {
            let moved = quantity(&Recorder::new(&x.with(field, Some(item.value + item.pm))))? - value;
            square += moved * moved;
            if moved != 0.0 && Joint::of(field).is_some() {
                made_from |= field;
            }
        }
        Some((value, square.sqrt(), made_from))
    }

    /// The readings for the rack of index `rack`, or for the car alone where there is no such rack.
    pub fn of(plan: &Plan, rack: usize) -> Readings {
        Readings::shared(plan).with_rack(plan, rack)
    }

    /// Those of [`Readings::shared`] with the rack of index `rack`, as [`Readings::of`].
    pub(crate) fn with_rack(self, plan: &Plan, rack: usize) -> Readings {
        let mut out = self.joined_with(plan, rack);
        out.hold_against_each_other();
        out
    }

    /// Finds what contradicts what.
    pub(crate) fn hold_against_each_other(&mut self) {
        use Field::*;
        self.conflicts.clear();
        let v = |f: Field| self.items[f as usize].map(|i| (i.value, i.pm));
        let mut found = Vec::new();
        let neg = |(x, p): (f64, f64)| (-x, p);
        // The amounts are sums of terms (value, ±), signs as given.
        let mut check = |clash, fields: &[Field], terms: &[(f64, f64)]| {
            let amount = terms.iter().map(|t| t.0).sum::<f64>().abs();
            let pm = terms.iter().map(|t| t.1 * t.1).sum::<f64>().sqrt();
            if amount > pm + 1e-9 {
                found.push(Conflict {
                    clash,
                    fields: fields.iter().fold(FieldSet::empty(), |s, &f| s.union(FieldSet::only(f))),
                    amount,
                    pm,
                });
            }
        };
        if let (Some(c), Some(two)) = (v(TravelPerTurn), v(TravelTwoTurns)) {
            check(Clash::TwoTurns, &[TravelPerTurn, TravelTwoTurns], &[neg(two), (2.0 * c.0, 2.0 * c.1)]);
        }
        let half = v(TravelTwoTurns).map(|(two, pm)| (two / 2.0, pm / 2.0));
        if let (Some(t), Some(c), Some(n)) = (v(Travel), v(TravelPerTurn).or(half), v(Turns)) {
            check(Clash::Travel, &[Travel, TravelPerTurn, TravelTwoTurns, Turns], &[t, (-c.0 * n.0, c.1 * n.0), (0.0, c.0 * n.1)]);
        }
        match (v(FrontTrack), v(AxisSpacingGround), v(ScrubRadius)) {
            (Some(t), Some(g), Some(s)) => {
                check(Clash::Track, &[FrontTrack, AxisSpacingGround, ScrubRadius], &[t, neg(g), (-2.0 * s.0, 2.0 * s.1)]);
            }
            (Some(t), Some(g), None) if (t.0 - g.0).abs() > 2.0 * ScrubRadius.spec().scale.range.1 => {
                check(Clash::Axes, &[FrontTrack, AxisSpacingGround], &[t, neg(g)]);
            }
            _ => {}
        }
        let by_angle = |a: (f64, f64), b: (f64, f64)| {
            let arm = Arm::from_length(a.0, b.0);
            let turn = (arm.ahead * b.1, arm.inboard * b.1);
            ([(arm.ahead, a.1 * b.0.cosine()), (0.0, turn.1)], [(arm.inboard, a.1 * b.0.sine()), (0.0, turn.0)])
        };
        let polar = v(ArmLength).zip(v(ArmAngle)).map(|(a, b)| by_angle(a, b));
        if let (Some(e), Some((ahead, _))) = (v(ArmForeAft), polar) {
            check(Clash::ArmAhead, &[ArmForeAft, ArmLength, ArmAngle], &[neg(e), ahead[0], ahead[1]]);
        }
        if let (Some(f), Some((_, inboard))) = (v(ArmInboard), polar) {
            check(Clash::ArmInboard, &[ArmInboard, ArmLength, ArmAngle], &[neg(f), inboard[0], inboard[1]]);
        }
        let inboard = v(ArmInboard).or(polar.map(|(_, i)| (i[0].0, i[0].1.hypot(i[1].1))));
        // A right arm that was not measured is the left one again: one reading, twice its ±.
        let both = inboard.map(|f| v(RightArmInboard).map_or((2.0 * f.0, 2.0 * f.1), |r| (f.0 + r.0, f.1.hypot(r.1))));
        if let (Some(w), Some(s), Some(b)) = (v(AxisSpacingRodEnd), v(RodEndSpacing), both) {
            check(Clash::RodEnds, &[AxisSpacingRodEnd, RodEndSpacing, ArmInboard, ArmLength, ArmAngle], &[neg(w), s, b]);
        }
        let rod_end = v(AxisSpacingRodEnd).or(v(RodEndSpacing).zip(both).map(|(s, b)| (s.0 + b.0, s.1.hypot(b.1))));
        if let (Some(g), Some(w), Some(k), Some(h)) = (v(AxisSpacingGround), rod_end, v(KingpinInclination), v(RodEndHeight)) {
            let (tan, cos) = (k.0.tangent(), k.0.cosine());
            let lean = [(-2.0 * h.0 * tan, 2.0 * h.1 * tan), (0.0, 2.0 * h.0 / (cos * cos) * k.1)];
            let fields = [AxisSpacingGround, AxisSpacingRodEnd, RodEndSpacing, KingpinInclination, RodEndHeight];
            check(Clash::Inclination, &fields, &[g, neg(w), lean[0], lean[1]]);
        }
        let x = self.inputs();
        let odd = self.odd_points(&x);
        for (field, by_points) in BY_POINTS.into_iter().filter(|_| odd.is_empty() && x.has_points()) {
            if let (Some(tape), Some((value, pm, points))) = (v(field), self.by_points(&x, by_points)) {
                let fields: Vec<Field> = points.iter().chain([field]).collect();
                check(Clash::Points, &fields, &[neg(tape), (value, pm)]);
            }
        }
        let mut ordered = |clash, low: Field, high: Field| {
            if let (Some(a), Some(b)) = (v(low), v(high))
                && a.0 > b.0
            {
                check(clash, &[low, high], &[(a.0 - b.0, 0.0)]);
            }
        };
        ordered(Clash::RodRange, RodLengthMin, RodLengthMax);
        ordered(Clash::Limits, RatioMin, RatioMax);
        ordered(Clash::Limits, TurnsMin, TurnsMax);
        ordered(Clash::Limits, AckermannMin, AckermannMax);
        ordered(Clash::Limits, UsualRatioMin, UsualRatioMax);
        ordered(Clash::Limits, UsualTurnsMin, UsualTurnsMax);
        ordered(Clash::Limits, UsualCircleMin, UsualCircleMax);
        ordered(Clash::Limits, UsualAckermannMin, UsualAckermannMax);
        ordered(Clash::Limits, UsualScrubMin, UsualScrubMax);
        ordered(Clash::Limits, UsualRodMin, UsualRodMax);
        ordered(Clash::Limits, UsualWheelbaseMin, UsualWheelbaseMax);
        self.conflicts = odd;
        self.conflicts.extend(found);
    }
}

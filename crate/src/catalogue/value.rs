//! The value of a result, or why it has none.

use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::math::closure::Reach;
use enumset::{EnumSet, EnumSetType};

/// Why a result has no value although everything it needs is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Why {
    /// The linkage has no position.
    Linkage(Reach),
    /// There is no fold-back before the toggle that way.
    NoFoldBack,
    /// There is no toggle that way.
    NoToggle,
    /// The joint never meets its limit before the linkage locks in line.
    NoLimit,
    /// The arm runs straight fore and aft: its line never meets the centre plane.
    NeverMeets,
    /// The figure exists only for a car that is alike left and right.
    NotAlike,
    /// There is no usable travel that way.
    NoTravel,
    /// The wheels do not turn towards that side.
    NoTurn,
    /// The arms reach past the car's centre plane.
    ArmsCross,
    /// The inner joints stand further apart than the outer rod ends.
    RackTooWide,
    /// The two wheels go opposite ways.
    Opposed,
    /// The points make no suspension.
    NoSuspension,
    /// A height of the wheel cannot be reached.
    RanOut(Link),
    /// No place of the inner joint within 200 mm is better.
    NoPlace,
    /// No such place keeps the limit.
    NoneKeeps,
    /// A joint of the rod comes through the frame rail.
    JointInRail,
    /// The tyres keep clear as far as the rack goes.
    KeepsClear,
}

/// What keeps a wheel from a height.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Link {
    /// The lower arm: no angle of it brings the wheel there.
    LowerArm,
    /// The upper arm does not reach the upright.
    UpperArm,
    /// The damper's line passes the lower ball joint farther off than the top mount.
    Damper,
    /// The tie rod does not reach the steering arm.
    TieRod,
    /// Upright or wheel would lie flat.
    Wheel,
}

/// Why a result has no value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gap {
    /// These measurements are missing.
    Missing(FieldSet),
    /// Everything is there, and there is no such value.
    Unreachable(Why),
}

/// A value, or why there is none.
pub type Value = Result<f64, Gap>;

/// All the values together, or what is missing of any of them, or why one of them does not exist.
pub fn all<const N: usize>(values: [Value; N]) -> Result<[f64; N], Gap> {
    let (mut out, mut missing, mut why) = ([0.0; N], FieldSet::empty(), None);
    for (place, value) in out.iter_mut().zip(values) {
        match value {
            Ok(x) => *place = x,
            Err(Gap::Missing(set)) => missing = missing.union(set),
            Err(Gap::Unreachable(w)) => why = why.or(Some(w)),
        }
    }
    match why {
        _ if !missing.is_empty() => Err(Gap::Missing(missing)),
        Some(w) => Err(Gap::Unreachable(w)),
        None => Ok(out),
    }
}

/// Something taken for granted on the way to a result.
#[derive(Debug, EnumSetType)]
pub enum Assumed {
    /// The axes' spacing at the ground is that at rod-end height.
    SpacingAtGround,
    /// The axes' spacing at rod-end height is that at the ground.
    SpacingAtRodEnd,
    /// The lean of the steering axes, or their caster.
    Lean,
}

/// What a result was made from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Trace {
    /// The measurements that were looked up on the way, found or not.
    pub read: FieldSet,
    /// What was taken for granted on the way.
    pub assumed: EnumSet<Assumed>,
}

impl Trace {
    /// A trace of these measurements.
    #[inline(always)]
    pub fn of(read: FieldSet) -> Trace {
        Trace { read, assumed: EnumSet::empty() }
    }

    /// Both traces together.
    #[inline(always)]
    pub fn and(self, other: Trace) -> Trace {
        Trace { read: self.read.union(other.read), assumed: self.assumed.union(other.assumed) }
    }
}

/// The answer of a stage, or why there is none, with what it was made from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Traced<T = f64> {
    /// The answer.
    pub value: Result<T, Gap>,
    /// What it was made from.
    pub trace: Trace,
}

impl<T> Traced<T> {
    /// No answer yet, made from nothing.
    pub fn nothing() -> Traced<T> {
        Traced { value: Err(Gap::Missing(FieldSet::empty())), trace: Trace::default() }
    }

    /// An answer with what was looked up for it.
    pub fn new((value, read): (Result<T, Gap>, FieldSet)) -> Traced<T> {
        Traced { value, trace: Trace::of(read) }
    }

    /// The same, looked at where it is: what is large is not moved.
    pub fn as_ref(&self) -> Traced<&T> {
        Traced { value: self.value.as_ref().map_err(|gap| *gap), trace: self.trace }
    }

    /// The same with something taken for granted, where `so` says so.
    pub fn assuming(mut self, so: bool, what: Assumed) -> Traced<T> {
        if so {
            self.trace.assumed |= what;
        }
        self
    }

    /// Another answer from this one.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Traced<U> {
        Traced { value: self.value.map(f), trace: self.trace }
    }

    /// Another answer from this one, if there is one.
    pub fn and_then<U>(self, f: impl FnOnce(T) -> Result<U, Gap>) -> Traced<U> {
        Traced { value: self.value.and_then(f), trace: self.trace }
    }

    /// The same, made from what `other` was made from as well.
    pub fn after<U>(mut self, other: &Traced<U>) -> Traced<T> {
        self.trace = self.trace.and(other.trace);
        self
    }
}

/// Several answers together, as [`all`], with all that they were made from.
pub fn together<const N: usize>(parts: [Traced; N]) -> Traced<[f64; N]> {
    let trace = parts.iter().fold(Trace::default(), |trace, part| trace.and(part.trace));
    let mut values = [Err(Gap::Missing(FieldSet::empty())); N];
    values.iter_mut().zip(&parts).for_each(|(value, part)| *value = part.value);
    Traced { value: all(values), trace }
}

/// A reading, or that it is missing.
pub fn known(value: Option<f64>, field: Field) -> Value {
    value.ok_or(Gap::Missing(FieldSet::only(field)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_missing_comes_before_what_cannot_be() {
        let missing = Err(Gap::Missing(FieldSet::only(Field::Wheelbase)));
        let never = Err(Gap::Unreachable(Why::NoTurn));
        assert_eq!(all([Ok(1.0), never, missing]), Err(Gap::Missing(FieldSet::only(Field::Wheelbase))));
        assert_eq!(all([Ok(1.0), Ok(2.0)]), Ok([1.0, 2.0]));
    }
}

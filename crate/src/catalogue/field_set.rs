//! Sets of measurements.

use crate::catalogue::field::{FIELD_COUNT, FIELDS, Field};
use std::ops::{BitAnd, BitOr, BitOrAssign};

/// How many words of 64 bits hold one bit for each measurement.
const WORDS: usize = 3;

const _: () = assert!(FIELD_COUNT <= WORDS * 64, "another word");

/// A set of measurements, in the order of the table.
///
/// Its words one by one, without a loop: every figure is made with a set of what was looked up for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FieldSet([u64; WORDS]);

impl FieldSet {
    /// Nothing.
    pub const fn empty() -> FieldSet {
        FieldSet([0; WORDS])
    }

    /// This one alone.
    #[inline]
    pub const fn only(field: Field) -> FieldSet {
        let mut set = FieldSet::empty();
        let at = field as usize;
        set.0[at / 64] = 1 << (at % 64);
        set
    }

    /// Whether nothing is in it.
    #[inline]
    pub fn is_empty(&self) -> bool {
        let [a, b, c] = self.0;
        a | b | c == 0
    }

    /// Whether this one is in it.
    #[inline]
    pub fn contains(&self, field: Field) -> bool {
        let at = field as usize;
        self.0[at / 64] >> (at % 64) & 1 == 1
    }

    /// What is in either.
    #[inline(always)]
    pub fn union(self, other: FieldSet) -> FieldSet {
        let ([a, b, c], [x, y, z]) = (self.0, other.0);
        FieldSet([a | x, b | y, c | z])
    }

    /// How many are in it.
    pub fn len(&self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// What is in it, in the order of the table.
    pub fn iter(self) -> Fields {
        Fields(self)
    }
}

/// What is in a set, one by one.
#[derive(Debug, Clone)]
pub struct Fields(FieldSet);

impl Iterator for Fields {
    type Item = Field;

    fn next(&mut self) -> Option<Field> {
        let word = self.0.0.iter().position(|word| *word != 0)?;
        let bits = &mut self.0.0[word];
        let at = word * 64 + bits.trailing_zeros() as usize;
        *bits &= *bits - 1;
        Some(FIELDS[at].field)
    }
}

impl IntoIterator for FieldSet {
    type Item = Field;
    type IntoIter = Fields;

    fn into_iter(self) -> Fields {
        self.iter()
    }
}

impl From<Field> for FieldSet {
    fn from(field: Field) -> FieldSet {
        FieldSet::only(field)
    }
}

impl FromIterator<Field> for FieldSet {
    fn from_iter<I: IntoIterator<Item = Field>>(fields: I) -> FieldSet {
        fields.into_iter().fold(FieldSet::empty(), |set, field| set | field)
    }
}

impl<T: Into<FieldSet>> BitOr<T> for FieldSet {
    type Output = FieldSet;

    #[inline(always)]
    fn bitor(self, other: T) -> FieldSet {
        self.union(other.into())
    }
}

impl<T: Into<FieldSet>> BitOr<T> for Field {
    type Output = FieldSet;

    fn bitor(self, other: T) -> FieldSet {
        FieldSet::only(self).union(other.into())
    }
}

impl<T: Into<FieldSet>> BitOrAssign<T> for FieldSet {
    #[inline(always)]
    fn bitor_assign(&mut self, other: T) {
        *self = self.union(other.into());
    }
}

impl<T: Into<FieldSet>> BitAnd<T> for FieldSet {
    type Output = FieldSet;

    fn bitand(self, other: T) -> FieldSet {
        let ([a, b, c], [x, y, z]) = (self.0, other.into().0);
        FieldSet([a & x, b & y, c & z])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_holds_what_was_put_into_it() {
        for (i, a) in FIELDS.iter().map(|s| s.field).enumerate() {
            let only = FieldSet::only(a);
            assert!(FIELDS.iter().all(|s| only.contains(s.field) == (s.field == a)) && only.len() == 1 && !only.is_empty());
            for b in FIELDS[i..].iter().map(|s| s.field) {
                let both = a | b;
                assert_eq!(both.iter().collect::<Vec<_>>(), if a == b { vec![a] } else { vec![a, b] });
                assert_eq!((both & a, both & b, only.union(b.into())), (only, FieldSet::only(b), both));
                assert_eq!((only & b).is_empty(), a != b);
            }
        }
        let all: FieldSet = FIELDS.iter().map(|s| s.field).collect();
        assert_eq!(all.len(), FIELD_COUNT);
        assert!(all.iter().eq(FIELDS.iter().map(|s| s.field)) && FieldSet::empty().is_empty() && FieldSet::empty().iter().next().is_none());
    }
}

//! Sets of measurements.

use crate::catalogue::field::{FIELD_COUNT, FIELDS, Field};

/// A set of measurements.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FieldSet(u128);

const _: () = assert!(FIELD_COUNT <= 128, "a FieldSet holds 128");

impl FieldSet {
    /// The empty set.
    pub const NONE: FieldSet = FieldSet(0);

    /// The set of one.
    pub const fn of(field: Field) -> FieldSet {
        FieldSet(1 << field as u32)
    }

    /// Both sets together.
    pub const fn with(self, other: FieldSet) -> FieldSet {
        FieldSet(self.0 | other.0)
    }

    /// Whether `field` is in it.
    pub const fn has(self, field: Field) -> bool {
        self.0 & FieldSet::of(field).0 != 0
    }

    /// Whether nothing is in it.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Its members in the order of the table.
    pub fn iter(self) -> impl Iterator<Item = Field> {
        FIELDS.iter().map(|s| s.field).filter(move |&f| self.has(f))
    }
}

//! Sets of measurements.

use crate::catalogue::field::Field;
use enumset::EnumSet;

/// A set of measurements, in the order of the table.
pub type FieldSet = EnumSet<Field>;

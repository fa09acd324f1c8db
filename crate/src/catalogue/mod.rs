//! The tables: everything that can be typed, everything that is answered.

pub mod field;
pub mod field_set;
pub mod result;
pub mod value;

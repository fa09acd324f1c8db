//! What a person reads off a tape and types, and how a figure is shown. Knows no car.

pub(crate) mod decimal;
pub mod entry;
pub mod figure;
pub mod grammar;
pub mod in_unit;
pub mod quantity;
pub mod text;
pub mod unit;

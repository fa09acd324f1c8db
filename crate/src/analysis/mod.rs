//! What follows from a solved linkage: how sure every figure is, curves over the turn.

pub mod bumps;
pub mod curves;
pub mod placement;
pub mod sweep;
pub mod uncertainty;

//! Evaluates a plan.
fn main() {}

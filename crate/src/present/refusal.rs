//! What the core refuses, as a value: a page tells a person's mistake, or a limit of the matter, from a mistake of a program by its kind.

use serde::Serialize;

/// What was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "lowercase")]
pub enum Refused {
    /// A plan's file that cannot be read.
    Plan,
    /// A link that cannot be read.
    Link,
    /// A place that the linkage does not have.
    Place,
}

/// A refusal, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Refusal {
    /// What was refused.
    pub refused: Refused,
    /// Why, in a sentence for a person.
    pub says: String,
}

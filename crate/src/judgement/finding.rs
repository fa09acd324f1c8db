//! A finding: one demand on one rack, judged, with what would cure it.

use crate::measurement::figure::Text;
use serde::Serialize;

/// How a demand came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Met, by more than the ±.
    Pass,
    /// The margin is smaller than its ±.
    Close,
    /// Not met, by more than the ±.
    Fail,
    /// Something it needs is missing, or contradicts something else.
    Missing,
    /// Unusual: no judgement, a figure to look at again.
    Notice,
}

/// One demand on the rack, judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Finding {
    /// Its name outside the program.
    pub name: &'static str,
    /// Which side it speaks of: "" for none or for both alike.
    pub side: &'static str,
    /// How it came out.
    pub kind: Kind,
    /// Whether the verdict counts it.
    pub judged: bool,
    /// The value, in the unit of `unit`.
    pub value: Option<f64>,
    /// The limit.
    pub limit: Option<f64>,
    /// By how much the value keeps the limit; negative when it does not.
    pub margin: Option<f64>,
    /// The ± of the margin, 95 %.
    pub pm: Option<f64>,
    /// Unit of the four.
    pub unit: &'static str,
    /// A few words for the head of a column.
    pub head: Text,
    /// The finding, a short sentence.
    pub title: Text,
    /// What it rests on.
    pub reason: Text,
    /// What to change; empty where nothing needs changing.
    pub remedy: Text,
    /// The changes that the remedy names, each solved with the change applied.
    pub cures: Vec<Cure>,
    /// Where the limit comes from.
    pub origin: &'static str,
}

/// One reading or limit, changed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Change {
    /// "car", "racks" or "limits".
    pub section: &'static str,
    /// Its name in the plan.
    pub field: &'static str,
    /// What it becomes, as a number of the plan's file: mm, degrees, signed by the side; `None`: it is taken out.
    pub value: Option<f64>,
}

/// A change that was solved with the change applied.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Cure {
    /// What is changed.
    pub change: Vec<Change>,
    /// The findings that still fail, or are too close to call, with it; empty where everything passes.
    pub still: Vec<&'static str>,
    /// What to do, and what comes of it.
    pub text: Text,
    /// Where one reading is changed to another place of the rack; else nothing.
    pub set: Option<Setting>,
}

/// A rack set elsewhere by one reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Setting {
    /// The reading, as it is typed for that, in either unit.
    pub typed: Text,
    /// What a button says that does it.
    pub button: Text,
    /// How far off the rack is now.
    pub off: Text,
    /// How far from where it was it then is.
    pub place: Text,
}

//! The page in a real browser.
#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod bumps;
mod chart;
mod engines;
mod friend;
mod hand;
mod keeping;
mod letters;
mod licences;
mod lighthouse;
mod little;
mod looks;
mod most;
mod motion;
mod offline;
mod page;
mod parts;
mod person;
mod pictures;
mod places;
mod plans;
mod room;
mod shown;
mod spoilt;
mod tape;
mod vectors;
mod weight;
mod yard;

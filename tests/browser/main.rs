//! The page in a real browser.
#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod chart;
mod page;
mod weight;

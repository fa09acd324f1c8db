//! What is made of the figures: demands, where a rack sits best, findings, the verdict, remedies, notices, racks side by side.

pub mod case;
pub mod compare;
pub mod demand;
pub mod finding;
pub mod findings;
pub mod notice;
pub mod rack_line;
pub mod region;
pub mod remedy;
pub mod verdict;

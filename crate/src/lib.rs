//! Donorack's core: which steering rack suits the car.
//!
//! Floors from the ground up; an arrow points only downwards. `geometry` and `closure` know no car;
//! `fields`, `measure`, `plan`, `link` hold what was typed and know no result; `steering` and its
//! neighbours answer one question each and know no screen; `findings` judge; `chart` knows no DOM;
//! `web` alone knows JavaScript.

pub mod ackermann;
pub mod assumption;
pub mod axle;
pub mod chart;
pub mod circle;
pub mod closure;
pub mod compare;
pub mod curves;
pub mod demand;
pub mod drawing;
pub mod explain;
pub mod fields;
pub mod findings;
pub mod fitting;
pub mod geometry;
mod grammar;
pub mod in_unit;
pub mod json;
pub mod link;
pub mod measure;
mod memo;
pub mod notice;
pub mod parts;
pub mod plan;
pub mod ratio;
pub mod readings;
pub mod remedy;
pub mod results;
pub mod steering;
pub mod sweep;
pub mod tables;
pub mod text;
pub mod travel;
pub mod turn;
pub mod uncertainty;
pub mod units;
pub mod verdict;
pub mod view;
pub mod words;
pub mod yard;

#[cfg(target_arch = "wasm32")]
pub mod web;
#[cfg(target_arch = "wasm32")]
mod web_axle;
#[cfg(target_arch = "wasm32")]
mod web_chart;
#[cfg(target_arch = "wasm32")]
mod web_pack;

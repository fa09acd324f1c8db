//! What is shown: serializable counterparts of everything computed. The page and the command line show exactly this.

pub mod axle_drawing;
pub mod bump_probe;
pub mod explanation;
pub mod hole;
pub mod lock_to_lock;
pub mod map;
pub mod over_bumps;
pub mod parts;
pub mod place;
pub mod points;
#[cfg_attr(not(target_arch = "wasm32"), allow(dead_code, reason = "only the boundary refuses"))]
pub mod refusal;
pub mod tables;
pub mod view;

//! What the outside-world tests share.

pub mod benches;
#[cfg(feature = "browser")]
pub mod browser;
#[cfg(feature = "browser")]
pub mod display;
#[cfg(feature = "browser")]
pub mod driver;
#[cfg(feature = "browser")]
pub mod engine;
pub mod independent;
#[cfg(feature = "browser")]
pub mod lighthouse;
#[cfg(feature = "browser")]
pub mod picture;
#[cfg(feature = "browser")]
pub mod samples;
pub mod svg;
pub mod worked;

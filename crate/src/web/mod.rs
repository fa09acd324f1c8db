//! What JavaScript can call. This folder alone depends on JavaScript.
//!
//! A plan goes in as the text of its file, which [`Plan::from_json`] alone reads, here as on the command line; everything comes out as plain
//! objects. What the core refuses is thrown as a [`Refusal`], with its sentence for a person; whatever else is thrown is an `Error`: a
//! mistake of a program, which no person is told as theirs.

mod axle;
mod canvas;
mod chart;
mod crossing;
mod session;

pub use axle::Axle;
pub use session::Session;

use crate::catalogue::field::{FIELDS, Field, Section};
use crate::math::closure::{Linkage, Reach};
use crate::math::vector::Vec3;
use crate::measurement::entry::{Entry, Side};
use crate::measurement::quantity::Quantity;
use crate::measurement::unit::{Unit, base};
use crate::plan::Plan;
use crate::present::refusal::{Refusal, Refused};
use crate::present::view;
use crate::web::crossing::object;
use wasm_bindgen::prelude::*;

/// The allocator: 2.5 kB lighter (`gzip -9`) than the one that comes with Rust, and no slower in an evaluation.
#[global_allocator]
static MEMORY: rlsf::GlobalTlsf = rlsf::GlobalTlsf::new();

/// Asks for the memory that a plan of some racks and a map take, so that it seldom grows while a function runs: once, of many runs, WebKit
/// said "Out of bounds memory access" of a sound module there. What is given back stays with the allocator.
#[wasm_bindgen(start)]
fn start() {
    drop(std::hint::black_box(Vec::<u8>::with_capacity(6 << 20)));
}

/// The version of the core, as in its Cargo.toml.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

/// Throws a refusal.
pub(crate) fn refuse(kind: Refused, says: impl ToString) -> JsValue {
    object(&Refusal { refused: kind, says: says.to_string() }).unwrap_or_else(JsValue::from)
}

/// The plan of a file's text.
pub(crate) fn read(text: &str) -> Result<Plan, JsValue> {
    Plan::from_json(text).map_err(|why| refuse(Refused::Plan, why))
}

/// The plan of a file's text, as the object that the page holds.
#[wasm_bindgen]
pub fn read_plan(text: &str) -> Result<JsValue, JsValue> {
    Ok(object(&read(text)?)?)
}

/// A plan as it was typed, without anything that follows from it: a [`view::Typed`].
#[wasm_bindgen]
pub fn as_typed(plan: &str) -> Result<JsValue, JsValue> {
    Ok(object(&view::as_typed(&read(plan)?))?)
}

/// Throws the reason where a plan cannot be read.
#[wasm_bindgen]
pub fn check_plan(plan: &str) -> Result<(), JsValue> {
    read(plan).map(|_| ())
}

fn field(section: &str, name: &str) -> Option<Field> {
    let section = Section::ALL.into_iter().find(|&s| s.name() == section)?;
    FIELDS.iter().find(|s| s.section == section && s.name == name).map(|s| s.field)
}

/// The text of an entry in a plan's file, from what stands in its field; empty when nothing was typed.
#[wasm_bindgen]
pub fn compose(section: &str, name: &str, text: &str, unit: &str, side: &str) -> Result<String, JsError> {
    let field = field(section, name).ok_or_else(|| JsError::new("no such measurement"))?;
    let spec = field.spec();
    let side = spec.scale.sides.and_then(|(plus, minus)| match side {
        s if s == plus => Some(Side::Plus),
        s if s == minus => Some(Side::Minus),
        _ => None,
    });
    let unit = Unit::named(unit).filter(|u| u.fits(spec.scale.quantity)).unwrap_or_else(|| base(spec.scale.quantity));
    let text = if spec.scale.quantity == Quantity::Choice { "" } else { text };
    let entry = Entry::new(text, unit, side);
    Ok(if entry.is_blank(&spec.scale) { String::new() } else { entry.form(&spec.scale) })
}

/// What stands in a field, written in another of its units: exactly, or nothing.
#[wasm_bindgen]
pub fn in_unit(section: &str, name: &str, text: &str, unit: &str, other: &str) -> Result<Option<String>, JsError> {
    let field = field(section, name).ok_or_else(|| JsError::new("no such measurement"))?;
    let named = |unit: &str| Unit::named(unit).ok_or_else(|| JsError::new("no such unit"));
    Ok(crate::measurement::in_unit::in_unit(text, field.spec().scale.quantity, named(unit)?, named(other)?))
}

/// A typed wheel travel in mm, up positive; refused with a sentence that says how to mend it.
#[wasm_bindgen]
pub fn typed_travel(text: &str, unit: &str, side: &str) -> Result<f64, JsValue> {
    crate::present::over_bumps::typed_travel(text, unit, side).map_err(|why| refuse(Refused::Place, why))
}

/// The fragment of a plan's link, without the `#`.
#[wasm_bindgen]
pub fn encode_link(plan: &str) -> Result<String, JsValue> {
    Ok(read(plan)?.to_link())
}

/// The plan of a link, as the object that its file reads as.
#[wasm_bindgen]
pub fn decode_link(link: &str) -> Result<JsValue, JsValue> {
    Ok(object(&Plan::from_link(link).map_err(|why| refuse(Refused::Link, why))?)?)
}

/// One closure, for comparison with another program: `points` are axis point, axis direction, outer and inner joint (twelve
/// numbers in mm) and the rod's length (NaN: made to fit). Returns the turn in degrees and the rod's length; throws the reason.
#[wasm_bindgen]
pub fn closure(points: &[f64], s: f64) -> Result<Vec<f64>, JsError> {
    let &[lx, ly, lz, ux, uy, uz, ox, oy, oz, ix, iy, iz, rod] = points else {
        return Err(JsError::new("thirteen numbers are wanted"));
    };
    let (axis, dir, outer, inner) = (Vec3::new(lx, ly, lz), Vec3::new(ux, uy, uz), Vec3::new(ox, oy, oz), Vec3::new(ix, iy, iz));
    let linkage = if rod.is_nan() { Linkage::new(axis, dir, outer, inner) } else { Linkage::with_rod(axis, dir, outer, inner, rod) };
    let turn = linkage.and_then(|l| l.at(s).map(|t| vec![t.angle().to_degrees(), l.rod()]));
    turn.map_err(|reach| {
        JsError::new(match reach {
            Reach::TooShort => "too_short",
            Reach::TooLong => "too_long",
            Reach::AtToggle => "at_toggle",
            Reach::NoLinkage => "no_linkage",
        })
    })
}

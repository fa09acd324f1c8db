//! What JavaScript can call. With `web_chart` the only module that knows it.
//!
//! Plans go in as the text of their file, results come out as plain objects. An error is thrown as a string: a sentence for a person.

use crate::closure::{Linkage, Reach};
use crate::fields::{FIELDS, Field, Quantity, Section};
use crate::geometry::Vec3;
use crate::measure::{Entry, Side};
use crate::plan::Plan;
use crate::units::{Unit, base};
use crate::{drawing, view};
use serde::Serialize;
use wasm_bindgen::prelude::*;

/// The version of the core, as in its Cargo.toml.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

pub(crate) fn object<T: Serialize>(value: &T) -> Result<JsValue, JsValue> {
    value.serialize(&serde_wasm_bindgen::Serializer::json_compatible()).map_err(|e| JsValue::from_str(&e.to_string()))
}

pub(crate) fn read(plan: &str) -> Result<Plan, JsValue> {
    Plan::from_json(plan).map_err(|e| JsValue::from_str(&e.to_string()))
}

/// The table of measurements: [`view::FieldRow`]s.
#[wasm_bindgen]
pub fn fields() -> Result<JsValue, JsValue> {
    object(&view::field_rows())
}

/// The table of results: [`view::ResultRow`]s.
#[wasm_bindgen]
pub fn results() -> Result<JsValue, JsValue> {
    object(&view::result_rows())
}

/// A plan evaluated: a [`view::View`].
#[wasm_bindgen]
pub fn evaluate(plan: &str) -> Result<JsValue, JsValue> {
    object(&view::evaluate(&read(plan)?))
}

/// What a result rests on, `side` 0 the only or the left one: an [`crate::explain::Explained`]; `null` where it has no value.
#[wasm_bindgen]
pub fn explain(plan: &str, rack: usize, name: &str, side: usize) -> Result<JsValue, JsValue> {
    object(&crate::explain::explain(&read(plan)?, rack, name, side))
}

/// The axle in plan with the steering at `share` of the usable travel, 1 lock left: a [`drawing::AxleDrawing`].
#[wasm_bindgen]
pub fn axle(plan: &str, rack: usize, share: f64) -> Result<JsValue, JsValue> {
    object(&drawing::axle(&read(plan)?, rack, share).map_err(|e| JsValue::from_str(&e))?)
}

fn field(section: &str, name: &str) -> Option<Field> {
    let section = [Section::Car, Section::Rack, Section::Limits].into_iter().find(|&s| view::section_name(s) == section)?;
    FIELDS.iter().find(|s| s.section == section && s.name == name).map(|s| s.field)
}

/// The text of an entry in a plan's file, from what stands in its field; empty when nothing was typed.
#[wasm_bindgen]
pub fn compose(section: &str, name: &str, text: &str, unit: &str, side: &str) -> Result<String, JsValue> {
    let field = field(section, name).ok_or_else(|| JsValue::from_str("no such measurement"))?;
    let spec = field.spec();
    let side = spec.sides.and_then(|(plus, minus)| match side {
        s if s == plus => Some(Side::Plus),
        s if s == minus => Some(Side::Minus),
        _ => None,
    });
    let unit = Unit::named(unit).filter(|u| u.fits(spec.quantity)).unwrap_or_else(|| base(spec.quantity));
    let text = if spec.quantity == Quantity::Choice { "" } else { text };
    let entry = Entry::new(text, unit, side);
    Ok(if entry.is_blank(spec) { String::new() } else { entry.form(spec) })
}

/// The fragment of a plan's link, without the `#`.
#[wasm_bindgen]
pub fn encode_link(plan: &str) -> Result<String, JsValue> {
    Ok(read(plan)?.to_link())
}

/// The plan of a link, as the text of its file.
#[wasm_bindgen]
pub fn decode_link(link: &str) -> Result<String, JsValue> {
    Plan::from_link(link).map(|p| p.to_json()).map_err(|e| JsValue::from_str(&e.to_string()))
}

/// One closure, for comparison with another program: `points` are axis point, axis direction, outer and inner joint (twelve
/// numbers in mm) and the rod's length (NaN: made to fit). Returns the turn in degrees and the rod's length; throws the reason.
#[wasm_bindgen]
pub fn closure(points: &[f64], s: f64) -> Result<Vec<f64>, JsValue> {
    let &[lx, ly, lz, ux, uy, uz, ox, oy, oz, ix, iy, iz, rod] = points else {
        return Err(JsValue::from_str("thirteen numbers are wanted"));
    };
    let (axis, dir, outer, inner) = (Vec3::new(lx, ly, lz), Vec3::new(ux, uy, uz), Vec3::new(ox, oy, oz), Vec3::new(ix, iy, iz));
    let linkage = if rod.is_nan() { Linkage::new(axis, dir, outer, inner) } else { Linkage::with_rod(axis, dir, outer, inner, rod) };
    let turn = linkage.and_then(|l| l.at(s).map(|t| vec![t.angle().to_degrees(), l.rod()]));
    turn.map_err(|reach| {
        JsValue::from_str(match reach {
            Reach::TooShort => "too_short",
            Reach::TooLong => "too_long",
            Reach::AtToggle => "at_toggle",
            Reach::NoLinkage => "no_linkage",
        })
    })
}

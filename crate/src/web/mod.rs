//! What JavaScript can call. With the other `web_…` the only module that knows it.
//!
//! Plans go in as the text of their file, or as the object that it was read as, and come out as such; results come as plain objects. JSON
//! text is read by `json` alone, here as on the command line. An error is thrown as a string: a sentence for a person.

mod axle;
mod chart;
mod pack;

use crate::catalogue::field::{FIELDS, Field, Section};
use crate::math::closure::{Linkage, Reach};
use crate::math::vector::Vec3;
use crate::measurement::entry::{Entry, Side};
use crate::measurement::quantity::Quantity;
use crate::measurement::unit::{Unit, base};
use crate::plan::json::Tree;
use crate::plan::{Plan, PlanError};
use crate::present::{axle_drawing, view};
use crate::web::pack::object;
use js_sys::{Array, Object};
use wasm_bindgen::prelude::*;

/// The allocator: 2.5 kB lighter (`gzip -9`) than the one that comes with Rust, and no slower in an evaluation.
#[global_allocator]
static MEMORY: rlsf::GlobalTlsf = rlsf::GlobalTlsf::new();

/// The version of the core, as in its Cargo.toml.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

/// The plan of a file: of its text, or of the object that it was read as.
pub(crate) fn read(file: &JsValue) -> Result<Plan, JsValue> {
    let plan = match file.as_string() {
        Some(text) => Plan::from_json(&text),
        None => tree(file, DEEPEST).ok_or(PlanError::NotJson { place: None }).and_then(Plan::from_tree),
    };
    plan.map_err(|e| JsValue::from_str(&e.to_string()))
}

/// The plan of a file's text, as the object that everything else here takes.
#[wasm_bindgen]
pub fn read_plan(text: &str) -> Result<JsValue, JsValue> {
    object(&Plan::from_json(text).map_err(|e| JsValue::from_str(&e.to_string()))?)
}

/// How deep an object may be nested; no plan is.
const DEEPEST: usize = 20;

/// An object of the page's own, taken apart as [`Plan::from_json`] takes a text apart; members that are `undefined` are no members. `None`
/// where there is what JSON cannot hold, or no end to it.
fn tree(value: &JsValue, deep: usize) -> Option<Tree> {
    let deep = deep.checked_sub(1)?;
    if let Some(text) = value.as_string() {
        Some(Tree::Text(text))
    } else if let Some(number) = value.as_f64() {
        number.is_finite().then(|| Tree::Number(number.to_string()))
    } else if let Some(truth) = value.as_bool() {
        Some(Tree::Truth(truth))
    } else if let Some(list) = value.dyn_ref::<Array>() {
        list.iter().map(|item| tree(&item, deep)).collect::<Option<_>>().map(Tree::List)
    } else if let Some(object) = value.dyn_ref::<Object>() {
        let pairs = Object::entries(object);
        let members = pairs.iter().map(|pair| Array::from(&pair)).filter(|pair| !pair.get(1).is_undefined());
        members.map(|pair| Some((pair.get(0).as_string()?, tree(&pair.get(1), deep)?))).collect::<Option<_>>().map(Tree::Object)
    } else {
        value.is_null().then_some(Tree::Nothing)
    }
}

/// A plan evaluated, with remedies for the rack that is shown: a [`view::View`].
#[wasm_bindgen]
pub fn evaluate(plan: &JsValue) -> Result<JsValue, JsValue> {
    object(&view::evaluate_shown(&read(plan)?))
}

/// A plan as it was typed, without anything that follows from it: a [`view::Typed`].
#[wasm_bindgen]
pub fn as_typed(plan: &JsValue) -> Result<JsValue, JsValue> {
    object(&view::as_typed(&read(plan)?))
}

/// Throws the reason where a plan cannot be read.
#[wasm_bindgen]
pub fn check_plan(plan: &JsValue) -> Result<(), JsValue> {
    read(plan).map(|_| ())
}

/// As much of it as a key in the car or in the rack that is shown changes at once: a [`view::First`].
#[wasm_bindgen]
pub fn evaluate_first(plan: &JsValue) -> Result<JsValue, JsValue> {
    object(&view::evaluate_first(&read(plan)?))
}

/// What to look for in the yard, from the car alone: a [`crate::rack_search::BuyingGuide`].
#[wasm_bindgen]
pub fn look_for(plan: &JsValue) -> Result<JsValue, JsValue> {
    object(&crate::rack_search::look_for(&read(plan)?))
}

/// What a result rests on, `side` 0 the only or the left one: an [`crate::present::explanation::Explained`]; `null` where it has no value.
#[wasm_bindgen]
pub fn explain(plan: &JsValue, rack: usize, name: &str, side: usize) -> Result<JsValue, JsValue> {
    object(&crate::present::explanation::explain(&read(plan)?, rack, name, side))
}

/// The axle in plan with the steering at `share` of the usable travel, 1 lock left: a [`axle_drawing::AxleDrawing`].
#[wasm_bindgen]
pub fn axle(plan: &JsValue, rack: usize, share: f64) -> Result<JsValue, JsValue> {
    object(&axle_drawing::axle(&read(plan)?, rack, share).map_err(|e| JsValue::from_str(&e))?)
}

fn field(section: &str, name: &str) -> Option<Field> {
    let section = Section::ALL.into_iter().find(|&s| s.name() == section)?;
    FIELDS.iter().find(|s| s.section == section && s.name == name).map(|s| s.field)
}

/// The text of an entry in a plan's file, from what stands in its field; empty when nothing was typed.
#[wasm_bindgen]
pub fn compose(section: &str, name: &str, text: &str, unit: &str, side: &str) -> Result<String, JsValue> {
    let field = field(section, name).ok_or_else(|| JsValue::from_str("no such measurement"))?;
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
pub fn in_unit(section: &str, name: &str, text: &str, unit: &str, other: &str) -> Result<Option<String>, JsValue> {
    let field = field(section, name).ok_or_else(|| JsValue::from_str("no such measurement"))?;
    let named = |unit: &str| Unit::named(unit).ok_or_else(|| JsValue::from_str("no such unit"));
    Ok(crate::measurement::in_unit::in_unit(text, field.spec().scale.quantity, named(unit)?, named(other)?))
}

/// The fragment of a plan's link, without the `#`.
#[wasm_bindgen]
pub fn encode_link(plan: &JsValue) -> Result<String, JsValue> {
    Ok(read(plan)?.to_link())
}

/// The plan of a link, as the object that its file reads as.
#[wasm_bindgen]
pub fn decode_link(link: &str) -> Result<JsValue, JsValue> {
    object(&Plan::from_link(link).map_err(|e| JsValue::from_str(&e.to_string()))?)
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

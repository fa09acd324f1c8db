//! The plan that is open in the page.

use crate::analysis::placement::Layer;
use crate::chart::PlaceMap;
use crate::plan::MOST_RACKS;
use crate::present::place::{Seen, moved};
use crate::present::refusal::Refused;
use crate::present::view::RackView;
use crate::session;
use crate::web::axle::Axle;
use crate::web::chart::draw_places_on;
use crate::web::crossing::object;
use crate::web::{read, refuse};
use js_sys::{Array, Reflect};
use serde::Serialize;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use web_sys::HtmlCanvasElement;

/// The most objects that are held to be handed over again.
const MOST_HELD: usize = 2 * MOST_RACKS;

/// A plan that is open, and what was worked out for it.
#[wasm_bindgen]
#[derive(Default)]
pub struct Session {
    core: session::Session,
    /// Racks that were handed over of late, each with the object that it became: the same rack is the same object.
    crossed: Vec<(Rc<RackView>, JsValue)>,
}

#[wasm_bindgen]
impl Session {
    /// With an empty plan.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Session {
        Session::default()
    }

    /// Opens the plan of a file's text; a plan that cannot be read leaves the one before open.
    pub fn open(&mut self, plan: &str) -> Result<(), JsValue> {
        self.core.open(read(plan)?);
        Ok(())
    }

    /// Everything that follows from the plan, with remedies for the rack that is shown: a [`crate::present::view::View`].
    pub fn evaluate(&mut self) -> Result<JsValue, JsError> {
        let mut view = self.core.evaluate_shown();
        let racks = std::mem::take(&mut view.racks);
        let all = racks.iter().map(|rack| self.rack(rack)).collect::<Result<Array, JsError>>()?;
        self.crossed.retain(|(known, _)| racks.iter().any(|rack| Rc::ptr_eq(rack, known)));
        with(&view, "racks", &all)
    }

    /// Works one rack out, so that `evaluate` is quick.
    pub fn prepare(&mut self, rack: usize) {
        self.core.prepare(rack);
    }

    /// As much of it as a key in the car or in the rack that is shown changes at once: a [`crate::present::view::First`].
    pub fn evaluate_first(&mut self) -> Result<JsValue, JsError> {
        let mut first = self.core.evaluate_first();
        let rack = first.rack.take();
        with(&first, "rack", &rack.map_or(Ok(JsValue::NULL), |rack| self.rack(&rack))?)
    }

    /// What to look for in the yard, from the car alone: a [`crate::rack_search::BuyingGuide`].
    pub fn look_for(&mut self) -> Result<JsValue, JsError> {
        object(&*self.core.look_for())
    }

    /// What a result rests on, `side` 0 the only or the left one: an [`crate::present::explanation::Explained`]; `null` where it has no value.
    pub fn explain(&mut self, rack: usize, name: &str, side: usize) -> Result<JsValue, JsError> {
        object(&self.core.explain(rack, name, side))
    }

    /// How the points of the suspension stand: a [`crate::present::points::PointsView`].
    pub fn points(&mut self, rack: usize) -> Result<JsValue, JsError> {
        object(&self.core.points(rack))
    }

    /// Both wheels over bumps at a share of the rack's usable travel, bar to the left positive: a [`crate::present::over_bumps::BumpView`].
    pub fn over_bumps(&mut self, rack: usize, share: f64) -> Result<JsValue, JsError> {
        object(&self.core.over_bumps(rack, share))
    }

    /// One corner (0 left, 1 right) at a wheel travel, mm: a [`crate::present::over_bumps::CornerDrawing`]; refused where it does not get there.
    pub fn corner(&mut self, rack: usize, side: usize, travel: f64, share: f64) -> Result<JsValue, JsValue> {
        let drawing = self.core.corner(rack, side, travel, share).map_err(|why| refuse(Refused::Place, why))?;
        object(&drawing).map_err(JsValue::from)
    }

    /// Where a rack may go: a [`crate::present::place::PlaceView`]. `ahead` and `up` are the middle of the map, mm, NaN for where the rack is; `near` whether
    /// it reaches half as far; `inch` whether its axes are in inches.
    pub fn place(&mut self, rack: usize, ahead: f64, up: f64, near: Option<bool>, inch: bool) -> Result<JsValue, JsError> {
        object(&self.core.place(rack, Seen { middle: [ahead, up], near, inch }))
    }

    /// What moves a rack from where it is to another place, mm: a [`crate::present::place::Moved`].
    pub fn moved(&self, from: &[f64], ahead: f64, up: f64) -> Result<JsValue, JsError> {
        let at = |axis: usize| from.get(axis).copied().unwrap_or(0.0);
        object(&moved([at(0), at(1)], [ahead, up]))
    }

    /// Draws a layer of that map on `canvas`, as [`crate::web::chart::draw_toe_out_on`]; of the words of `look` it takes `along`, `up`, `down` and `passes`, of its
    /// colours also `tape` and `tape_ink`. `was` is where the rack was, mm, or empty.
    #[allow(clippy::too_many_arguments)] // Those of every chart, and which one.
    pub fn draw_place(
        &mut self,
        rack: usize,
        layer: usize,
        was: &[f64],
        canvas: HtmlCanvasElement,
        device_pixel_ratio: f64,
        css_width: f64,
        css_height: f64,
        look: JsValue,
    ) -> Result<JsValue, JsError> {
        let stands = self.core.stands();
        let map = self.core.seen_place().zip(Layer::ALL.get(layer).copied());
        let Some(map) = map.and_then(|(place, layer)| PlaceMap::of(place, layer, rack, &stands, was)) else { return Ok(JsValue::NULL) };
        draw_places_on(canvas, map, device_pixel_ratio, css_width, css_height, &look)
    }

    /// The rack of that index ready to be moved; refused where there is no linkage.
    pub fn axle(&mut self, rack: usize) -> Result<Axle, JsValue> {
        self.core.axle(rack).map(Axle::from).map_err(|why| refuse(Refused::Place, why))
    }

    fn rack(&mut self, rack: &Rc<RackView>) -> Result<JsValue, JsError> {
        if let Some((_, known)) = self.crossed.iter().find(|(known, _)| Rc::ptr_eq(rack, known)) {
            return Ok(known.clone());
        }
        let new = object(&**rack)?;
        if self.crossed.len() >= MOST_HELD {
            self.crossed.remove(0);
        }
        self.crossed.push((rack.clone(), new.clone()));
        Ok(new)
    }
}

/// The value as an object, one of its members set to what is there already.
fn with<T: Serialize>(value: &T, name: &str, member: &JsValue) -> Result<JsValue, JsError> {
    let out = object(value)?;
    Reflect::set(&out, &name.into(), member).map_err(|_| JsError::new("an object that takes nothing"))?;
    Ok(out)
}

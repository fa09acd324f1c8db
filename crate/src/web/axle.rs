//! The moving axle, for JavaScript: one rack of one plan kept ready, so that a frame costs no more than its positions.

use crate::present::axle_drawing;
use crate::present::lock_to_lock::over_turn;
use crate::present::refusal::Refused;
use crate::web::crossing::object;
use crate::web::refuse;
use wasm_bindgen::prelude::*;

/// One rack of one plan. It never changes: another plan is another one. JavaScript frees it.
#[wasm_bindgen]
pub struct Axle(axle_drawing::Axle);

impl From<axle_drawing::Axle> for Axle {
    fn from(axle: axle_drawing::Axle) -> Axle {
        Axle(axle)
    }
}

#[wasm_bindgen]
impl Axle {
    /// Where everything stands at a share of the usable travel, 1 with the steering wheel hard left: a [`axle_drawing::AxleDrawing`].
    pub fn at(&self, share: f64) -> Result<JsValue, JsValue> {
        Ok(object(&self.0.at(share).map_err(|why| refuse(Refused::Place, why))?)?)
    }

    /// What is shown of the whole turn: a [`crate::present::lock_to_lock::TurnView`].
    pub fn turn(&self) -> Result<JsValue, JsError> {
        object(&over_turn(&self.0))
    }

    /// The share so many steps further, left positive.
    pub fn stepped(&self, share: f64, by: f64) -> f64 {
        self.0.stepped(share, by)
    }

    /// What was typed for the steering wheel: `[share, sentence]`; the share is null where it cannot be read, the sentence null where
    /// all is well.
    pub fn typed(&self, text: &str, unit: &str, side: &str) -> Result<JsValue, JsError> {
        object(&match self.0.typed(text, unit, side) {
            Ok(share) => (Some(share), None),
            Err((sentence, share)) => (share, Some(sentence)),
        })
    }
}

//! Charts on a canvas, called from JavaScript.

use crate::chart::{Colours, Line, Look, ToeOut, Words, draw_toe_out};
use plotters::prelude::*;
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingErrorKind};
use plotters_canvas::CanvasBackend;
use serde::Deserialize;
use wasm_bindgen::prelude::*;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// Backend units in a device pixel: plotters counts in whole numbers, and a whole device pixel is too coarse for a curve.
const GRAIN: u32 = 32;

/// The canvas, seen by plotters as [`GRAIN`] times larger each way.
struct Fine(CanvasBackend);

impl DrawingBackend for Fine {
    type ErrorType = <CanvasBackend as DrawingBackend>::ErrorType;

    fn get_size(&self) -> (u32, u32) {
        let (width, height) = self.0.get_size();
        (width * GRAIN, height * GRAIN)
    }

    fn ensure_prepared(&mut self) -> Result<(), DrawingErrorKind<Self::ErrorType>> {
        self.0.ensure_prepared()
    }

    fn present(&mut self) -> Result<(), DrawingErrorKind<Self::ErrorType>> {
        self.0.present()
    }

    fn draw_pixel(&mut self, point: BackendCoord, color: BackendColor) -> Result<(), DrawingErrorKind<Self::ErrorType>> {
        self.0.draw_pixel(point, color)
    }

    /// As a path: the canvas backend moves upright and level lines by half a unit, and its rectangles not.
    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Result<(), DrawingErrorKind<Self::ErrorType>> {
        self.0.draw_path([from, to], style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        upper_left: BackendCoord,
        bottom_right: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Result<(), DrawingErrorKind<Self::ErrorType>> {
        self.0.draw_rect(upper_left, bottom_right, style, fill)
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Result<(), DrawingErrorKind<Self::ErrorType>> {
        self.0.draw_path(path, style)
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        center: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Result<(), DrawingErrorKind<Self::ErrorType>> {
        self.0.draw_circle(center, radius, style, fill)
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Result<(), DrawingErrorKind<Self::ErrorType>> {
        self.0.fill_polygon(path, style)
    }

    fn draw_text<S: BackendTextStyle>(
        &mut self,
        text: &str,
        style: &S,
        pos: BackendCoord,
    ) -> Result<(), DrawingErrorKind<Self::ErrorType>> {
        self.0.draw_text(text, style, pos)
    }
}

/// Curves as a `View` holds them; fields that this chart does not draw are not looked at.
#[derive(Deserialize)]
struct CurvesIn {
    toe_out_left: Vec<(f64, f64)>,
    toe_out_right: Vec<(f64, f64)>,
    ideal: Vec<(f64, f64)>,
    differ: bool,
}

/// A look as the page reads it: its colour tokens as `#rgb` or `#rrggbb`, and what it leaves out as here.
#[derive(Deserialize)]
struct LookIn {
    sheet: String,
    rule: String,
    ink_2: String,
    line_1: String,
    line_2: String,
    line_3: String,
    #[serde(default = "size")]
    size: f64,
    #[serde(default = "heavy")]
    heavy: f64,
    #[serde(default = "family")]
    family: String,
    #[serde(default)]
    words: WordsIn,
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct WordsIn {
    inner: String,
    toe_out: String,
    rack: String,
    left: String,
    right: String,
    ideal: String,
    parallel: String,
}

fn size() -> f64 {
    15.0
}

fn heavy() -> f64 {
    1.0
}

fn family() -> String {
    "sans-serif".to_owned()
}

fn colour(text: &str) -> Result<RGBColor, JsError> {
    let bad = || JsError::new(&format!("not a colour in the form #rrggbb: {text}"));
    let digits = text.trim().strip_prefix('#').filter(|d| d.bytes().all(|b| b.is_ascii_hexdigit())).ok_or_else(bad)?;
    let number = u32::from_str_radix(digits, 16).map_err(|_| bad())?;
    match digits.len() {
        6 => Ok(RGBColor((number >> 16) as u8, (number >> 8) as u8, number as u8)),
        3 => Ok(RGBColor(((number >> 8) as u8 & 15) * 17, ((number >> 4) as u8 & 15) * 17, (number as u8 & 15) * 17)),
        _ => Err(bad()),
    }
}

impl LookIn {
    fn look(self, device_pixel_ratio: f64) -> Result<Look, JsError> {
        let w = self.words;
        Ok(Look {
            k: f64::from(GRAIN) * device_pixel_ratio,
            grain: GRAIN as i32,
            text: self.size,
            heavy: self.heavy,
            family: self.family,
            colours: Colours {
                paper: colour(&self.sheet)?,
                grid: colour(&self.rule)?,
                text: colour(&self.ink_2)?,
                left: colour(&self.line_1)?,
                right: colour(&self.line_3)?,
                ideal: colour(&self.line_2)?,
                parallel: colour(&self.ink_2)?,
            },
            words: Words {
                inner: w.inner,
                toe_out: w.toe_out,
                both: w.rack,
                left: w.left,
                right: w.right,
                ideal: w.ideal,
                parallel: w.parallel,
            },
        })
    }
}

/// Draws toe-out on turns on `canvas`, whose backing store it sets to `css_width` × `css_height` CSS pixels at the given ratio.
///
/// `curves` is a rack's `curves` from `evaluate`. `look` is `{sheet, rule, ink_2, line_1, line_2, line_3}` in colours and, where the page
/// wants other than 15 px, plain strokes, sans-serif and no words, `{size, heavy, family, words}` with
/// `words` `{inner, toe_out, rack, left, right, ideal, parallel}`. Returns the names of the lines (`"left"`, `"right"`, `"ideal"`,
/// `"parallel"`) that found no clear place for their word on the picture: those the page has to name.
///
/// # Errors
/// A sentence where an argument is not of that shape, or the canvas gives no context.
#[wasm_bindgen(js_name = draw_toe_out)]
pub fn draw_toe_out_on(
    canvas: HtmlCanvasElement,
    curves: JsValue,
    device_pixel_ratio: f64,
    css_width: f64,
    css_height: f64,
    look: JsValue,
) -> Result<Vec<String>, JsError> {
    let curves: CurvesIn = serde_wasm_bindgen::from_value(curves)?;
    let curves = ToeOut { left: curves.toe_out_left, right: curves.differ.then_some(curves.toe_out_right), ideal: curves.ideal };
    let ratio = if device_pixel_ratio.is_finite() { device_pixel_ratio.clamp(0.5, 8.0) } else { 1.0 };
    let look = serde_wasm_bindgen::from_value::<LookIn>(look)?.look(ratio)?;
    let pixels = |css: f64| (css * ratio).round().clamp(0.0, 16384.0) as u32;
    canvas.set_width(pixels(css_width));
    canvas.set_height(pixels(css_height));
    let context = canvas.get_context("2d").ok().flatten().and_then(|c| c.dyn_into::<CanvasRenderingContext2d>().ok());
    let shrink = 1.0 / f64::from(GRAIN);
    let refused = || JsError::new("this canvas cannot be drawn on");
    context.ok_or_else(refused)?.scale(shrink, shrink).map_err(|_| refused())?;
    let area = Fine(CanvasBackend::with_canvas_object(canvas).ok_or_else(refused)?).into_drawing_area();
    let unnamed = draw_toe_out(&area, &curves, &look).map_err(|e| JsError::new(&e.to_string()))?;
    let name = |line: &Line| match line {
        Line::Left => "left",
        Line::Right => "right",
        Line::Ideal => "ideal",
        Line::Parallel => "parallel",
    };
    Ok(unnamed.iter().map(|line| name(line).to_string()).collect())
}

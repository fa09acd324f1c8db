//! Charts on a canvas, called from JavaScript.

use crate::chart::{
    BumpSteer, BumpSteerWords, Colour, Colours, Drawn, Ground, Line, Look, PlaceMap, PlaceWords, RatioTurn, RatioWords, ToeOut, Words,
    draw_bump_steer, draw_places, draw_ratio, draw_toe_out,
};
use crate::math::each::Each;
use crate::math::within;
use crate::web::canvas::{Canvas, GRAIN};
use js_sys::{Array, Reflect};
use wasm_bindgen::prelude::*;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// One member of an object from JavaScript; `undefined` where there is none. (By hand: a deserializer for these two shapes would weigh
/// more than all the rest of this file.)
fn member(of: &JsValue, name: &str) -> JsValue {
    Reflect::get(of, &name.into()).unwrap_or(JsValue::UNDEFINED)
}

/// A list of pairs of numbers; what is no number is NaN, which a chart leaves out, and what is no list is empty.
fn samples(list: &JsValue) -> Vec<(f64, f64)> {
    let items = |value: &JsValue| if Array::is_array(value) { Array::from(value) } else { Array::new() };
    let number = |pair: &Array, n| pair.get(n).as_f64().unwrap_or(f64::NAN);
    items(list).into_iter().map(|pair| items(&pair)).map(|pair| (number(&pair, 0), number(&pair, 1))).collect()
}

/// A list of places of a band, as [`samples`].
fn places(list: &JsValue) -> Vec<(f64, f64, f64)> {
    let third = |pair: &JsValue| if Array::is_array(pair) { Array::from(pair).get(2).as_f64().unwrap_or(f64::NAN) } else { f64::NAN };
    let pms: Vec<f64> = if Array::is_array(list) { Array::from(list).iter().map(|pair| third(&pair)).collect() } else { Vec::new() };
    samples(list).into_iter().zip(pms).map(|((along, height), pm)| (along, height, pm)).collect()
}

fn colour(look: &JsValue, token: &str) -> Result<Colour, JsError> {
    let text = member(look, token).as_string().unwrap_or_default();
    let bad = || JsError::new(&format!("{token} is not a colour in the form #rrggbb: {text}"));
    let digits = text.strip_prefix('#').filter(|d| d.bytes().all(|b| b.is_ascii_hexdigit())).ok_or_else(bad)?;
    let number = u32::from_str_radix(digits, 16).map_err(|_| bad())?;
    match digits.len() {
        6 => Ok(Colour((number >> 16) as u8, (number >> 8) as u8, number as u8)),
        3 => Ok(Colour(((number >> 8) as u8 & 15) * 17, ((number >> 4) as u8 & 15) * 17, (number as u8 & 15) * 17)),
        _ => Err(bad()),
    }
}

/// The look: the page's colour tokens, its words, and what it leaves out as here.
fn read_look(look: &JsValue, device_pixel_ratio: f64) -> Result<Look, JsError> {
    let words = member(look, "words");
    let word = |name: &str| member(&words, name).as_string().unwrap_or_default();
    Ok(Look {
        k: f64::from(GRAIN) * device_pixel_ratio,
        grain: GRAIN as i32,
        text: member(look, "size").as_f64().unwrap_or(15.0),
        heavy: member(look, "heavy").as_f64().unwrap_or(1.0),
        family: member(look, "family").as_string().unwrap_or_else(|| "sans-serif".to_owned()),
        colours: Colours {
            paper: colour(look, "sheet")?,
            grid: colour(look, "rule")?,
            text: colour(look, "ink_2")?,
            left: colour(look, "line_1")?,
            right: colour(look, "line_3")?,
            ideal: colour(look, "line_2")?,
            parallel: colour(look, "ink_2")?,
        },
        words: Words {
            inner: word("inner"),
            toe_out: word("toe_out"),
            both: word("rack"),
            left: word("left"),
            right: word("right"),
            ideal: word("ideal"),
            parallel: word("parallel"),
        },
    })
}

/// The canvas with a backing store of `css_width` × `css_height` CSS pixels at a ratio, ready to be drawn on.
fn prepare(canvas: HtmlCanvasElement, ratio: f64, css_width: f64, css_height: f64) -> Result<Canvas, JsError> {
    let pixels = |css: f64| within((css * ratio).round(), 0.0, 16384.0) as u32;
    canvas.set_width(pixels(css_width));
    canvas.set_height(pixels(css_height));
    let context = canvas.get_context("2d").ok().flatten().and_then(|c| c.dyn_into::<CanvasRenderingContext2d>().ok());
    let shrink = 1.0 / f64::from(GRAIN);
    let refused = || JsError::new("this canvas cannot be drawn on");
    let context = context.ok_or_else(refused)?;
    context.scale(shrink, shrink).map_err(|_| refused())?;
    Ok(Canvas::new(&canvas, context))
}

fn usable(device_pixel_ratio: f64) -> f64 {
    if device_pixel_ratio.is_finite() { within(device_pixel_ratio, 0.5, 8.0) } else { 1.0 }
}

/// What JavaScript is told of a chart: `unnamed`, the names of the lines without a word on the picture, and `ground`, from which it
/// places a mark: the value at the axis' beginning and end with their places in CSS pixels, across and then up; empty without axes.
fn told(drawn: &Drawn, k: f64) -> Result<JsValue, JsError> {
    let name = |line: &Line| match line {
        Line::Left => "left",
        Line::Right => "right",
        Line::Ideal => "ideal",
        Line::Parallel => "parallel",
    };
    let ground = |g: &Ground| {
        let (across, up) = (g.x.range(), g.y.range());
        let (from, to, bottom, top) = g.ends;
        let css = |units: i32| f64::from(units) / k;
        [across.start, across.end, css(from), css(to), up.start, up.end, css(bottom), css(top)]
    };
    let out = js_sys::Object::new();
    let unnamed: Array = drawn.unnamed.iter().map(|line| JsValue::from_str(name(line))).collect();
    let ground: Array = drawn.ground.as_ref().map(ground).iter().flatten().map(|v| JsValue::from_f64(*v)).collect();
    let set = |key: &str, value: &JsValue| Reflect::set(&out, &key.into(), value).map_err(|_| JsError::new("an object that takes nothing"));
    set("unnamed", &unnamed)?;
    set("ground", &ground)?;
    Ok(out.into())
}

/// Draws toe-out on turns on `canvas`, whose backing store it sets to `css_width` × `css_height` CSS pixels at the given ratio.
///
/// `curves` is a rack's `curves` from `evaluate`, with `band_left` and `band_right` of its [`crate::present::lock_to_lock::TurnView`] for the ±. `look`
/// is `{sheet, rule, ink_2, line_1, line_2, line_3}` in colours and, where the page
/// wants other than 15 px, plain strokes, sans-serif and no words, `{size, heavy, family, words}` with
/// `words` `{inner, toe_out, rack, left, right, ideal, parallel}`. Returns `{unnamed, ground}`: the names of the lines (`"left"`,
/// `"right"`, `"ideal"`, `"parallel"`) that found no clear place for their word on the picture, which the page has to name; and
/// `[x, x', px, px', y, y', py, py']`, two values across and two up with where they lie in CSS pixels, empty without axes.
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
) -> Result<JsValue, JsError> {
    let line = |name| samples(&member(&curves, name));
    let right = member(&curves, "differ").is_truthy().then(|| line("toe_out_right"));
    let bands = ["band_left", "band_right"].each(|name| places(&member(&curves, name)));
    let curves = ToeOut { left: line("toe_out_left"), right, ideal: line("ideal"), bands };
    let ratio = usable(device_pixel_ratio);
    let look = read_look(&look, ratio)?;
    let on = prepare(canvas, ratio, css_width, css_height)?;
    let drawn = draw_toe_out(&on, &curves, &look);
    told(&drawn, look.k)
}

/// Draws the ratio over the turn, as [`draw_toe_out_on`]; of `curves` it takes `ratio` and `band_ratio`, of the words `turns` and `ratio`.
///
/// # Errors
/// As there.
#[wasm_bindgen(js_name = draw_ratio)]
pub fn draw_ratio_on(
    canvas: HtmlCanvasElement,
    curves: JsValue,
    device_pixel_ratio: f64,
    css_width: f64,
    css_height: f64,
    look: JsValue,
) -> Result<JsValue, JsError> {
    let curve = RatioTurn { line: samples(&member(&curves, "ratio")), band: places(&member(&curves, "band_ratio")) };
    let word = |name: &str| member(&member(&look, "words"), name).as_string().unwrap_or_default();
    let words = RatioWords { turns: word("turns"), ratio: word("ratio") };
    let ratio = usable(device_pixel_ratio);
    let look = read_look(&look, ratio)?;
    let on = prepare(canvas, ratio, css_width, css_height)?;
    let drawn = draw_ratio(&on, &curve, &words, &look);
    told(&drawn, look.k)
}

/// Draws toe over bumps, as [`draw_toe_out_on`]; of `curves` it takes `toe` (the wheel as fitted, with its ±), `other` and `mended` (as `toe`), `band` and `limit`
/// of a [`crate::present::over_bumps::BumpView`], and `inch` where the travel is written in inches; of the words `toe`, `up` and `down`; of the look also `tape`.
/// The ground counts travel in the same unit.
///
/// # Errors
/// As there.
#[wasm_bindgen(js_name = draw_bump_steer)]
pub fn draw_bump_steer_on(
    canvas: HtmlCanvasElement,
    curves: JsValue,
    device_pixel_ratio: f64,
    css_width: f64,
    css_height: f64,
    look: JsValue,
) -> Result<JsValue, JsError> {
    let scale = if member(&curves, "inch").is_truthy() { 25.4 } else { 1.0 };
    let line = |name| samples(&member(&curves, name)).into_iter().map(|(travel, toe)| (travel / scale, toe)).collect();
    let number = |name| member(&curves, name).as_f64();
    let curve = BumpSteer {
        line: line("toe"),
        band: places(&member(&curves, "toe")).into_iter().map(|(travel, toe, pm)| (travel / scale, toe, pm)).collect(),
        other: line("other"),
        mended: line("mended"),
        limit: number("band").map(|band| band / scale).zip(number("limit")),
        colour: colour(&look, "tape")?,
    };
    let word = |name: &str| member(&member(&look, "words"), name).as_string().unwrap_or_default();
    let words = BumpSteerWords { toe: word("toe"), up: word("up"), down: word("down") };
    let ratio = usable(device_pixel_ratio);
    let look = read_look(&look, ratio)?;
    let on = prepare(canvas, ratio, css_width, css_height)?;
    let drawn = draw_bump_steer(&on, &curve, &words, &look);
    told(&drawn, look.k)
}

/// Draws the placement map, as [`draw_toe_out_on`].
pub(super) fn draw_places_on(
    canvas: HtmlCanvasElement,
    map: PlaceMap,
    device_pixel_ratio: f64,
    css_width: f64,
    css_height: f64,
    look: &JsValue,
) -> Result<JsValue, JsError> {
    let map = PlaceMap { colours: [colour(look, "tape")?, colour(look, "tape_ink")?], ..map };
    let word = |name: &str| member(&member(look, "words"), name).as_string().unwrap_or_default();
    let words = PlaceWords { along: word("along"), up: word("up"), down: word("down"), passes: word("passes") };
    let ratio = usable(device_pixel_ratio);
    let look = read_look(look, ratio)?;
    let on = prepare(canvas, ratio, css_width, css_height)?;
    let drawn = draw_places(&on, &map, &words, &look);
    told(&drawn, look.k)
}

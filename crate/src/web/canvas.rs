//! A canvas as a picture, with coordinates of a part of a device pixel.

use crate::chart::{Anchor, Colour, Ink, Paint, Picture, Spot, Type};
use crate::measurement::decimal::fixed;
use std::f64::consts::TAU;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// Units of the picture in a device pixel: it counts in whole numbers, and a whole device pixel is too coarse for a curve.
pub(super) const GRAIN: u32 = 32;

/// The canvas, [`GRAIN`] times larger each way. What it refuses to draw is left out.
pub(super) struct Canvas {
    size: (u32, u32),
    context: CanvasRenderingContext2d,
}

impl Canvas {
    /// The context must be scaled by 1/[`GRAIN`].
    pub(super) fn new(canvas: &HtmlCanvasElement, context: CanvasRenderingContext2d) -> Canvas {
        Canvas { size: (canvas.width() * GRAIN, canvas.height() * GRAIN), context }
    }

    /// Fills or strokes the path that was begun.
    fn paint(&self, paint: Paint) {
        match paint {
            Paint::Fill(ink) => {
                self.context.set_fill_style_str(&css(ink));
                self.context.fill();
            }
            Paint::Stroke(ink, width) => {
                self.context.set_stroke_style_str(&css(ink));
                self.context.set_line_width(width.into());
                self.context.stroke();
            }
        }
    }

    fn along(&self, places: &[Spot]) {
        self.context.begin_path();
        for &(x, y) in places {
            self.context.line_to(x.into(), y.into());
        }
    }
}

/// #rrggbbaa (CSS Color 4, 5.2).
fn css(Ink { colour: Colour(r, g, b), opacity }: Ink) -> String {
    let a = (opacity * 255.0).round() as u8;
    format!("#{:08x}", u32::from_be_bytes([r, g, b, a]))
}

impl Picture for Canvas {
    fn size(&self) -> (u32, u32) {
        self.size
    }

    fn path(&self, places: &[Spot], paint: Paint) {
        self.along(places);
        self.paint(paint);
    }

    fn rect(&self, [(left, top), (right, bottom)]: [Spot; 2], paint: Paint) {
        self.along(&[(left, top), (right, top), (right, bottom), (left, bottom)]);
        self.context.close_path();
        self.paint(paint);
    }

    fn circle(&self, (x, y): Spot, radius: i32, paint: Paint) {
        self.context.begin_path();
        if self.context.arc(x.into(), y.into(), radius.into(), 0.0, TAU).is_ok() {
            self.paint(paint);
        }
    }

    fn write(&self, words: &str, of: &Type, (x, y): Spot) {
        self.context.set_text_align(match of.anchor[0] {
            Anchor::Start => "start",
            Anchor::Middle => "center",
            Anchor::End => "end",
        });
        self.context.set_text_baseline(match of.anchor[1] {
            Anchor::Start => "top",
            Anchor::Middle => "middle",
            Anchor::End => "bottom",
        });
        self.context.set_fill_style_str(&css(of.colour.mix(1.0)));
        let weight = if of.bold { "bold" } else { "normal" };
        self.context.set_font(&format!("{weight} {}px {}", fixed(of.size, 2), of.family));
        // The one error is a size that no canvas has.
        self.context.fill_text(words, x.into(), y.into()).ok();
    }
}

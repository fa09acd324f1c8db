//! A canvas as plotters draws on it, with coordinates of a part of a device pixel. Of our own: plotters-canvas counts whole pixels, and with it numbers of any length
//! are written for colours, 9 kB of what is served.

use crate::measurement::decimal::fixed;
use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind};
use std::f64::consts::TAU;
use std::fmt;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// Backend units in a device pixel: plotters counts in whole numbers, and a whole device pixel is too coarse for a curve.
pub(super) const GRAIN: u32 = 32;

/// The canvas, seen by plotters as [`GRAIN`] times larger each way. Letters stand upright, whatever their style says.
pub(super) struct Canvas {
    size: (u32, u32),
    context: CanvasRenderingContext2d,
}

impl Canvas {
    /// The context must be scaled by 1/[`GRAIN`].
    pub(super) fn new(canvas: &HtmlCanvasElement, context: CanvasRenderingContext2d) -> Canvas {
        Canvas { size: (canvas.width() * GRAIN, canvas.height() * GRAIN), context }
    }

    fn path(&self, path: impl IntoIterator<Item = BackendCoord>) {
        self.context.begin_path();
        for (x, y) in path {
            self.context.line_to(x.into(), y.into());
        }
    }

    fn stroke<S: BackendStyle>(&self, style: &S) -> Result<(), DrawingErrorKind<Refused>> {
        self.context.set_stroke_style_str(&css(style.color()));
        self.context.set_line_width(style.stroke_width().into());
        self.context.stroke();
        Ok(())
    }

    fn fill(&self, colour: BackendColor) -> Result<(), DrawingErrorKind<Refused>> {
        self.context.set_fill_style_str(&css(colour));
        self.context.fill();
        Ok(())
    }
}

/// #rrggbbaa (CSS Color 4, 5.2).
fn css(BackendColor { alpha, rgb: (r, g, b) }: BackendColor) -> String {
    let a = (alpha * 255.0).round() as u8;
    format!("#{:08x}", u32::from_be_bytes([r, g, b, a]))
}

/// The canvas refused to draw.
#[derive(Debug)]
pub(super) struct Refused;

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("this canvas cannot be drawn on")
    }
}

impl std::error::Error for Refused {}

impl DrawingBackend for Canvas {
    type ErrorType = Refused;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Result<(), DrawingErrorKind<Refused>> {
        Ok(())
    }

    fn present(&mut self) -> Result<(), DrawingErrorKind<Refused>> {
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, colour: BackendColor) -> Result<(), DrawingErrorKind<Refused>> {
        self.path([(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1)]);
        self.fill(colour)
    }

    fn draw_line<S: BackendStyle>(&mut self, from: BackendCoord, to: BackendCoord, style: &S) -> Result<(), DrawingErrorKind<Refused>> {
        self.path([from, to]);
        self.stroke(style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        (left, top): BackendCoord,
        (right, bottom): BackendCoord,
        style: &S,
        fill: bool,
    ) -> Result<(), DrawingErrorKind<Refused>> {
        self.path([(left, top), (right, top), (right, bottom), (left, bottom)]);
        self.context.close_path();
        if fill { self.fill(style.color()) } else { self.stroke(style) }
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Result<(), DrawingErrorKind<Refused>> {
        self.path(path);
        self.stroke(style)
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Result<(), DrawingErrorKind<Refused>> {
        self.path(path);
        self.fill(style.color())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        (x, y): BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Result<(), DrawingErrorKind<Refused>> {
        self.context.begin_path();
        self.context.arc(x.into(), y.into(), radius.into(), 0.0, TAU).map_err(|_| DrawingErrorKind::DrawingError(Refused))?;
        if fill { self.fill(style.color()) } else { self.stroke(style) }
    }

    fn draw_text<S: BackendTextStyle>(&mut self, text: &str, style: &S, (x, y): BackendCoord) -> Result<(), DrawingErrorKind<Refused>> {
        let anchor = style.anchor();
        self.context.set_text_baseline(match anchor.v_pos {
            VPos::Top => "top",
            VPos::Center => "middle",
            VPos::Bottom => "bottom",
        });
        self.context.set_text_align(match anchor.h_pos {
            HPos::Left => "start",
            HPos::Right => "end",
            HPos::Center => "center",
        });
        self.context.set_fill_style_str(&css(style.color()));
        self.context.set_font(&format!("{} {}px {}", style.style().as_str(), fixed(style.size(), 2), style.family().as_str()));
        self.context.fill_text(text, x.into(), y.into()).map_err(|_| DrawingErrorKind::DrawingError(Refused))
    }
}

//! How sure a curve is: a tint from the curve less its ± to the curve with it.

use super::{Ground, Look, smooth};
use crate::math::within;
use plotters::coord::Shift;
use plotters::prelude::*;

/// The tint as a share of the curve's own colour.
const TINT: f64 = 0.16;
/// The same for the tint's edges.
const EDGE: f64 = 0.5;

/// Draws the band of a curve through places `(along, height, ± of the height)`, all finite; fewer than two give none.
pub(super) fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    ground: &Ground,
    places: &[(f64, f64, f64)],
    colour: RGBColor,
    look: &Look,
) -> Result<(), DrawingAreaErrorKind<B::ErrorType>> {
    if places.len() < 2 {
        return Ok(());
    }
    // Where the band leaves the chart it goes along its edge.
    let (_, _, bottom, top) = ground.edges;
    let edge = |sign: f64| -> Vec<(i32, i32)> {
        let run: Vec<(f64, f64)> = places.iter().map(|p| (p.0, p.1 + sign * p.2)).collect();
        smooth(&run).iter().map(|p| ground.at(p)).map(|(x, y)| (x, within(y, top, bottom))).collect()
    };
    let (upper, lower) = (edge(1.0), edge(-1.0));
    let around: Vec<_> = upper.iter().chain(lower.iter().rev()).copied().collect();
    area.draw(&Polygon::new(around, colour.mix(TINT).filled()))?;
    let thin = ShapeStyle { color: colour.mix(EDGE), filled: false, stroke_width: look.hairline() as u32 };
    area.draw(&PathElement::new(upper, thin))?;
    area.draw(&PathElement::new(lower, thin))
}

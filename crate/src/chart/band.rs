//! How sure a curve is: a tint from the curve less its ± to the curve with it.

use super::picture::{Colour, Paint, Picture};
use super::{Ground, Look, smooth};
use crate::math::within;

/// The tint as a share of the curve's own colour.
const TINT: f64 = 0.16;
/// The same for the tint's edges.
const EDGE: f64 = 0.5;

/// Draws the band of a curve through places `(along, height, ± of the height)`, all finite; fewer than two give none.
pub(super) fn draw(on: &dyn Picture, ground: &Ground, places: &[(f64, f64, f64)], colour: Colour, look: &Look) {
    if places.len() < 2 {
        return;
    }
    // Where the band leaves the chart it goes along its edge.
    let (_, _, bottom, top) = ground.edges;
    let edge = |sign: f64| -> Vec<(i32, i32)> {
        let run: Vec<(f64, f64)> = places.iter().map(|p| (p.0, p.1 + sign * p.2)).collect();
        smooth(&run).iter().map(|p| ground.at(p)).map(|(x, y)| (x, within(y, top, bottom))).collect()
    };
    let (upper, lower) = (edge(1.0), edge(-1.0));
    let around: Vec<_> = upper.iter().chain(lower.iter().rev()).copied().collect();
    on.path(&around, Paint::Fill(colour.mix(TINT)));
    let thin = Paint::Stroke(colour.mix(EDGE), look.hairline());
    on.path(&upper, thin);
    on.path(&lower, thin);
}

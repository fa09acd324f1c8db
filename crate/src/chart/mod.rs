//! Charts on any [`Picture`]. Nothing in here knows a DOM, or how a curve was computed.
//!
//! A picture counts in whole numbers. So every size is written for one CSS pixel and multiplied by [`Look::k`]: a canvas
//! that is drawn eight times too large and scaled back places a curve to an eighth of a device pixel.

use crate::math::each::Each;
mod axis;
mod band;
mod bump_steer;
mod picture;
mod place;
mod places;
mod ratio;
mod sheet;
mod toe_out;

pub use axis::Axis;
pub use bump_steer::{BumpSteer, BumpSteerWords, draw_bump_steer};
pub use picture::{Anchor, Colour, Ink, Paint, Picture, Spot, Type};
pub use place::{Frame, Point, dense, place};
pub use places::{PlaceMap, PlaceWords, draw_places};
pub use ratio::{RatioTurn, RatioWords, draw_ratio};
pub use sheet::Ground;
pub use toe_out::{Line, ToeOut, Words, draw_toe_out};

/// Width of a letter as a share of the size of the type, on the wide side: names are placed without measuring them.
const LETTER: f64 = 0.6;

/// What became of a chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawn {
    /// The lines that were drawn but found no clear place for their name: those have to be named beside the picture.
    pub unnamed: Vec<Line>,
    /// Where a value lies on the picture; `None` where there was no room for axes.
    pub ground: Option<Ground>,
}

/// Colours of a chart, from the page's tokens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Colours {
    /// Behind everything.
    pub paper: Colour,
    /// Lines at the ticks.
    pub grid: Colour,
    /// Figures at the ticks, names of the axes.
    pub text: Colour,
    /// Left turn, or both.
    pub left: Colour,
    /// Right turn.
    pub right: Colour,
    /// The ideal.
    pub ideal: Colour,
    /// Parallel wheels.
    pub parallel: Colour,
}

/// How large, how heavy, in which colours and words.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// Backend units in a CSS pixel.
    pub k: f64,
    /// Backend units in a device pixel: grid lines fill whole ones. 1 where the backend is the device.
    pub grain: i32,
    /// Size of the figures at the ticks in CSS pixels.
    pub text: f64,
    /// Every stroke is this much heavier: 1 in the light look.
    pub heavy: f64,
    /// A CSS font family.
    pub family: String,
    /// Colours.
    pub colours: Colours,
    /// Words.
    pub words: Words,
}

impl Look {
    /// A size in CSS pixels, in whole backend units, at least one.
    fn size(&self, css: f64) -> i32 {
        (css * self.k).round().max(1.0) as i32
    }

    fn stroke(&self, colour: Colour, css: f64) -> Paint {
        Paint::Stroke(colour.mix(1.0), self.size(css * self.heavy))
    }

    /// A grid line: whole device pixels wide.
    fn hairline(&self) -> i32 {
        let grain = self.grain.max(1);
        (self.size(self.heavy) + grain / 2).div_euclid(grain).max(1) * grain
    }

    fn type_of(&self, css: f64, colour: Colour, bold: bool, anchor: [Anchor; 2]) -> Type<'_> {
        Type { family: &self.family, size: css * self.k, bold, colour, anchor }
    }
}

/// Bare paper.
fn paper(on: &dyn Picture, look: &Look) {
    let (width, height) = on.size();
    on.rect([(0, 0), (width as i32, height as i32)], look.colours.paper.filled());
}

/// A line without a gap, in backend units.
type Run = Vec<Spot>;

/// The samples with three points between each two, on the cubic that has there the slopes of the parabolas through three neighbours
/// (Catmull and Rom, 1974, in the number of the sample). Fewer than three samples stay as they are.
fn smooth(run: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let Some(&last) = run.last().filter(|_| run.len() > 2) else { return run.to_vec() };
    let mix = |terms: [(f64, (f64, f64)); 4]| terms.iter().fold((0.0, 0.0), |sum, (w, p)| (sum.0 + w * p.0, sum.1 + w * p.1));
    let beyond = |a, b, c| mix([(3.0, a), (-3.0, b), (1.0, c), (0.0, a)]);
    let n = run.len();
    let before = beyond(run[0], run[1], run[2]);
    let after = beyond(run[n - 1], run[n - 2], run[n - 3]);
    let mut out = Vec::with_capacity(4 * n);
    for (k, pair) in run.windows(2).enumerate() {
        let (a, d) = (if k == 0 { before } else { run[k - 1] }, if k + 2 == n { after } else { run[k + 2] });
        out.extend([0.0_f64, 0.25, 0.5, 0.75].each(|t| {
            let (t2, t3) = (t * t, t * t * t);
            mix([
                ((2.0 * t2 - t3 - t) / 2.0, a),
                ((3.0 * t3 - 5.0 * t2 + 2.0) / 2.0, pair[0]),
                ((4.0 * t2 - 3.0 * t3 + t) / 2.0, pair[1]),
                ((t3 - t2) / 2.0, d),
            ])
        }));
    }
    out.push(last);
    out
}

/// Points at equal distances along a line, the first at half of one.
fn every(run: &[(i32, i32)], pitch: f64) -> Run {
    let (mut out, mut next) = (Vec::new(), pitch / 2.0);
    let float = |at: (i32, i32)| (f64::from(at.0), f64::from(at.1));
    for pair in run.windows(2) {
        let (a, b) = (float(pair[0]), float(pair[1]));
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        while next < length {
            let t = next / length;
            out.push(((a.0 + t * (b.0 - a.0)).round() as i32, (a.1 + t * (b.1 - a.1)).round() as i32));
            next += pitch;
        }
        next -= length;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_samples_a_parabola_stays_one() {
        let curve = |t: f64| (2.0 * t - 0.1 * t * t, 0.3 * t * t - t);
        let samples: Vec<_> = (0..5).map(|n| curve(f64::from(n))).collect();
        let fine = smooth(&samples);
        assert_eq!(fine.len(), 17);
        for (n, p) in fine.iter().enumerate() {
            let q = curve(n as f64 / 4.0);
            assert!((p.0 - q.0).abs() < 1e-12 && (p.1 - q.1).abs() < 1e-12, "{n}: {p:?}, not {q:?}");
        }
        assert_eq!(smooth(&samples[..2]), samples[..2]);
        assert_eq!(smooth(&[]), []);
    }

    #[test]
    fn points_at_equal_distances() {
        assert_eq!(every(&[(0, 0), (25, 0), (25, 30)], 10.0), [(5, 0), (15, 0), (25, 0), (25, 10), (25, 20)]);
        assert_eq!(every(&[(3, 3)], 10.0), []);
    }
}

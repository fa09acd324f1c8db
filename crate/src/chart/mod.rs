//! Charts on any plotters backend. Nothing in here knows a DOM, or how a curve was computed.
//!
//! Backends count in whole numbers. So every size is written for one CSS pixel and multiplied by [`Look::k`]: a canvas
//! that is drawn eight times too large and scaled back places a curve to an eighth of a device pixel.

mod axis;
mod band;
mod place;
mod ratio;
mod sheet;

pub use axis::Axis;
pub use place::{Frame, Point, dense, place};
pub use ratio::{RatioTurn, RatioWords, draw_ratio};
pub use sheet::Ground;

use plotters::coord::Shift;
use plotters::coord::ranged1d::Ranged;
use plotters::element::DashedPathElement;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use sheet::Sheet;

/// The widest angle that a chart shows, in degrees; a sample beyond it is left out, as one that is not finite.
const WIDEST: f64 = 180.0;
/// Width of a letter as a share of the size of the type, on the wide side: names are placed without measuring them.
const LETTER: f64 = 0.6;

/// Toe-out on turns: samples `(angle of the inner wheel, that angle less the outer wheel's)`, degrees, by rising inner angle.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToeOut {
    /// Turning left; both ways where `right` is `None`.
    pub left: Vec<(f64, f64)>,
    /// Turning right, where that is another curve.
    pub right: Option<Vec<(f64, f64)>>,
    /// What the wheelbase and the spacing of the axes ask for.
    pub ideal: Vec<(f64, f64)>,
    /// How sure the two curves are: `(angle of the inner wheel, toe-out, ± of the toe-out)`, degrees; empty: not shown.
    pub bands: [Vec<(f64, f64, f64)>; 2],
}

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
    pub paper: RGBColor,
    /// Lines at the ticks.
    pub grid: RGBColor,
    /// Figures at the ticks, names of the axes.
    pub text: RGBColor,
    /// Left turn, or both.
    pub left: RGBColor,
    /// Right turn.
    pub right: RGBColor,
    /// The ideal.
    pub ideal: RGBColor,
    /// Parallel wheels.
    pub parallel: RGBColor,
}

/// The words on a chart; an empty one is not drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Words {
    /// Along the axis of the inner wheel's angle.
    pub inner: String,
    /// Above the axis of toe-out.
    pub toe_out: String,
    /// The one curve, where left and right do not differ.
    pub both: String,
    /// Left turn, where they do.
    pub left: String,
    /// Right turn.
    pub right: String,
    /// The ideal.
    pub ideal: String,
    /// The line at zero.
    pub parallel: String,
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

    fn stroke(&self, colour: RGBColor, css: f64) -> ShapeStyle {
        ShapeStyle { color: colour.to_rgba(), filled: false, stroke_width: self.size(css * self.heavy) as u32 }
    }

    /// A grid line: whole device pixels wide.
    fn hairline(&self) -> i32 {
        let grain = self.grain.max(1);
        (self.size(self.heavy) + grain / 2).div_euclid(grain).max(1) * grain
    }

    fn type_of(&self, css: f64, colour: RGBColor, style: FontStyle, anchor: (HPos, VPos)) -> TextStyle<'_> {
        FontDesc::new(FontFamily::Name(&self.family), css * self.k, style).color(&colour).pos(Pos::new(anchor.0, anchor.1))
    }
}

/// A line of the chart that has a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Left turn, or both.
    Left,
    /// Right turn.
    Right,
    /// The ideal.
    Ideal,
    /// Parallel wheels.
    Parallel,
}

/// A line without a gap, in backend units.
type Run = Vec<(i32, i32)>;

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
        out.extend([0.0_f64, 0.25, 0.5, 0.75].map(|t| {
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

fn drawable(&(inner, toe_out): &(f64, f64)) -> bool {
    (0.0..=WIDEST).contains(&inner) && toe_out.abs() <= WIDEST
}

/// Draws the chart over the whole area: grid, parallel wheels (dots), ± (a tint), ideal (short dashes), right turn (long dashes and
/// rings), left turn (a heavy line), then each line's name where it finds a clear place.
///
/// No curve gives empty axes; an area too small for axes gives bare paper; a curve of one sample gives a ring.
///
/// # Errors
/// Only what the backend reports.
pub fn draw_toe_out<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    curves: &ToeOut,
    look: &Look,
) -> Result<Drawn, DrawingAreaErrorKind<B::ErrorType>> {
    area.fill(&look.colours.paper)?;
    let both = || curves.left.iter().chain(curves.right.iter().flatten()).chain(&curves.ideal).filter(|p| drawable(p));
    let sheet = Sheet {
        x: &|most| Axis::covering(both().map(|p| p.0), 10.0, most),
        y: &|most| Axis::covering(both().map(|p| p.1), 1.0, most),
        names: [&look.words.inner, &look.words.toe_out],
        figures: [|axis, v| axis.label(v, "°"); 2],
        mirrored: false,
        zero_is_a_line: true,
    };
    let Some(ground) = Ground::new(&sheet, look, area.dim_in_pixel()) else { return Ok(Drawn::default()) };
    ground.draw(area, &sheet, look)?;
    let within = |run: &Vec<(f64, f64, f64)>| run.iter().copied().filter(|p| drawable(&(p.0, p.1)) && p.2 <= WIDEST).collect::<Vec<_>>();
    let colours = [look.colours.left, look.colours.right];
    for (band, colour) in curves.bands.iter().zip(colours).take(if curves.right.is_some() { 2 } else { 1 }).rev() {
        band::draw(area, &ground, &within(band), colour, look)?;
    }
    let runs = |samples: &[(f64, f64)]| ground.runs(samples, drawable);
    let lines = [
        (Line::Left, runs(&curves.left)),
        (Line::Right, runs(curves.right.as_deref().unwrap_or(&[]))),
        (Line::Ideal, runs(&curves.ideal)),
        (Line::Parallel, runs(&[(ground.x.range().start, 0.0), (ground.x.range().end, 0.0)])),
    ];
    for (line, runs) in lines.iter().rev() {
        for run in runs {
            draw_line(area, *line, run, look)?;
        }
    }
    let unnamed = draw_names(area, &ground, &lines, curves.right.is_some(), look)?;
    Ok(Drawn { unnamed, ground: Some(ground) })
}

fn draw_line<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    line: Line,
    run: &[(i32, i32)],
    look: &Look,
) -> Result<(), DrawingAreaErrorKind<B::ErrorType>> {
    let colours = &look.colours;
    let dashed = |on, off, style: ShapeStyle| area.draw(&DashedPathElement::new(run.to_vec(), look.size(on), look.size(off), style));
    let ring = |at: (i32, i32), colour: RGBColor| {
        area.draw(&Circle::new(at, look.size(4.0), colours.paper.filled()))?;
        area.draw(&Circle::new(at, look.size(4.0), look.stroke(colour, 2.0)))
    };
    let colour = match line {
        Line::Left => colours.left,
        Line::Right => colours.right,
        Line::Ideal => colours.ideal,
        Line::Parallel => colours.parallel,
    };
    match (line, run) {
        (_, &[at]) => ring(at, colour)?,
        (Line::Left, _) => area.draw(&PathElement::new(run, look.stroke(colour, 3.0)))?,
        (Line::Right, _) => {
            dashed(15.0, 5.0, look.stroke(colour, 2.5))?;
            for at in every(run, f64::from(look.size(54.0))) {
                ring(at, colour)?;
            }
        }
        (Line::Ideal, _) => dashed(7.0, 5.0, look.stroke(colour, 2.25))?,
        (Line::Parallel, _) => {
            for at in every(run, f64::from(look.size(6.0))) {
                area.draw(&Circle::new(at, look.size(1.3 * look.heavy), colour.filled()))?;
            }
        }
    }
    Ok(())
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

/// Writes each line's name beside it, and answers with the lines that had no place for one.
fn draw_names<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    ground: &Ground,
    lines: &[(Line, Vec<Run>)],
    differ: bool,
    look: &Look,
) -> Result<Vec<Line>, DrawingAreaErrorKind<B::ErrorType>> {
    let (words, colours, css) = (&look.words, &look.colours, look.text * 1.07);
    let float = |&(x, y): &(i32, i32)| (f64::from(x), f64::from(y));
    let points = |runs: &[Run]| -> Vec<Point> {
        runs.iter().flat_map(|run| dense(&run.iter().map(float).collect::<Vec<_>>(), 2.0 * look.k)).collect()
    };
    let drawn: Vec<Vec<Point>> = lines.iter().map(|(_, runs)| points(runs)).collect();
    let (left, right, bottom, top) = ground.edges;
    // Inside the outermost grid lines, which a name would otherwise cut.
    let inset = look.size(3.0);
    let room = Frame { from: float(&(left + inset, top + inset)), to: float(&(right - inset, bottom - inset)) };
    let (mut taken, mut unnamed) = (Vec::new(), Vec::new());
    for (n, (line, _)) in lines.iter().enumerate() {
        let (word, colour, style) = match line {
            Line::Left if differ => (&words.left, colours.left, FontStyle::Bold),
            Line::Left => (&words.both, colours.left, FontStyle::Bold),
            Line::Right => (&words.right, colours.right, FontStyle::Bold),
            Line::Ideal => (&words.ideal, colours.ideal, FontStyle::Normal),
            Line::Parallel => (&words.parallel, colours.parallel, FontStyle::Normal),
        };
        if word.is_empty() || drawn[n].is_empty() {
            continue;
        }
        let size = (word.chars().count() as f64 * LETTER * css * look.k, 1.1 * css * look.k);
        let others: Vec<Vec<Point>> = drawn.iter().enumerate().filter(|(m, _)| *m != n).map(|(_, line)| line.clone()).collect();
        match place(&drawn[n], &others, &taken, &room, size, 5.0 * look.k) {
            Some(frame) => {
                let middle = ((frame.from.0 + frame.to.0) / 2.0, (frame.from.1 + frame.to.1) / 2.0);
                let anchor = (HPos::Center, VPos::Center);
                let corner = |(x, y): Point| (x.round() as i32, y.round() as i32);
                area.draw(&Rectangle::new([corner(frame.from), corner(frame.to)], colours.paper.filled()))?;
                area.draw_text(word, &look.type_of(css, colour, style, anchor), (middle.0 as i32, middle.1 as i32))?;
                taken.push(frame);
            }
            None => unnamed.push(*line),
        }
    }
    Ok(unnamed)
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

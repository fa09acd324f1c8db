//! Charts on any plotters backend. Nothing in here knows a DOM, or how a curve was computed.
//!
//! Backends count in whole numbers. So every size is written for one CSS pixel and multiplied by [`Look::k`]: a canvas
//! that is drawn eight times too large and scaled back places a curve to an eighth of a device pixel.

mod axis;
mod place;

pub use axis::Axis;
pub use place::{Frame, Point, dense, place};

use plotters::coord::Shift;
use plotters::coord::ranged1d::{Ranged, ValueFormatter};
use plotters::element::DashedPathElement;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

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

/// Where things are: both axes, and the plotting rectangle in backend units.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Layout {
    x: Axis,
    y: Axis,
    /// Left, right, bottom, top.
    edges: (i32, i32, i32, i32),
}

impl Layout {
    /// `None` where there is no room for two steps each way.
    ///
    /// A step is a whole number of device pixels, and the edges lie where a grid line fills whole ones: so grid and curve need no
    /// snapping, and agree.
    fn new(curves: &ToeOut, look: &Look, (width, height): (u32, u32)) -> Option<Self> {
        if !(look.k.is_finite() && look.k > 0.0 && look.text.is_finite() && look.heavy.is_finite()) || width.max(height) > 1 << 20 {
            return None;
        }
        let grain = look.grain.clamp(1, 1 << 10);
        let to_grid = |v: i32| v.div_euclid(grain) * grain + (look.hairline() / grain).rem_euclid(2) * (grain / 2);
        let named = |word: &str, lines: f64| if word.is_empty() { 0.0 } else { lines * look.text };
        let top = look.size(0.75 * look.text + named(&look.words.toe_out, 1.25));
        let bottom = height as i32 - look.size(1.75 * look.text + named(&look.words.inner, 1.35));
        let both = || curves.left.iter().chain(curves.right.iter().flatten()).chain(&curves.ideal).filter(|p| drawable(p));
        let steps = |units: i32, css: f64| (f64::from(units) / (css * look.text * look.k)).floor().clamp(2.0, 12.0) as u32;
        let y = Axis::covering(both().map(|p| p.1), 1.0, steps(bottom - top, 2.1));
        let letters = y.ticks().iter().map(|v| y.format_ext(v).chars().count()).max().unwrap_or(0);
        let left = look.size(letters as f64 * LETTER * look.text + 0.6 * look.text);
        let right = width as i32 - look.size(1.3 * look.text);
        let x = Axis::covering(both().map(|p| p.0), 10.0, steps(right - left, 3.4));
        let (left, bottom) = (to_grid(left), to_grid(bottom));
        let step = |units: i32, axis: Axis| units.div_euclid(axis.steps() * grain) * grain;
        let (across, up) = (step(right - left, x), step(bottom - top, y));
        (across >= look.size(8.0) && up >= look.size(8.0)).then_some(Self {
            x,
            y,
            edges: (left, left + across * x.steps(), bottom, bottom - up * y.steps()),
        })
    }

    fn at(&self, &(inner, toe_out): &(f64, f64)) -> (i32, i32) {
        let (left, right, bottom, top) = self.edges;
        (self.x.map(&inner, (left, right)), self.y.map(&toe_out, (bottom, top)))
    }

    /// A curve in backend units, in runs: where a sample is left out the line is broken, not bridged. Between samples it bends as they do.
    fn runs(&self, samples: &[(f64, f64)]) -> Vec<Run> {
        samples.split(|p| !drawable(p)).filter(|run| !run.is_empty()).map(|run| smooth(run).iter().map(|p| self.at(p)).collect()).collect()
    }
}

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

/// Draws the chart over the whole area: grid, parallel wheels (dots), ideal (short dashes), right turn (long dashes and rings),
/// left turn (a heavy line), then each line's name where it finds a clear place.
///
/// Answers with the lines that it drew but could not name, for the caller to name beside the picture.
/// No curve gives empty axes; an area too small for axes gives bare paper; a curve of one sample gives a ring.
///
/// # Errors
/// Only what the backend reports.
pub fn draw_toe_out<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    curves: &ToeOut,
    look: &Look,
) -> Result<Vec<Line>, DrawingAreaErrorKind<B::ErrorType>> {
    area.fill(&look.colours.paper)?;
    let Some(layout) = Layout::new(curves, look, area.dim_in_pixel()) else { return Ok(Vec::new()) };
    draw_axes(area, &layout, look)?;
    let lines = [
        (Line::Left, layout.runs(&curves.left)),
        (Line::Right, layout.runs(curves.right.as_deref().unwrap_or(&[]))),
        (Line::Ideal, layout.runs(&curves.ideal)),
        (Line::Parallel, layout.runs(&[(layout.x.range().start, 0.0), (layout.x.range().end, 0.0)])),
    ];
    for (line, runs) in lines.iter().rev() {
        for run in runs {
            draw_line(area, *line, run, look)?;
        }
    }
    draw_names(area, &layout, &lines, curves.right.is_some(), look)
}

fn draw_axes<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    layout: &Layout,
    look: &Look,
) -> Result<(), DrawingAreaErrorKind<B::ErrorType>> {
    let (left, right, bottom, top) = layout.edges;
    let (half, gap) = (look.hairline() / 2, look.size(0.4 * look.text));
    let thin = ShapeStyle { color: look.colours.grid.to_rgba(), filled: false, stroke_width: look.hairline() as u32 };
    let figure = |anchor| look.type_of(look.text, look.colours.text, FontStyle::Normal, anchor);
    for value in layout.x.ticks() {
        let (x, _) = layout.at(&(value, 0.0));
        area.draw(&PathElement::new(vec![(x, top - half), (x, bottom + half)], thin))?;
        area.draw_text(&layout.x.format_ext(&value), &figure((HPos::Center, VPos::Top)), (x, bottom + gap))?;
    }
    for value in layout.y.ticks() {
        let (_, y) = layout.at(&(0.0, value));
        // Zero has a line of its own.
        if value != 0.0 {
            area.draw(&PathElement::new(vec![(left, y), (right, y)], thin))?;
        }
        area.draw_text(&layout.y.format_ext(&value), &figure((HPos::Right, VPos::Center)), (left - gap, y + look.size(0.06 * look.text)))?;
    }
    let below = bottom + gap + look.size(1.35 * look.text);
    area.draw_text(&look.words.inner, &figure((HPos::Center, VPos::Top)), ((left + right) / 2, below))?;
    area.draw_text(&look.words.toe_out, &figure((HPos::Left, VPos::Bottom)), (left, top - look.size(0.4 * look.text)))
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
    layout: &Layout,
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
    let (left, right, bottom, top) = layout.edges;
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

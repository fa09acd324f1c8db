//! Toe-out on turns over the angle of the inner wheel.

use super::picture::{Anchor, Colour, Picture, dashed};
use super::sheet::Sheet;
use super::{Axis, Drawn, Frame, Ground, LETTER, Look, Point, Run, band, dense, every, paper, place};

/// The widest angle that the chart shows, in degrees; a sample beyond it is left out, as one that is not finite.
const WIDEST: f64 = 180.0;

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

/// The words on the chart; an empty one is not drawn.
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
pub fn draw_toe_out(on: &dyn Picture, curves: &ToeOut, look: &Look) -> Drawn {
    paper(on, look);
    let both = || curves.left.iter().chain(curves.right.iter().flatten()).chain(&curves.ideal).filter(|p| drawable(p));
    let sheet = Sheet {
        x: &|most| Axis::covering(both().map(|p| p.0), 10.0, most),
        y: &|most| Axis::covering(both().map(|p| p.1), 1.0, most),
        names: [&look.words.inner, &look.words.toe_out],
        figures: [|axis, v| axis.label(v, "°"); 2],
        mirrored: false,
        zero_is_a_line: true,
    };
    let Some(ground) = Ground::new(&sheet, look, on.size()) else { return Drawn::default() };
    ground.draw(on, &sheet, look);
    let within = |run: &Vec<(f64, f64, f64)>| run.iter().copied().filter(|p| drawable(&(p.0, p.1)) && p.2 <= WIDEST).collect::<Vec<_>>();
    let colours = [look.colours.left, look.colours.right];
    for (band, colour) in curves.bands.iter().zip(colours).take(if curves.right.is_some() { 2 } else { 1 }).rev() {
        band::draw(on, &ground, &within(band), colour, look);
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
            draw_line(on, *line, run, look);
        }
    }
    let unnamed = draw_names(on, &ground, &lines, curves.right.is_some(), look);
    Drawn { unnamed, ground: Some(ground) }
}

fn draw_line(on: &dyn Picture, line: Line, run: &[(i32, i32)], look: &Look) {
    let colours = &look.colours;
    let dashes = |dash, gap, paint| dashed(on, run, [look.size(dash), look.size(gap)], paint);
    let ring = |at: (i32, i32), colour: Colour| {
        on.circle(at, look.size(4.0), colours.paper.filled());
        on.circle(at, look.size(4.0), look.stroke(colour, 2.0))
    };
    let colour = match line {
        Line::Left => colours.left,
        Line::Right => colours.right,
        Line::Ideal => colours.ideal,
        Line::Parallel => colours.parallel,
    };
    match (line, run) {
        (_, &[at]) => ring(at, colour),
        (Line::Left, _) => on.path(run, look.stroke(colour, 3.0)),
        (Line::Right, _) => {
            dashes(15.0, 5.0, look.stroke(colour, 2.5));
            for at in every(run, f64::from(look.size(54.0))) {
                ring(at, colour);
            }
        }
        (Line::Ideal, _) => dashes(7.0, 5.0, look.stroke(colour, 2.25)),
        (Line::Parallel, _) => {
            for at in every(run, f64::from(look.size(6.0))) {
                on.circle(at, look.size(1.3 * look.heavy), colour.filled());
            }
        }
    }
}

/// Writes each line's name beside it, and answers with the lines that had no place for one.
fn draw_names(on: &dyn Picture, ground: &Ground, lines: &[(Line, Vec<Run>)], differ: bool, look: &Look) -> Vec<Line> {
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
            Line::Left if differ => (&words.left, colours.left, true),
            Line::Left => (&words.both, colours.left, true),
            Line::Right => (&words.right, colours.right, true),
            Line::Ideal => (&words.ideal, colours.ideal, false),
            Line::Parallel => (&words.parallel, colours.parallel, false),
        };
        if word.is_empty() || drawn[n].is_empty() {
            continue;
        }
        let size = (word.chars().count() as f64 * LETTER * css * look.k, 1.1 * css * look.k);
        let others: Vec<Vec<Point>> = drawn.iter().enumerate().filter(|(m, _)| *m != n).map(|(_, line)| line.clone()).collect();
        match place(&drawn[n], &others, &taken, &room, size, 5.0 * look.k) {
            Some(frame) => {
                let middle = ((frame.from.0 + frame.to.0) / 2.0, (frame.from.1 + frame.to.1) / 2.0);
                let anchor = [Anchor::Middle, Anchor::Middle];
                let corner = |(x, y): Point| (x.round() as i32, y.round() as i32);
                on.rect([corner(frame.from), corner(frame.to)], colours.paper.filled());
                on.write(word, &look.type_of(css, colour, style, anchor), (middle.0 as i32, middle.1 as i32));
                taken.push(frame);
            }
            None => unnamed.push(*line),
        }
    }
    unnamed
}

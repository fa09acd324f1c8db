//! Toe over bumps: toe change across, wheel travel upward, as in the picture of the corner.

use super::picture::{Anchor, Colour, Paint, Picture, dashed};
use super::sheet::Sheet;
use super::{Axis, Drawn, Ground, Look, Run, paper, smooth};
use crate::math::within;

/// Toe changes (degrees) and travels (mm, or inches) beyond this are not shown.
const LARGEST: f64 = 1000.0;
/// Tint of the ±, and of the box, as shares of their colours.
const TINT: f64 = 0.16;

/// The toe change of a wheel against its travel: all pairs are `(travel, toe change)`, bump and toe-in positive.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BumpSteer {
    /// As fitted.
    pub line: Vec<(f64, f64)>,
    /// How sure that is: `(travel, toe change, ±)`; empty: not shown.
    pub band: Vec<(f64, f64, f64)>,
    /// The other wheel, where it differs.
    pub other: Vec<(f64, f64)>,
    /// With the rack where it had better be.
    pub mended: Vec<(f64, f64)>,
    /// The box that the curve leaves through top and bottom, not its sides: travel looked at, largest toe change.
    pub limit: Option<(f64, f64)>,
    /// Colour of that box.
    pub colour: Colour,
}

/// The words on the chart; an empty one is not drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BumpSteerWords {
    /// Below the toe changes: toe-out to the left, toe-in to the right.
    pub toe: String,
    /// Above the travels.
    pub up: String,
    /// Below them.
    pub down: String,
}

/// Draws the chart over the whole area: box, grid, ± (a tint), the other wheel (dots), mended (dashes), as fitted (a heavy line). Both axes
/// have their nought in the middle and are written without a sign: the words say which way is which.
///
/// No curve gives empty axes; an area too small for axes gives bare paper.
///
/// # Errors
/// Only what the backend reports.
pub fn draw_bump_steer(on: &dyn Picture, curves: &BumpSteer, words: &BumpSteerWords, look: &Look) -> Drawn {
    paper(on, look);
    let good = |p: &(f64, f64)| p.0.abs() <= LARGEST && p.1.abs() <= LARGEST;
    let all = || curves.line.iter().chain(&curves.mended).chain(&curves.other).filter(|p| good(p));
    let (travel, limit) = curves.limit.filter(|l| good(l)).unwrap_or_default();
    // Room for the ± as far as it is of the curve's own size: a runaway ± does not flatten the curve.
    let wide = all().map(|p| p.1.abs()).fold(1.2 * limit, f64::max);
    let sure = curves.band.iter().map(|p| p.1.abs() + p.2).filter(|v| *v < 2.0 * wide);
    let wide = sure.fold(wide, f64::max);
    let high = all().map(|p| p.0.abs()).fold(travel, f64::max);
    let figures: [fn(&Axis, f64) -> String; 2] = [|axis, v| axis.label(v.abs(), "°"), |axis, v| axis.label(v.abs(), "")];
    let sheet = Sheet {
        x: &|most| Axis::covering([-wide, wide], 0.04, most),
        y: &|most| Axis::covering([-high, high], 0.4, most),
        names: [&words.toe, &words.up],
        figures,
        mirrored: false,
        zero_is_a_line: false,
    };
    let Some(ground) = Ground::new(&sheet, look, on.size()) else { return Drawn::default() };
    let at = |travel: f64, toe: f64| ground.at(&(toe, travel));
    let corners = [at(travel, -limit), at(-travel, limit)];
    if limit > 0.0 {
        on.rect(corners, Paint::Fill(curves.colour.mix(0.38)));
    }
    ground.draw(on, &sheet, look);
    let (left, right, bottom, top) = ground.edges;
    let (x, y) = at(0.0, 0.0);
    for axis in [[(x, top), (x, bottom)], [(left, y), (right, y)]] {
        on.path(&axis, look.stroke(look.colours.text, 1.5));
    }
    if limit > 0.0 {
        on.rect(corners, look.stroke(look.colours.left, 1.5));
    }
    let name = look.type_of(look.text, look.colours.text, false, [Anchor::Start, Anchor::Start]);
    on.write(&words.down, &name, (look.size(1.0), bottom + look.size(1.75 * look.text)));
    let edge = |sign: f64| -> Run {
        let run: Vec<(f64, f64)> =
            curves.band.iter().filter(|p| good(&(p.0, p.1)) && p.2 <= LARGEST).map(|p| (p.0, p.1 + sign * p.2)).collect();
        smooth(&run).iter().map(|p| at(p.0, p.1)).map(|(x, y)| (within(x, left, right), y)).collect()
    };
    let (inner, outer) = (edge(1.0), edge(-1.0));
    if inner.len() > 1 {
        let around: Vec<_> = inner.into_iter().chain(outer.into_iter().rev()).collect();
        on.path(&around, Paint::Fill(look.colours.left.mix(TINT)));
    }
    let runs = |samples: &[(f64, f64)]| -> Vec<Run> {
        samples.split(|p| !good(p)).filter(|run| run.len() > 1).map(|run| smooth(run).iter().map(|p| at(p.0, p.1)).collect()).collect()
    };
    for run in runs(&curves.other) {
        for dot in super::every(&run, f64::from(look.size(7.0))) {
            on.circle(dot, look.size(1.8 * look.heavy), look.colours.right.filled());
        }
    }
    for run in runs(&curves.mended) {
        dashed(on, &run, [look.size(9.0), look.size(5.0)], look.stroke(look.colours.ideal, 2.75));
    }
    for run in runs(&curves.line) {
        on.path(&run, look.stroke(look.colours.left, 3.0));
    }
    Drawn { unnamed: Vec::new(), ground: Some(ground) }
}

//! The ratio over the turn of the steering wheel.

use super::picture::Picture;
use super::sheet::Sheet;
use super::{Axis, Drawn, Ground, Look, band, every, paper};

/// Ratios and turns beyond this are not shown.
const LARGEST: f64 = 1000.0;

/// The overall steering ratio against the turns of the steering wheel, left positive.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RatioTurn {
    /// `(turns, ratio)`, by rising or falling turns.
    pub line: Vec<(f64, f64)>,
    /// How sure it is: `(turns, ratio, ± of the ratio)`; empty: not shown.
    pub band: Vec<(f64, f64, f64)>,
}

/// The words on the chart; an empty one is not drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RatioWords {
    /// Below the turns.
    pub turns: String,
    /// Above the ratios.
    pub ratio: String,
}

/// Draws the chart over the whole area: grid, a line of dots for straight ahead, ± (a tint), the curve. A left turn lies to the left;
/// the turns are written without a sign, the words below say which side is which. The upright axis does not begin at nought.
///
/// No curve gives empty axes; an area too small for axes gives bare paper; a curve of one sample gives a ring.
///
/// # Errors
/// Only what the backend reports.
pub fn draw_ratio(on: &dyn Picture, curve: &RatioTurn, words: &RatioWords, look: &Look) -> Drawn {
    paper(on, look);
    let good = |p: &(f64, f64)| p.0.abs() <= LARGEST && (0.0..=LARGEST).contains(&p.1);
    let line = || curve.line.iter().filter(|p| good(p));
    let places: Vec<(f64, f64, f64)> = curve.band.iter().copied().filter(|p| good(&(p.0, p.1)) && (0.0..=LARGEST).contains(&p.2)).collect();
    // Room for the ± as far as it is of the curve's own size: a runaway ± does not flatten the curve.
    let span = line().map(|p| p.1).fold((f64::INFINITY, 0.0_f64), |(lo, hi), v| (lo.min(v), hi.max(v)));
    let most = (span.1 / 3.0).max(0.0);
    let heights = || line().map(|p| p.1).chain(places.iter().flat_map(|p| [p.1 - p.2.min(most), p.1 + p.2.min(most)]));
    let sheet = Sheet {
        x: &|most| Axis::covering(line().map(|p| p.0), 0.5, most),
        y: &|most| Axis::spanning(heights(), 4.0, most),
        names: [&words.turns, &words.ratio],
        figures: [|axis, v| axis.label(v.abs(), ""), |axis, v| axis.label(v, "")],
        mirrored: true,
        zero_is_a_line: false,
    };
    let Some(ground) = Ground::new(&sheet, look, on.size()) else { return Drawn::default() };
    ground.draw(on, &sheet, look);
    let (_, _, bottom, top) = ground.edges;
    let (zero, _) = ground.at(&(0.0, 0.0));
    for at in every(&[(zero, bottom), (zero, top)], f64::from(look.size(6.0))) {
        on.circle(at, look.size(1.3 * look.heavy), look.colours.parallel.filled());
    }
    band::draw(on, &ground, &places, look.colours.left, look);
    for run in ground.runs(&curve.line, good) {
        match run[..] {
            [at] => {
                on.circle(at, look.size(4.0), look.colours.paper.filled());
                on.circle(at, look.size(4.0), look.stroke(look.colours.left, 2.0));
            }
            _ => on.path(&run, look.stroke(look.colours.left, 3.0)),
        }
    }
    Drawn { unnamed: Vec::new(), ground: Some(ground) }
}

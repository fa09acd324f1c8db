//! Toe-out on turns, drawn as SVG: its lines against points found by root finding, read by the figures at the ticks.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a failing test may stop at once")]

use donorack::chart::{Line, Look, ToeOut, Words, draw_toe_out};
use donorack::{Plan, evaluate};
use donorack_tests::svg::{self, Svg as Picture, attribute, number};
use donorack_tests::worked::{A, B, Worked};
use proptest::prelude::*;

/// Units of the picture in a CSS pixel.
const K: f64 = 8.0;
/// How far a whole line may be from where it belongs, in units of the picture: half of one for rounding either end of a segment each
/// way on its slope, and the segment's sag.
const CLOSE: f64 = 0.8;
/// The same for a dash or a ring, whose own ends are rounded once more.
const CLOSE_DASHED: f64 = 1.6;

const GRID: &str = "#D0D0C0";
const LEFT: &str = "#000010";
const RIGHT: &str = "#806020";
const IDEAL: &str = "#006080";
const PARALLEL: &str = "#404850";

fn look(k: f64) -> Look {
    let word = String::from;
    let words = Words {
        inner: word("angle of the inner wheel"),
        toe_out: word("toe-out"),
        both: word("this rack"),
        left: word("left turn"),
        right: word("right turn"),
        ideal: word("ideal"),
        parallel: word("parallel wheels"),
    };
    Look { words, ..svg::look(k) }
}

/// The curves of a linkage, as the page gets them for its plan.
fn curves(linkage: &Worked) -> ToeOut {
    let curves = evaluate(&Plan::from_json(&linkage.plan()).unwrap()).racks[0].curves.clone();
    ToeOut { left: curves.toe_out_left, right: curves.differ.then_some(curves.toe_out_right), ideal: curves.ideal, ..ToeOut::default() }
}

/// What a reader of the file sees.
struct Svg {
    text: String,
    unnamed: Vec<Line>,
}

type At = (f64, f64);

impl Svg {
    fn draw(curves: &ToeOut, size: (u32, u32)) -> Svg {
        let on = Picture::new(size);
        let unnamed = draw_toe_out(&on, curves, &look(K)).unnamed;
        Svg { text: on.into_text(), unnamed }
    }

    fn desk(curves: &ToeOut) -> Svg {
        Svg::draw(curves, (640 * 8, 380 * 8))
    }

    fn tags<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.text.lines().filter(move |line| line.starts_with(&format!("<{name} ")))
    }

    /// The lines of one colour.
    fn lines(&self, colour: &str) -> Vec<Vec<At>> {
        let number = |text: &str| text.parse::<f64>().unwrap();
        let point = |text: &str| text.split_once(',').map(|(x, y)| (number(x), number(y))).unwrap();
        let of_colour = self.tags("polyline").filter(|tag| attribute(tag, "stroke") == colour);
        of_colour.map(|tag| attribute(tag, "points").split_whitespace().map(point).collect()).collect()
    }

    /// Centres of the circles of one colour, rings or discs.
    fn circles(&self, colour: &str) -> Vec<At> {
        let of_colour = self.tags("circle").filter(|tag| [attribute(tag, "stroke"), attribute(tag, "fill")].contains(&colour));
        of_colour.map(|tag| (number(tag, "cx"), number(tag, "cy"))).collect()
    }

    /// Every text with its anchor.
    fn texts(&self) -> Vec<(String, At)> {
        let mut lines = self.text.lines();
        let mut out = Vec::new();
        while let Some(line) = lines.next() {
            if line.starts_with("<text ") {
                out.push((lines.next().unwrap().to_owned(), (number(line, "x"), number(line, "y"))));
            }
        }
        out
    }

    /// The scales of the inner wheel's angle and of toe-out: from the first and the last grid line and the figures beside them.
    fn scales(&self) -> [Scale; 2] {
        let figure = |(text, at): (String, At)| Some((text.strip_suffix('°')?.replace('−', "-").parse::<f64>().ok()?, at));
        let figures: Vec<(f64, At)> = self.texts().into_iter().filter_map(figure).collect();
        [|p: &At| p.0, |p: &At| p.1].map(|along| {
            let level = self.lines(GRID).into_iter().filter(|line| along(&line[0]) == along(&line[1])).map(|line| along(&line[0]));
            let beside = |at: f64| figures.iter().find(|f| (along(&f.1) - at).abs() < 10.0).unwrap_or_else(|| panic!("a figure at {at}")).0;
            let ticks: Vec<(f64, f64)> = level.map(|at| (beside(at), at)).collect();
            let (first, last) = (ticks[0], ticks[ticks.len() - 1]);
            let unit = (last.1 - first.1) / (last.0 - first.0);
            let scale = Scale { zero: first.1 - first.0 * unit, unit };
            assert!(ticks.iter().all(|t| (scale.at(t.0) - t.1).abs() < 1e-9), "the figures are evenly spaced: {ticks:?}");
            scale
        })
    }
}

#[derive(Clone, Copy)]
struct Scale {
    zero: f64,
    unit: f64,
}

impl Scale {
    fn at(self, value: f64) -> f64 {
        self.zero + self.unit * value
    }
}

/// Height of a line at x, or where it has a gap: nothing.
fn height(lines: &[Vec<At>], x: f64) -> Option<f64> {
    let segment = lines.iter().flat_map(|line| line.windows(2)).find(|s| s[0].0 <= x && x <= s[1].0)?;
    Some(segment[0].1 + (segment[1].1 - segment[0].1) * (x - segment[0].0) / (segment[1].0 - segment[0].0).max(1e-9))
}

/// How many of the points `value(angle)` the lines of `colour` meet; panics on one that they pass by.
fn met(svg: &Svg, colour: &str, angles: &[f64], value: &dyn Fn(f64) -> f64) -> usize {
    let [x, y] = svg.scales();
    let (lines, close) = (svg.lines(colour), if colour == LEFT { CLOSE } else { CLOSE_DASHED });
    let found = angles.iter().filter_map(|&a| Some((a, height(&lines, x.at(a))?)));
    found.inspect(|&(a, seen)| assert!((seen - y.at(value(a))).abs() < close, "{colour} at {a}°: {seen}, not {}", y.at(value(a)))).count()
}

const ANGLES: [f64; 8] = [3.1, 7.7, 11.3, 15.9, 19.2, 23.4, 27.6, 30.9];

#[test]
fn the_lines_pass_through_independent_points() {
    for linkage in [A, B] {
        let svg = Svg::desk(&curves(&linkage));
        assert_eq!(met(&svg, LEFT, &ANGLES, &|a| linkage.toe_out(a)), ANGLES.len(), "a whole line");
        // Dashes of 7 on 5: about half of many points.
        let many: Vec<f64> = (10..300).map(|n| f64::from(n) / 10.0).collect();
        let share = met(&svg, IDEAL, &many, &|a| linkage.ideal(a)) as f64 / many.len() as f64;
        assert!((0.45..0.75).contains(&share), "{share}");
        let [_, y] = svg.scales();
        let dots = svg.circles(PARALLEL);
        assert!(dots.len() > 50 && dots.iter().all(|dot| (dot.1 - y.at(0.0)).abs() < CLOSE), "{dots:?}");
        assert_eq!(svg.lines(RIGHT).len() + svg.circles(RIGHT).len(), 0, "one line for both turns");
    }
}

#[test]
fn a_right_turn_of_its_own_has_dashes_and_rings() {
    let svg = Svg::desk(&ToeOut { right: Some(curves(&A).left), ..curves(&B) });
    assert_eq!(met(&svg, LEFT, &ANGLES, &|a| B.toe_out(a)), ANGLES.len());
    let found = met(&svg, RIGHT, &ANGLES, &|a| A.toe_out(a));
    assert!((3..=ANGLES.len()).contains(&found) && svg.lines(RIGHT).len() > 10, "{found}");
    let ([x, y], rings) = (svg.scales(), svg.circles(RIGHT));
    assert!(rings.len() > 5);
    for (ring, n) in rings.iter().zip(1..) {
        let inner = (ring.0 - x.zero) / x.unit;
        assert!((ring.1 - y.at(A.toe_out(inner))).abs() < CLOSE_DASHED, "ring {n} at {inner}°");
    }
    let words: Vec<String> = svg.texts().into_iter().map(|t| t.0).collect();
    assert!(
        words.contains(&"left turn".to_owned()) && words.contains(&"right turn".to_owned()) && !words.contains(&"this rack".to_owned()),
        "{words:?}"
    );
}

#[test]
fn empty_axes_have_no_line_to_meet() {
    let svg = Svg::desk(&ToeOut::default());
    for colour in [LEFT, RIGHT, IDEAL] {
        assert_eq!(svg.lines(colour).len() + svg.circles(colour).len(), 0);
    }
    let many: Vec<f64> = (0..100).map(|n| f64::from(n) / 10.0).collect();
    assert_eq!(met(&svg, LEFT, &many, &|a| B.toe_out(a)), 0);
    assert!(svg.lines(GRID).len() > 6 && svg.circles(PARALLEL).len() > 50, "axes all the same");
}

#[test]
fn the_other_linkage_s_curve_is_told_apart() {
    let svg = Svg::desk(&curves(&A));
    assert!(std::panic::catch_unwind(|| met(&svg, LEFT, &ANGLES, &|a| B.toe_out(a))).is_err());
}

#[test]
fn below_zero_is_below_the_dots() {
    let backwards = |linkage: &Worked| ToeOut { left: curves(linkage).left.iter().map(|p| (p.0, -p.1)).collect(), ..curves(linkage) };
    let svg = Svg::desk(&backwards(&B));
    assert_eq!(met(&svg, LEFT, &ANGLES, &|a| -B.toe_out(a)), ANGLES.len());
    assert!(svg.texts().iter().any(|t| t.0.starts_with('−')), "a true minus sign");
}

#[test]
fn a_lost_sample_breaks_the_line_and_one_sample_is_a_ring() {
    let mut broken = curves(&B);
    broken.left[20] = (f64::NAN, 1.0);
    broken.left[30].1 = f64::INFINITY;
    let svg = Svg::desk(&broken);
    assert_eq!(svg.lines(LEFT).len(), 3);
    let between = (broken.left[19].0 + broken.left[21].0) / 2.0;
    assert_eq!(met(&svg, LEFT, &[between], &|a| B.toe_out(a)), 0, "not bridged");
    let svg = Svg::desk(&ToeOut { left: vec![(20.0, 1.5)], ..ToeOut::default() });
    let [x, y] = svg.scales();
    assert!(svg.circles(LEFT).iter().any(|c| (c.0 - x.at(20.0)).abs() < CLOSE && (c.1 - y.at(1.5)).abs() < CLOSE));
}

#[test]
fn figures_are_large_and_whole() {
    for size in [(326 * 8, 230 * 8), (358 * 8, 230 * 8), (640 * 8, 360 * 8)] {
        let svg = Svg::draw(&curves(&B), size);
        for tag in svg.tags("text") {
            assert!(number(tag, "font-size") / K >= 14.0, "{tag}");
        }
        let last = svg.texts().into_iter().filter(|t| t.0.ends_with('°')).map(|t| t.1.0).fold(0.0, f64::max);
        assert!(f64::from(size.0) - last > 1.2 * 15.0 * K, "room for half of the last figure");
        assert!(!svg.unnamed.contains(&Line::Left) && !svg.unnamed.contains(&Line::Ideal), "{:?} at {size:?}", svg.unnamed);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 300, ..ProptestConfig::default() })]

    /// Any samples, any size, any look: a picture, and every number in it a number.
    #[test]
    fn nothing_panics(
        left in prop::collection::vec((any::<f64>(), any::<f64>()), 0..12),
        right in prop::option::of(prop::collection::vec((-10.0..200.0, -200.0..200.0), 0..12)),
        ideal in prop::collection::vec((0.0..60.0, -1e-9..1e9), 0..12),
        size in (0u32..3000, 0u32..3000),
        k in prop_oneof![Just(f64::NAN), Just(0.0), Just(-1.0), Just(f64::INFINITY), 0.01..40.0],
        grain in -3..40,
        text in prop_oneof![Just(f64::NAN), Just(0.0), 0.1..400.0],
    ) {
        let on = Picture::new(size);
        draw_toe_out(&on, &ToeOut { left, right, ideal, ..ToeOut::default() }, &Look { grain, text, ..look(k) });
        prop_assert!(!on.into_text().contains("NaN"));
    }
}

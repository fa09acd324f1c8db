//! The map of the rack's places, drawn as SVG: lines, outline and boxes of one tint against a layer whose lines are known.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a failing test may stop at once")]

use donorack::chart::{Colour, Drawn, Look, PlaceMap, PlaceWords, draw_places};
use donorack_tests::svg::{Svg, attribute, look};
use proptest::prelude::*;

const CELLS: usize = 41;
/// How far a line may be from where it belongs, in units of the picture: rounding.
const CLOSE: f64 = 1.5;

fn draw(map: &PlaceMap, size: (u32, u32), look: &Look) -> (String, Drawn) {
    let on = Svg::new(size);
    let word = |w: &str| w.to_owned();
    let words = PlaceWords { along: word("along"), up: word("up"), down: word("down"), passes: word("passes") };
    let drawn = draw_places(&on, map, &words, look);
    (on.into_text(), drawn)
}

/// The layer.
fn value((x, z): &(f64, f64)) -> f64 {
    0.5 * x + 0.5 * (z - 80.0)
}

/// A plane for a layer, and a band of heights that passes, from 92 to 108, ahead of −12.
fn map() -> PlaceMap {
    let place = |k: usize| (-20.0 + (k % CELLS) as f64, 80.0 + (k / CELLS) as f64);
    let layer = (0..CELLS * CELLS).map(place).map(|at| value(&at)).collect();
    let overrun = (0..CELLS * CELLS).map(place).map(|(x, z)| ((z - 100.0_f64).abs() - 8.0).max(-12.0 - x)).collect();
    let level = |at: f64, heavy| (at, format!("{at}°"), heavy);
    PlaceMap {
        middle: [0.0, 100.0],
        reach: [20.0, 10.0],
        cells: CELLS,
        layer,
        levels: vec![level(3.0, false), level(8.0, true), level(12.0, false)],
        overrun,
        here: (5.0, 102.0),
        was: Some((-3.0, 98.0)),
        best: Some((2.0, 100.0)),
        racks: vec![("2".to_owned(), (-8.0, 95.0)), ("3".to_owned(), (80.0, 95.0))],
        boxes: vec![("sump", [(-18.0, 81.0), (-6.0, 87.0)]), ("frame", [(200.0, 0.0), (300.0, 500.0)])],
        radius: 2.0,
        number: "1".to_owned(),
        colours: [Colour(255, 207, 26), Colour(61, 47, 0)],
    }
}

/// Pieces of lines of one colour and width, in mm forward and up.
fn pieces(svg: &str, drawn: &Drawn, width: &str) -> Vec<[(f64, f64); 2]> {
    let ground = drawn.ground.unwrap();
    let (o, i) = (ground.at(&(0.0, 100.0)), ground.at(&(10.0, 110.0)));
    let back = |(x, y): (f64, f64)| {
        (10.0 * (x - f64::from(o.0)) / f64::from(i.0 - o.0), 100.0 + 10.0 * (y - f64::from(o.1)) / f64::from(i.1 - o.1))
    };
    let pair = |t: &str| t.split_once(',').map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap())).unwrap();
    svg.lines()
        .filter(|l| l.starts_with("<polyline ") && attribute(l, "stroke") == "#000010" && attribute(l, "stroke-width") == width)
        .filter_map(|l| <[(f64, f64); 2]>::try_from(attribute(l, "points").split_whitespace().map(pair).map(back).collect::<Vec<_>>()).ok())
        .collect()
}

#[test]
fn lines_and_outline_are_where_the_layer_says() {
    let (svg, drawn) = draw(&map(), (400 * 8, 380 * 8), &look(8.0));
    let ground = drawn.ground.unwrap();
    let unit = f64::from(ground.at(&(0.0, 0.0)).0 - ground.at(&(1.0, 0.0)).0);
    assert!(unit > 0.0, "forward is to the left");
    let close = 2.0 * CLOSE / unit;
    let heavy = pieces(&svg, &drawn, "20");
    assert!(heavy.len() > 30 && heavy.iter().flatten().all(|at| (value(at) - 8.0).abs() < close), "{:?}", heavy.first());
    let thin = pieces(&svg, &drawn, "8");
    let near = |at: &(f64, f64)| (value(at) - 3.0).abs() < close || (value(at) - 12.0).abs() < close;
    assert!(thin.len() > 60 && thin.iter().flatten().all(near));
    let outline = pieces(&svg, &drawn, "18");
    let edge =
        |(x, z): &(f64, f64)| *x > -12.5 && ((z - 92.0).abs() < close || (z - 108.0).abs() < close) || (x + 12.0).abs() < close + 0.5;
    assert!(outline.len() > 60 && outline.iter().flatten().all(edge), "{:?}", outline.iter().flatten().find(|at| !edge(at)));
    let yellow: f64 = svg
        .lines()
        .filter(|l| l.starts_with("<rect ") && attribute(l, "fill") == "#FFCF1A" && attribute(l, "opacity") == "1")
        .map(|l| attribute(l, "width").parse::<f64>().unwrap() * attribute(l, "height").parse::<f64>().unwrap())
        .sum();
    assert!((yellow / unit / unit / (33.0 * 17.0) - 1.0).abs() < 0.12, "{}", yellow / unit / unit);
    for (said, there) in [("8°", true), ("passes", true), ("1", true), ("2", true), ("3", false), ("down", false)] {
        assert_eq!(svg.lines().any(|l| l == said), there, "{said}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 200, ..ProptestConfig::default() })]

    /// Any map, any size, any look: a picture, and every number in it a number.
    #[test]
    fn nothing_panics(
        values in prop::collection::vec(prop_oneof![any::<f64>(), -20.0..20.0], 0..200),
        middle in prop::array::uniform2(prop_oneof![any::<f64>(), -200.0..200.0]),
        reach in prop::array::uniform2(prop_oneof![any::<f64>(), 0.0..70.0]),
        cells in 0usize..16,
        here in (any::<f64>(), any::<f64>()),
        size in (0u32..3000, 0u32..3000),
        k in prop_oneof![Just(f64::NAN), Just(0.0), Just(-1.0), 0.01..40.0],
    ) {
        let map = PlaceMap { middle, reach, cells, here, layer: values.clone(), overrun: values, ..map() };
        let (svg, _) = draw(&map, size, &look(k));
        prop_assert!(!svg.contains("NaN"));
    }
}

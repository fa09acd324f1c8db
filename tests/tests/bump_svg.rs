//! Toe over bumps, drawn as SVG: its lines against the corner solved place by place, its band, its box, read by the figures at the ticks.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a failing test may stop at once")]

use donorack::chart::{BumpSteer, BumpSteerWords, Colour, Drawn, Look, draw_bump_steer};
use donorack::{Hold, Plan, Session, probe_bump};
use donorack_tests::svg::{Svg, attribute, look, number, points};
use proptest::prelude::*;

/// Units of the picture in a CSS pixel.
const K: f64 = 8.0;
/// How far a line may be from where it belongs, in units of the picture: rounding at either end of a segment, and its sag.
const CLOSE: f64 = 1.5;
/// Size of the figures, CSS pixels.
const TEXT: f64 = 15.0;

fn draw(curves: &BumpSteer, size: (u32, u32), look: &Look) -> (String, Drawn) {
    let on = Svg::new(size);
    let words = BumpSteerWords { toe: "toe".to_owned(), up: "up".to_owned(), down: "down".to_owned() };
    let drawn = draw_bump_steer(&on, curves, &words, look);
    (on.into_text(), drawn)
}

/// Where the figures say that so much travel and toe lie: nought, and one unit of each, by the figures' own places.
fn scales(svg: &str) -> [(f64, f64); 2] {
    let all: Vec<&str> = svg.lines().collect();
    let figures: Vec<(f64, f64, f64)> = all
        .windows(2)
        .filter(|w| w[0].starts_with("<text "))
        .filter_map(|w| Some((w[1].trim_end_matches('°').parse().ok()?, number(w[0], "x"), number(w[0], "y"))))
        .collect();
    let bottom = figures.iter().map(|f| f.2).fold(0.0, f64::max);
    type Figures<'a> = Vec<&'a (f64, f64, f64)>;
    let (across, up): (Figures, Figures) = figures.iter().partition(|f| (f.2 - bottom).abs() < 1.0);
    let (right, top) = (across.iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap(), up.iter().min_by(|a, b| a.2.total_cmp(&b.2)).unwrap());
    let zero = |of: &[&(f64, f64, f64)], place: fn(&(f64, f64, f64)) -> f64| place(of.iter().find(|f| f.0 == 0.0).unwrap());
    let (x, y) = (zero(&across, |f| f.1), zero(&up, |f| f.2));
    // The figure's anchor stands a little below the middle of its grid line.
    [(x, (right.1 - x) / right.0), (y - (0.06 * TEXT * K).round(), (top.2 - y) / top.0)]
}

/// The place of a line across at a height of the picture.
fn across(line: &[(f64, f64)], y: f64) -> f64 {
    let s = line.windows(2).find(|s| (s[0].1 - y) * (s[1].1 - y) <= 0.0).unwrap_or_else(|| panic!("no line at {y}"));
    s[0].0 + (s[1].0 - s[0].0) * (y - s[0].1) / (s[1].1 - s[0].1)
}

fn plan() -> Plan {
    Plan::from_json(include_str!("../../crate/benches/points.json")).unwrap()
}

/// The left wheel, and the right one with the rack to the left.
fn curves() -> BumpSteer {
    let view = Session::new(plan()).over_bumps(0, 0.4);
    let line = |wheel: usize| view.wheels[wheel].toe.iter().map(|p| (p[0], p[1])).collect();
    let band = view.wheels[0].toe.iter().map(|p| (p[0], p[1], p[2])).collect();
    BumpSteer { line: line(0), band, other: line(1), limit: Some((50.0, 0.2)), colour: Colour(255, 207, 26), ..BumpSteer::default() }
}

#[test]
fn the_line_passes_through_the_corner_solved_place_by_place() {
    let (svg, drawn) = draw(&curves(), (400 * 8, 360 * 8), &look(K));
    let [x, y] = scales(&svg);
    assert!(x.1 > 0.0 && y.1 < 0.0, "toe-in to the right, up is up");
    let heavy = |l: &&str| l.starts_with("<polyline ") && attribute(l, "stroke") == "#000010" && points(l).len() > 30;
    let lines: Vec<Vec<(f64, f64)>> = svg.lines().filter(heavy).map(points).collect();
    assert_eq!(lines.len(), 1);
    let rack = Session::new(plan()).over_bumps(0, 0.4).rack;
    let toe = |travel: f64| probe_bump(&plan(), 0, [travel, rack], Hold::Height).wheels[0].at.as_ref().unwrap().toe;
    for travel in [-48.0, -27.0, -3.0, 11.0, 33.0, 49.0] {
        let seen = across(&lines[0], y.0 + travel * y.1);
        let expected = x.0 + (toe(travel) - toe(0.0)) * x.1;
        assert!((seen - expected).abs() < CLOSE, "{travel} mm: {seen}, not {expected}");
        // A toe of its mirror image would be seen.
        assert!((seen - (2.0 * x.0 - expected)).abs() > CLOSE || travel.abs() < 5.0);
    }
    let at = drawn.ground.unwrap().at(&(0.1, 20.0));
    assert!((f64::from(at.0) - x.0 - 0.1 * x.1).abs() < CLOSE && (f64::from(at.1) - y.0 - 20.0 * y.1).abs() < CLOSE);
}

#[test]
fn band_and_box_are_where_they_belong() {
    let curves = curves();
    let (svg, _) = draw(&curves, (400 * 8, 360 * 8), &look(K));
    let [x, y] = scales(&svg);
    let around = svg.lines().find(|l| l.starts_with("<polygon ")).map(points).unwrap();
    let half = around.len() / 2;
    for &(travel, toe, pm) in curves.band.iter().skip(1).step_by(3).filter(|p| p.0.abs() > 4.0 && p.0.abs() < 49.0) {
        for (edge, sign) in [(&around[..half], 1.0), (&around[half..], -1.0)] {
            let seen = across(edge, y.0 + travel * y.1);
            assert!((seen - x.0 - (toe + sign * pm) * x.1).abs() < CLOSE, "{travel}: {seen}");
        }
    }
    let frame = svg.lines().find(|l| l.starts_with("<rect ") && attribute(l, "fill") == "#FFCF1A").unwrap();
    let [left, top, wide, high] = ["x", "y", "width", "height"].map(|name| number(frame, name));
    for (seen, wanted) in [(left, x.0 - 0.2 * x.1), (top, y.0 + 50.0 * y.1), (wide, 0.4 * x.1), (high, -100.0 * y.1)] {
        assert!((seen - wanted).abs() < CLOSE, "{seen}, not {wanted}");
    }
    let bare = draw(&BumpSteer { limit: None, band: Vec::new(), ..curves }, (400 * 8, 360 * 8), &look(K)).0;
    assert!(!bare.contains("#FFCF1A") && !bare.contains("<polygon "));
    let (nothing, drawn) = draw(&BumpSteer::default(), (400 * 8, 360 * 8), &look(K));
    assert!(!nothing.contains("#000010") && drawn.ground.is_some());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 200, ..ProptestConfig::default() })]

    /// Any samples, any size, any look: a picture, and every number in it a number.
    #[test]
    fn nothing_panics(
        line in prop::collection::vec((any::<f64>(), any::<f64>()), 0..12),
        band in prop::collection::vec((-60.0..60.0, -5.0..1e5, prop_oneof![Just(f64::NAN), -1.0..1e7]), 0..12),
        limit in prop::option::of((any::<f64>(), any::<f64>())),
        size in (0u32..3000, 0u32..3000),
        k in prop_oneof![Just(f64::NAN), Just(0.0), Just(-1.0), 0.01..40.0],
    ) {
        let (svg, _) = draw(&BumpSteer { mended: line.clone(), other: line.clone(), line, band, limit, ..BumpSteer::default() }, size, &look(k));
        prop_assert!(!svg.contains("NaN"));
    }
}

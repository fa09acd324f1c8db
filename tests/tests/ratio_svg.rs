//! The ratio over the turn, drawn as SVG: its line against derivatives of angles found by root finding, its band, read by the figures
//! at the ticks.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a failing test may stop at once")]

use donorack::chart::{Drawn, Look, RatioTurn, RatioWords, draw_ratio};
use donorack::{Axle, Plan, evaluate, over_turn};
use donorack_tests::svg::{Svg, attribute, look, points};
use donorack_tests::worked::{A, B, Worked};
use proptest::prelude::*;

/// Units of the picture in a CSS pixel.
const K: f64 = 8.0;
/// How far a line may be from where it belongs, in units of the picture: rounding at either end of a segment on its slope, and its sag.
const CLOSE: f64 = 1.2;
fn words() -> RatioWords {
    RatioWords { turns: "turns".to_owned(), ratio: "ratio".to_owned() }
}

fn curve(linkage: &Worked) -> RatioTurn {
    let plan = Plan::from_json(&linkage.plan()).unwrap();
    let band = over_turn(&Axle::new(&plan, 0).unwrap()).band_ratio;
    RatioTurn { line: evaluate(&plan).racks[0].curves.ratio.clone(), band: band.iter().map(|p| (p[0], p[1], p[2])).collect() }
}

fn draw(curve: &RatioTurn, size: (u32, u32), look: &Look) -> (String, Drawn) {
    let on = Svg::new(size);
    let drawn = draw_ratio(&on, curve, &words(), look);
    (on.into_text(), drawn)
}

/// Lines of a colour and opacity.
fn lines(svg: &str, opacity: &str) -> Vec<Vec<(f64, f64)>> {
    let mine =
        |l: &&str| l.starts_with("<polyline ") && attribute(l, "stroke") == "#000010" && attribute(l, "opacity").starts_with(opacity);
    svg.lines().filter(mine).map(points).collect()
}

/// Figures with their anchors.
fn figures(svg: &str) -> Vec<(f64, (f64, f64))> {
    let all: Vec<&str> = svg.lines().collect();
    let number = |tag: &str, name: &str| attribute(tag, name).parse::<f64>().unwrap();
    all.windows(2)
        .filter(|w| w[0].starts_with("<text "))
        .filter_map(|w| Some((w[1].parse().ok()?, (number(w[0], "x"), number(w[0], "y")))))
        .collect()
}

/// Height of a line at x.
fn height(line: &[(f64, f64)], x: f64) -> f64 {
    let s = line.windows(2).find(|s| (s[0].0 - x) * (s[1].0 - x) <= 0.0).unwrap_or_else(|| panic!("no line at {x}"));
    s[0].1 + (s[1].1 - s[0].1) * (x - s[0].0) / (s[1].0 - s[0].0)
}

/// The scales read off the figures: (place of x = 0 and of one more turn to the left; the same for the ratio).
fn scales(svg: &str) -> [(f64, f64); 2] {
    let all = figures(svg);
    let bottom = all.iter().map(|f| f.1.1).fold(0.0, f64::max);
    type Figure = (f64, (f64, f64));
    let (across, up): (Vec<Figure>, Vec<Figure>) = all.iter().partition(|f| (f.1.1 - bottom).abs() < 1.0);
    // Left of nought are left turns, positive; the figures carry no sign.
    let zero = across.iter().find(|f| f.0 == 0.0).unwrap().1.0;
    let first = across.iter().min_by(|a, b| a.1.0.total_cmp(&b.1.0)).unwrap();
    let (low, high) = (up.iter().min_by(|a, b| a.0.total_cmp(&b.0)).unwrap(), up.iter().max_by(|a, b| a.0.total_cmp(&b.0)).unwrap());
    let unit = (high.1.1 - low.1.1) / (high.0 - low.0);
    // The figure's anchor stands a little below the middle of its grid line.
    let sink = 0.06 * 15.0 * K;
    [(zero, (first.1.0 - zero) / first.0), (low.1.1 - sink.round() - low.0 * unit, unit)]
}

#[test]
fn the_line_passes_through_independent_points_left_turns_to_the_left() {
    for linkage in [A, B] {
        let (svg, drawn) = draw(&curve(&linkage), (640 * 8, 360 * 8), &look(K));
        let [x, y] = scales(&svg);
        assert!(x.1 < 0.0, "a left turn lies to the left");
        let whole = lines(&svg, "1");
        assert_eq!(whole.len(), 1);
        for turns in [-1.3, -0.9, -0.2, 0.0, 0.4, 1.0, 1.39] {
            let seen = height(&whole[0], x.0 + turns * x.1);
            let expected = y.0 + linkage.ratio(turns) * y.1;
            assert!((seen - expected).abs() < CLOSE, "{turns} turns: {seen}, not {expected}");
        }
        // What JavaScript places its mark by says the same.
        let (ground, r) = (drawn.ground.unwrap(), linkage.ratio(0.5));
        let at = ground.at(&(0.5, r));
        assert!((f64::from(at.0) - (x.0 + 0.5 * x.1)).abs() < CLOSE && (f64::from(at.1) - (y.0 + r * y.1)).abs() < CLOSE);
    }
}

#[test]
fn the_band_is_as_high_as_the_tolerance() {
    let curve = curve(&B);
    let (svg, _) = draw(&curve, (640 * 8, 360 * 8), &look(K));
    let [x, y] = scales(&svg);
    let edges = lines(&svg, "0.5");
    assert_eq!(edges.len(), 2);
    for &(turns, ratio, pm) in curve.band.iter().skip(1).step_by(5) {
        for (edge, sign) in edges.iter().zip([1.0, -1.0]) {
            let seen = height(edge, x.0 + turns * x.1);
            assert!((seen - (y.0 + (ratio + sign * pm) * y.1)).abs() < CLOSE, "{turns}: {seen}");
        }
    }
    let bare = draw(&RatioTurn { band: Vec::new(), ..curve }, (640 * 8, 360 * 8), &look(K)).0;
    assert!(lines(&bare, "0.5").is_empty() && lines(&bare, "1").len() == 1);
}

#[test]
fn another_linkage_is_told_apart_and_nothing_has_no_line() {
    let (svg, _) = draw(&curve(&A), (640 * 8, 360 * 8), &look(K));
    let ([x, y], line) = (scales(&svg), &lines(&svg, "1")[0]);
    let off = |linkage: &Worked| (height(line, x.0 + x.1) - (y.0 + linkage.ratio(1.0) * y.1)).abs();
    assert!(off(&A) < CLOSE && off(&B) > 10.0 * CLOSE, "{} {}", off(&A), off(&B));
    let (svg, drawn) = draw(&RatioTurn::default(), (640 * 8, 360 * 8), &look(K));
    assert!(lines(&svg, "").is_empty() && drawn.ground.is_some());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 200, ..ProptestConfig::default() })]

    /// Any samples, any size, any look: a picture, and every number in it a number.
    #[test]
    fn nothing_panics(
        line in prop::collection::vec((any::<f64>(), any::<f64>()), 0..12),
        band in prop::collection::vec((-3.0..3.0, -5.0..1e5, prop_oneof![Just(f64::NAN), -1.0..1e7]), 0..12),
        size in (0u32..3000, 0u32..3000),
        k in prop_oneof![Just(f64::NAN), Just(0.0), Just(-1.0), 0.01..40.0],
    ) {
        let (svg, _) = draw(&RatioTurn { line, band }, size, &look(k));
        prop_assert!(!svg.contains("NaN"));
    }
}

//! The map of the rack's places: what is drawn against what is computed, and the rack set elsewhere by step, tap and button.

use crate::hand::{Hand, plan};
use donorack::{Layer, PlacementWindow, Plan, Seen, Session, evaluate};
use donorack_tests::browser::Screen;
use donorack_tests::engine::Engine;
use serde_json::{Value, json};

const FILE: &str = include_str!("../../crate/benches/points.json");

fn file() -> Value {
    serde_json::from_str(FILE).unwrap()
}

async fn opened(engine: Engine) -> Hand {
    let mut hand = Hand::on_a(engine, Screen::Phone).await;
    hand.arrive(&format!("#{}", plan(&file()).to_link())).await;
    hand.tap("[data-do=keep]").await;
    hand.tap("[data-units=mm]").await;
    hand.part("place").await;
    hand
}

/// The plan with the rack's inner joints there, mm.
fn there(ahead: f64, up: f64) -> Plan {
    let mut file = file();
    file["racks"][0]["rack_line"] = json!(ahead);
    file["racks"][0]["height"] = json!(up);
    plan(&file)
}

/// Everything that the part says, held against the core's answer for that place, on a map about where the rack was at first.
async fn says(hand: &Hand, ahead: f64, up: f64, near: Option<bool>) {
    let middle = if near.is_none() { [f64::NAN; 2] } else { [-10.0, 50.0] };
    let view = Session::new(there(ahead, up)).place(0, Seen { middle, near, inch: false });
    hand.browser.until(&format!("document.querySelector('#place-says')?.textContent === {}", json!(view.says.mm))).await;
    let seen = hand
        .browser
        .js("const texts = (css) => [...document.querySelectorAll(css)].map((n) => n.textContent.trim());
            return [texts('.asked b'), texts('.asked small'), document.querySelector('#place-verdict .rest').textContent, texts('#place-along tbody tr > *')]")
        .await;
    let values: Vec<&str> = view.limits.iter().map(|l| l.value.mm.as_str()).collect();
    let bounds: Vec<&str> = view.limits.iter().map(|l| l.bound.mm.as_str()).collect();
    let table: Vec<&str> = view.tables[0].iter().flatten().map(|t| t.mm.as_str()).collect();
    assert_eq!(seen, json!([values, bounds, view.better.mm, table]));
}

async fn set_by_step_tap_and_button(engine: Engine) {
    let mut hand = opened(engine).await;
    says(&hand, -13.0, 50.0, None).await;
    hand.tap("[data-focus=place-step-1]").await;
    hand.tap("[data-focus=place-go-2]").await;
    says(&hand, -13.0, 45.0, Some(true)).await;
    let fields = "['rack_line', 'height'].map((name) => document.querySelector(`[data-field='racks.0.${name}']`)?.value)";
    hand.browser.until(&format!("{fields}[1].startsWith('45')")).await;
    assert!(hand.browser.js("return document.querySelector('#note').textContent").await.as_str().unwrap().contains("5 mm lower"));
    hand.tap("#note [data-do=undo], #note button").await;
    says(&hand, -13.0, 50.0, Some(true)).await;
    // A tap on the map: 10 mm ahead of its middle, 6 mm above.
    let spot = cell(&hand, 0.0, 56.0).await;
    let tap = "const map = document.querySelector('#map'), { left, top } = map.getBoundingClientRect();
        map.dispatchEvent(new MouseEvent('click', { bubbles: true, clientX: left + arguments[0], clientY: top + arguments[1] }))";
    hand.browser.js_with(tap, vec![json!(spot[0]), json!(spot[1])]).await;
    says(&hand, 0.0, 56.0, Some(true)).await;
    let best = Session::new(there(0.0, 56.0)).place(0, Seen { middle: [-10.0, 50.0], near: Some(true), inch: false });
    let moved = best.best.unwrap();
    hand.tap("#place-best").await;
    hand.browser.until(&format!("{fields}.every((v, n) => {}[n].startsWith(v))", json!([moved.line.mm, moved.height.mm]))).await;
    let mut set = file();
    set["racks"][0]["rack_line"] = json!(moved.line.mm);
    set["racks"][0]["height"] = json!(moved.height.mm);
    let head = evaluate(&plan(&set)).racks[0].verdict.head.mm.clone();
    assert_eq!(head, best.then.mm);
    hand.browser.until(&format!("document.querySelector('#strip .worst .clip').textContent.includes({})", json!(head))).await;
    assert_eq!(hand.browser.complaints(), [""; 0]);
}

/// Where a place lies on the canvas, CSS pixels: the axes' figures are told by the core to the page, here they are found in the picture, from the edges of what is
/// drawn.
async fn cell(hand: &Hand, ahead: f64, up: f64) -> [f64; 2] {
    let edges = "const map = document.querySelector('#map'), c = map.getContext('2d'), k = devicePixelRatio;
        const { width, height } = map, d = c.getImageData(0, 0, width, height).data;
        const paper = [0, 1, 2].map((n) => d[4 * (width - 2) + n]);
        const tinted = (x, y) => { const p = 4 * (y * width + x); return Math.abs(d[p] - paper[0]) + Math.abs(d[p + 1] - paper[1]) + Math.abs(d[p + 2] - paper[2]) > 60; };
        const columns = [...Array(width).keys()].filter((x) => { let n = 0; for (let y = 0; y < height; y += 3) n += tinted(x, y); return n > height / 3 / 4; });
        const rows = [...Array(height).keys()].filter((y) => { let n = 0; for (let x = 0; x < width; x += 3) n += tinted(x, y); return n > width / 3 / 2; });
        return [columns[0] / k, (columns.at(-1) + 1) / k, rows[0] / k, (rows.at(-1) + 1) / k]";
    let [left, right, top, bottom]: [f64; 4] = serde_json::from_value(hand.browser.js(edges).await).unwrap();
    [left + (right - left) * (-10.0 + 30.0 - ahead) / 60.0, bottom - (bottom - top) * (up - 20.0) / 60.0]
}

/// Yellow of the region in the picture where the core says that every limit is kept, and none where it does not.
async fn region_is_drawn(engine: Engine) {
    let hand = opened(engine).await;
    says(&hand, -13.0, 50.0, None).await;
    hand.browser.js("document.querySelector('#map').scrollIntoView({ block: 'center', behavior: 'instant' })").await;
    hand.browser.until("document.querySelector('#map').width > 300").await;
    let window = PlacementWindow { ahead: [-27.0, 33.0], up: [-30.0, 30.0], cells: [61, 61] };
    let map = Session::new(plan(&file())).map(0, window).unwrap();
    hand.browser.screenshot(&format!("place-region-{engine}")).await;
    let (mut kept, mut missed) = (0, 0);
    for (i, j) in (46..59).step_by(2).flat_map(|i| (2..59).map(move |j| (i, j))) {
        // Away from the edge of the region, from the cross-hairs, and from the labels, which stand at the right.
        let alike = (j - 2..=j + 2).all(|row| map.passes(row * 61 + i) == map.passes(j * 61 + i));
        let (ahead, up) = (-40.0 + i as f64, 20.0 + j as f64);
        if !alike || (ahead + 13.0).abs() < 5.0 {
            continue;
        }
        let [x, y] = cell(&hand, ahead, up).await;
        let yellow = format!(
            "const k = devicePixelRatio, d = document.querySelector('#map').getContext('2d').getImageData({x} * k - 4, {y} * k - 4, 9, 9).data;
            let n = 0; for (let p = 0; p < d.length; p += 4) n += d[p] > 220 && d[p + 1] > 180 && d[p + 2] < 110; return n"
        );
        let n = hand.browser.js(&yellow).await.as_u64().unwrap();
        match map.passes(j * 61 + i) {
            true => {
                kept += 1;
                assert!(n > 20, "{ahead} {up}: kept, and {n} of 81 yellow");
            }
            false => {
                missed += 1;
                assert!(n == 0, "{ahead} {up}: missed, and {n} of 81 yellow");
            }
        }
    }
    assert!(kept > 5 && missed > 100, "{kept} {missed}");
    assert!(map.layer(Layer::Peak).iter().any(|v| *v < 0.2));
}

macro_rules! in_every_engine {
    ($($engine:ident $name:ident;)+) => {$(
        mod $name {
            use super::*;

            #[tokio::test]
            async fn the_rack_is_set_by_step_tap_and_button() {
                set_by_step_tap_and_button(Engine::$engine).await;
            }

            #[tokio::test]
            async fn the_region_is_drawn_where_every_limit_is_kept() {
                region_is_drawn(Engine::$engine).await;
            }
        }
    )+};
}

in_every_engine! { Chromium chromium; Firefox firefox; WebKit webkit; }

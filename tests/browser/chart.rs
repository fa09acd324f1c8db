//! Toe-out on turns on the screen of a phone: the middle of the drawn stroke against points found by root finding.
//!
//! Where a value lies on the screen is read off the picture: the grid lines in the pixels, their values from the figures written beside them.

use donorack_tests::browser::Browser;
use donorack_tests::picture::Picture;
use donorack_tests::worked::{A, B, Worked};
use serde_json::{Value, json};

/// How far the middle of the stroke may lie from the curve, device pixels.
const CLOSE: f64 = 0.15;
/// No other line may lie this near to the stroke where it is measured, device pixels.
const APART: f64 = 6.0;
/// The stroke: 3 CSS pixels at 3 device pixels each.
const STROKE: f64 = 9.0;
/// The chart's size in CSS pixels.
const SIZE: (u32, u32) = (390, 260);

const PAPER: [u8; 3] = [255, 255, 255];
const GRID: [u8; 3] = [0xd8, 0xd3, 0xc6];
const INK: [u8; 3] = [0x16, 0x23, 0x2b];

/// Draws on a canvas in the corner of the screen, with the served WebAssembly; answers with every text written, and where.
const DRAW: &str = "
    return (async ([curves, width, height]) => {
        const core = await import(new URL('donorack.js', document.baseURI));
        await core.default();
        const canvas = document.createElement('canvas');
        const place = { position: 'fixed', left: 0, top: 0, width: `${width}px`, height: `${height}px`, zIndex: 99999, background: 'none' };
        Object.assign(canvas.style, place, { borderRadius: 0, border: 0, margin: 0, maxWidth: 'none' });
        document.querySelector('canvas[data-test]')?.remove();
        canvas.dataset.test = '';
        document.body.append(canvas);
        const written = [];
        const { fillText } = CanvasRenderingContext2D.prototype;
        CanvasRenderingContext2D.prototype.fillText = function (text, x, y) {
            const at = this.getTransform().transformPoint({ x, y });
            written.push([text, at.x, at.y]);
            return fillText.apply(this, arguments);
        };
        const look = { sheet: '#ffffff', rule: '#d8d3c6', ink_2: '#4a5a63', line_1: '#16232b', line_2: '#0f6f8f', line_3: '#8b6f2e' };
        try {
            core.draw_toe_out(canvas, curves, devicePixelRatio, width, height, look);
        } finally {
            CanvasRenderingContext2D.prototype.fillText = fillText;
        }
        await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
        return { written, size: [canvas.width, canvas.height] };
    })(arguments);";

/// A scale read off the picture: device pixels of zero and of one degree.
#[derive(Clone, Copy, Debug)]
struct Scale {
    zero: f64,
    unit: f64,
}

impl Scale {
    fn at(self, value: f64) -> f64 {
        self.zero + self.unit * value
    }

    fn value(self, at: f64) -> f64 {
        (at - self.zero) / self.unit
    }
}

/// A chart as it is seen.
struct Seen {
    picture: Picture,
    written: Vec<(String, [f64; 2])>,
}

impl Seen {
    async fn draw(phone: &Browser, curves: Value, name: &str) -> Seen {
        let answer = phone.js_with(DRAW, vec![curves, json!(SIZE.0), json!(SIZE.1)]).await;
        assert_eq!(answer["size"], json!([SIZE.0 * 3, SIZE.1 * 3]), "a pixel of the canvas for each of the screen");
        let text = |t: &Value| (t[0].as_str().unwrap().to_owned(), [1, 2].map(|n: usize| t[n].as_f64().unwrap()));
        let written = answer["written"].as_array().unwrap().iter().map(text).collect();
        Seen { picture: Picture::from_png(&phone.screenshot(name).await), written }
    }

    /// Colour at (along, across), where `axis` 0 counts x along and y across.
    fn at(&self, axis: usize, along: usize, across: usize) -> [u8; 3] {
        let [r, g, b, _] = if axis == 0 { self.picture.at(along, across) } else { self.picture.at(across, along) };
        [r, g, b]
    }

    /// Middles of the grid lines that stand at one place of the axis, which must be sharp: whole pixels of the one colour.
    fn grid(&self, axis: usize) -> Result<Vec<f64>, String> {
        let ends = [SIZE.0 as usize * 3, SIZE.1 as usize * 3];
        let count = |along: usize| (0..ends[1 - axis]).filter(|&across| self.at(axis, along, across) == GRID).count();
        let counts: Vec<usize> = (0..ends[axis]).map(count).collect();
        // More than half of what the other axis spans: a grid line, though a curve or a name may cross it.
        let wanted = counts.iter().max().map_or(1, |most| most / 2).max(100);
        let mut lines: Vec<(usize, usize)> = Vec::new();
        for along in (0..ends[axis]).filter(|&n| counts[n] > wanted) {
            match lines.last_mut() {
                Some(line) if line.1 == along => line.1 = along + 1,
                _ => lines.push((along, along + 1)),
            }
        }
        match lines.iter().find(|line| line.1 - line.0 != 3) {
            Some(line) => Err(format!("a grid line of 1 CSS pixel is not 3 whole device pixels wide: {line:?}")),
            None => Ok(lines.iter().map(|line| (line.0 + line.1) as f64 / 2.0).collect()),
        }
    }

    fn scale(&self, axis: usize) -> Result<Scale, String> {
        let figures: Vec<(f64, f64)> = self
            .written
            .iter()
            .filter_map(|(text, at)| Some((text.strip_suffix('°')?.replace('−', "-").parse().ok()?, at[axis])))
            .collect();
        let beside = |line: f64| figures.iter().filter(|f| (f.1 - line).abs() < 4.0).map(|f| f.0).next();
        let ticks: Vec<(f64, f64)> = self.grid(axis)?.into_iter().filter_map(|line| Some((beside(line)?, line))).collect();
        let [first, .., last] = ticks[..] else { return Err(format!("two grid lines with figures are needed: {ticks:?}")) };
        let unit = (last.1 - first.1) / (last.0 - first.0);
        let scale = Scale { zero: first.1 - first.0 * unit, unit };
        match ticks.iter().find(|tick| (scale.at(tick.0) - tick.1).abs() > 1e-6) {
            Some(tick) => Err(format!("{tick:?} is out of line with {ticks:?}")),
            None => Ok(scale),
        }
    }

    /// Checks the heavy line at some of its points; the largest distance found, and at how many points.
    fn check(&self, linkage: &Worked) -> Result<(f64, usize), String> {
        let (x, y) = (self.scale(0)?, self.scale(1)?);
        let (upright, level) = (self.grid(0)?, self.grid(1)?);
        let (mut worst, mut points) = (0.0_f64, 0);
        for n in 4..=68 {
            // The middle of a column of pixels near every half degree, and the curve there.
            let column = x.at(f64::from(n) / 2.0).floor() as usize;
            let inner = x.value(column as f64 + 0.5);
            if inner >= linkage.lock_angle() - 0.3 {
                continue;
            }
            let expected = y.at(linkage.toe_out(inner));
            let slope = (y.at(linkage.toe_out(inner + 0.05)) - y.at(linkage.toe_out(inner - 0.05))) / (x.unit * 0.1);
            let height = STROKE * slope.hypot(1.0);
            // Everything else stays clear of the stroke in this column: dots (3.9 px high), ideal (6.75 px wide), grid (1.5 px to its edge).
            let clear = height / 2.0 + APART;
            let steep = (y.at(linkage.ideal(inner + 0.05)) - y.at(linkage.ideal(inner - 0.05))) / (x.unit * 0.1);
            let near = |lines: &[f64], at: f64, edge: f64| lines.iter().any(|line| (line - at).abs() < edge);
            if near(&upright, column as f64 + 0.5, APART + 2.0)
                || near(&level, expected, clear + 1.5)
                || near(&[y.at(0.0)], expected, clear + 4.0)
                || near(&[y.at(linkage.ideal(inner))], expected, clear + 3.4 * steep.hypot(1.0))
            {
                continue;
            }
            let reach = height / 2.0 + APART / 2.0;
            let rows = (expected - reach).floor() as usize..(expected + reach).ceil() as usize;
            let cover = |row: usize| {
                let share =
                    |c: usize| (f64::from(PAPER[c]) - f64::from(self.at(0, column, row)[c])) / (f64::from(PAPER[c]) - f64::from(INK[c]));
                (share(0) + share(1) + share(2)) / 3.0
            };
            let ink: f64 = rows.clone().map(cover).sum();
            if (ink - height).abs() > 0.05 * height {
                return Err(format!("at {inner:.3}° the column holds {ink:.2} px of ink, not {height:.2}"));
            }
            let middle = rows.map(|row| cover(row) * (row as f64 + 0.5)).sum::<f64>() / ink;
            // Of the centroid in the column from the curve's tangent there.
            let distance = (middle - expected).abs() / slope.hypot(1.0);
            if distance > CLOSE {
                return Err(format!("at {inner:.3}° the middle of the stroke is at {middle:.3}, the curve at {expected:.3}"));
            }
            worst = worst.max(distance);
            points += 1;
        }
        if points < 12 { Err(format!("only {points} points are clear of other lines")) } else { Ok((worst, points)) }
    }
}

/// The curves of a linkage's plan, from the served WebAssembly.
async fn curves(phone: &Browser, linkage: &Worked) -> Value {
    let evaluate = "return (async ([plan]) => {
        const core = await import(new URL('donorack.js', document.baseURI));
        await core.default();
        return core.evaluate(plan).racks[0].curves;
    })(arguments);";
    phone.js_with(evaluate, vec![json!(linkage.plan())]).await
}

#[tokio::test]
async fn the_stroke_lies_on_the_curve() {
    let phone = Browser::phone().await;
    for (linkage, name) in [(A, "chart-a"), (B, "chart-b")] {
        let seen = Seen::draw(&phone, curves(&phone, &linkage).await, name).await;
        let (worst, points) = seen.check(&linkage).unwrap_or_else(|e| panic!("{name}: {e}"));
        println!("{name}: {points} points, the worst {worst:.3} device pixels off");
    }
    assert_eq!(phone.complaints(), Vec::<String>::new());
}

#[tokio::test]
async fn empty_axes_and_a_shifted_curve_fail_the_same_check() {
    let phone = Browser::phone().await;
    let nothing = json!({ "toe_out_left": [], "toe_out_right": [], "ideal": [], "differ": false });
    let seen = Seen::draw(&phone, nothing, "chart-empty").await;
    assert!(seen.scale(0).is_ok(), "axes are there: {:?}", seen.scale(0));
    println!("empty: {}", seen.check(&B).unwrap_err());
    // The same axes, since the ideal is the larger curve, but no line of the rack.
    let mut drawn = curves(&phone, &B).await;
    let line = drawn["toe_out_left"].take();
    drawn["toe_out_left"] = json!([]);
    let seen = Seen::draw(&phone, drawn.clone(), "chart-no-line").await;
    let said = seen.check(&B).unwrap_err();
    assert!(said.contains("px of ink"), "{said}");
    // 0.005° is 0.4 of a device pixel.
    let shifted = line.as_array().unwrap().iter().map(|p| json!([p[0], p[1].as_f64().unwrap() + 0.005]));
    drawn["toe_out_left"] = shifted.collect();
    let seen = Seen::draw(&phone, drawn, "chart-shifted").await;
    let said = seen.check(&B).unwrap_err();
    assert!(said.contains("the middle of the stroke"), "{said}");
}

/// The page's own canvas on the worked example: as many pixels as the screen has there, and lines on it in the look's own colours.
#[tokio::test]
async fn the_page_draws_its_own_chart_sharp() {
    let phone = Browser::phone().await;
    phone.find("#toe").await;
    phone.js("document.querySelector('#toe').scrollIntoView({ block: 'center' })").await;
    let count = "(() => {
        const canvas = document.querySelector('#toe');
        const style = getComputedStyle(document.documentElement);
        const colour = (token) => parseInt(style.getPropertyValue(token).trim().slice(1), 16);
        const counts = new Map();
        const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
        for (let i = 0; i < data.length; i += 4) {
            const is = (data[i] << 16) | (data[i + 1] << 8) | data[i + 2];
            counts.set(is, (counts.get(is) ?? 0) + 1);
        }
        return ['--line-1', '--line-2', '--rule'].map((token) => counts.get(colour(token)) ?? 0);
    })()";
    phone.until(&format!("{count}.every((pixels) => pixels > 2000)")).await;
    let sizes = "const c = document.querySelector('#toe'), { width, height } = c.getBoundingClientRect();
        return [c.width / width / devicePixelRatio, c.height / height / devicePixelRatio];";
    for ratio in phone.js(sizes).await.as_array().unwrap() {
        assert!((ratio.as_f64().unwrap() - 1.0).abs() < 0.002, "{ratio} pixels for each of the screen's");
    }
    phone.screenshot("chart-page").await;
}

//! Both charts on the screen of a phone, in every look: the middle of the drawn stroke against points found by root finding.
//!
//! Where a value lies on the screen is read off the picture: the grid lines in the pixels, their values from the figures written beside them.

use crate::looks::{LOOKS, set_look};
use donorack_tests::browser::Browser;
use donorack_tests::picture::Picture;
use donorack_tests::worked::{A, B, Worked};
use serde_json::{Value, json};

/// How far the middle of the stroke may lie from the curve, device pixels.
const CLOSE: f64 = 0.15;
/// No other line may lie this near to the stroke where it is measured, device pixels.
const APART: f64 = 6.0;
/// Device pixels in a CSS pixel.
const RATIO: f64 = 3.0;
/// The chart's size in CSS pixels.
const SIZE: (u32, u32) = (390, 260);

/// The two of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Chart {
    /// Toe-out at an angle of the inner wheel.
    Toe,
    /// The overall ratio at a turn of the steering wheel, a left turn to the left.
    Ratio,
}

impl Chart {
    /// The curve itself.
    fn expected(self, linkage: &Worked, at: f64) -> f64 {
        match self {
            Chart::Toe => linkage.toe_out(at),
            Chart::Ratio => linkage.ratio(at),
        }
    }

    /// Where it is looked at.
    fn places(self, linkage: &Worked) -> Vec<f64> {
        match self {
            Chart::Toe => (4..=68).map(|n| f64::from(n) / 2.0).filter(|inner| *inner < linkage.lock_angle() - 0.3).collect(),
            Chart::Ratio => (-70..=70).map(|n| f64::from(n) / 50.0).filter(|turns| turns.abs() < linkage.lock_turns() - 0.03).collect(),
        }
    }

    /// How far it is between two places that tell the slope there.
    fn step(self) -> f64 {
        match self {
            Chart::Toe => 0.05,
            Chart::Ratio => 0.01,
        }
    }
}

/// What a chart was drawn with.
#[derive(Clone, Copy, Debug)]
struct Inks {
    paper: [u8; 3],
    grid: [u8; 3],
    line: [u8; 3],
    /// Every stroke is this much heavier than in the light look.
    heavy: f64,
}

impl Inks {
    /// Device pixels of a stroke of so many CSS pixels.
    fn stroke(self, css: f64) -> f64 {
        css * self.heavy * RATIO
    }
}

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
        const style = getComputedStyle(document.documentElement);
        const read = (token) => style.getPropertyValue(`--${token}`).trim();
        const [sheet, rule, ink_2, line_1, line_2, line_3] = ['sheet', 'grid', 'ink-2', 'line-1', 'line-2', 'line-3'].map(read);
        const heavy = Number(read('heavy'));
        const look = { sheet, rule, ink_2, line_1, line_2, line_3, heavy };
        try {
            if (curves.ratio_only) core.draw_ratio(canvas, curves, devicePixelRatio, width, height, look);
            else core.draw_toe_out(canvas, curves, devicePixelRatio, width, height, look);
        } finally {
            CanvasRenderingContext2D.prototype.fillText = fillText;
        }
        await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
        return { written, size: [canvas.width, canvas.height], inks: [sheet, rule, line_1], heavy };
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
    inks: Inks,
    written: Vec<(String, [f64; 2])>,
}

impl Seen {
    async fn draw(phone: &Browser, curves: Value, name: &str) -> Seen {
        let answer = phone.js_with(DRAW, vec![curves, json!(SIZE.0), json!(SIZE.1)]).await;
        let colour = |n: usize| {
            let number = u32::from_str_radix(answer["inks"][n].as_str().unwrap().strip_prefix('#').unwrap(), 16).unwrap();
            [16, 8, 0].map(|shift| (number >> shift & 255) as u8)
        };
        let [paper, grid, line] = [0, 1, 2].map(colour);
        let inks = Inks { paper, grid, line, heavy: answer["heavy"].as_f64().unwrap() };
        assert_eq!(answer["size"], json!([SIZE.0 * 3, SIZE.1 * 3]), "a pixel of the canvas for each of the screen");
        let text = |t: &Value| (t[0].as_str().unwrap().to_owned(), [1, 2].map(|n: usize| t[n].as_f64().unwrap()));
        let written = answer["written"].as_array().unwrap().iter().map(text).collect();
        Seen { picture: Picture::from_png(&phone.screenshot(name).await), inks, written }
    }

    /// Colour at (along, across), where `axis` 0 counts x along and y across.
    fn at(&self, axis: usize, along: usize, across: usize) -> [u8; 3] {
        let [r, g, b, _] = if axis == 0 { self.picture.at(along, across) } else { self.picture.at(across, along) };
        [r, g, b]
    }

    /// Middles of the grid lines that stand at one place of the axis, which must be sharp: whole pixels of the one colour.
    fn grid(&self, axis: usize) -> Result<Vec<f64>, String> {
        let ends = [SIZE.0 as usize * 3, SIZE.1 as usize * 3];
        let count = |along: usize| (0..ends[1 - axis]).filter(|&across| self.at(axis, along, across) == self.inks.grid).count();
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
        let wide = self.inks.stroke(1.0).round() as usize;
        match lines.iter().find(|line| line.1 - line.0 != wide) {
            Some(line) => Err(format!("a grid line is not {wide} whole device pixels wide: {line:?}")),
            None => Ok(lines.iter().map(|line| (line.0 + line.1) as f64 / 2.0).collect()),
        }
    }

    fn scale(&self, chart: Chart, axis: usize) -> Result<Scale, String> {
        let number = |text: &str| text.trim_end_matches('°').replace('−', "-").parse::<f64>().ok();
        let mut figures: Vec<(f64, f64)> = self.written.iter().filter_map(|(text, at)| Some((number(text)?, at[axis]))).collect();
        if let Some(zero) = figures.iter().find(|f| f.0 == 0.0).map(|f| f.1)
            && chart == Chart::Ratio
        {
            // Turns bear no sign; those to the left stand to the left of nought.
            figures.iter_mut().filter(|f| f.1 > zero).for_each(|f| f.0 = -f.0);
        }
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
    fn check(&self, chart: Chart, linkage: &Worked) -> Result<(f64, usize), String> {
        let (x, y) = (self.scale(chart, 0)?, self.scale(chart, 1)?);
        let (upright, level) = (self.grid(0)?, self.grid(1)?);
        let half_grid = self.inks.stroke(1.0).round() / 2.0;
        // Half the height of a dot, whose radius is 1.3 CSS pixels, and half the ideal's stroke of 2.25.
        let (dot, ideal) = (self.inks.stroke(1.3), self.inks.stroke(2.25) / 2.0);
        let (mut worst, mut points) = (0.0_f64, 0);
        for place in chart.places(linkage) {
            // The middle of the column of pixels nearest the place, and the curve there.
            let column = x.at(place).floor() as usize;
            let at = x.value(column as f64 + 0.5);
            let expected = y.at(chart.expected(linkage, at));
            let step = chart.step();
            let rise = |line: &dyn Fn(f64) -> f64| (y.at(line(at + step)) - y.at(line(at - step))) / (x.unit * 2.0 * step);
            let slope = rise(&|v| chart.expected(linkage, v));
            let height = self.inks.stroke(3.0) * slope.hypot(1.0);
            // Everything else stays clear of the stroke in this column.
            let clear = height / 2.0 + APART;
            let near = |lines: &[f64], at: f64, edge: f64| lines.iter().any(|line| (line - at).abs() < edge);
            if near(&upright, column as f64 + 0.5, APART + half_grid + 0.5)
                // Straight ahead stand dots.
                || chart == Chart::Ratio && near(&[x.at(0.0)], column as f64 + 0.5, APART + dot + 0.5)
                || near(&level, expected, clear + half_grid)
                || chart == Chart::Toe
                    && (near(&[y.at(0.0)], expected, clear + dot)
                        || near(&[y.at(linkage.ideal(at))], expected, clear + ideal * rise(&|v| linkage.ideal(v)).hypot(1.0)))
            {
                continue;
            }
            let reach = height / 2.0 + APART / 2.0;
            let rows = (expected - reach).floor() as usize..(expected + reach).ceil() as usize;
            let cover = |row: usize| {
                let (paper, line, seen) = (self.inks.paper, self.inks.line, self.at(0, column, row));
                let share = |c: usize| (f64::from(paper[c]) - f64::from(seen[c])) / (f64::from(paper[c]) - f64::from(line[c]));
                (share(0) + share(1) + share(2)) / 3.0
            };
            let ink: f64 = rows.clone().map(cover).sum();
            if (ink - height).abs() > 0.05 * height {
                return Err(format!("at {at:.3} the column holds {ink:.2} px of ink, not {height:.2}"));
            }
            let middle = rows.map(|row| cover(row) * (row as f64 + 0.5)).sum::<f64>() / ink;
            // Of the centroid in the column from the curve's tangent there.
            let distance = (middle - expected).abs() / slope.hypot(1.0);
            if distance > CLOSE {
                return Err(format!("at {at:.3} the middle of the stroke is at {middle:.3}, the curve at {expected:.3}"));
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
        const session = new core.Session();
        session.open(plan);
        return session.evaluate().racks[0].curves;
    })(arguments);";
    phone.js_with(evaluate, vec![json!(linkage.plan())]).await
}

/// Curves as the chart of the ratio takes them, without its ±.
fn turned(curves: &Value) -> Value {
    json!({ "ratio_only": true, "ratio": curves["ratio"], "band_ratio": [] })
}

/// Draws two linkages in both charts in every look of the page that is open, and looks for the curves' points on the screen.
pub async fn strokes_lie_on_their_curves(phone: &Browser) {
    let engine = phone.engine;
    for look in LOOKS {
        set_look(phone, look).await;
        for (linkage, name) in [(A, "a"), (B, "b")] {
            let all = curves(phone, &linkage).await;
            for (chart, drawn) in [(Chart::Toe, all.clone()), (Chart::Ratio, turned(&all))] {
                let name = format!("chart-{engine}-{look}-{chart:?}-{name}");
                let seen = Seen::draw(phone, drawn, &name).await;
                let (worst, points) = seen.check(chart, &linkage).unwrap_or_else(|e| panic!("{name}: {e}"));
                println!("{name}: {points} points, the worst {worst:.3} device pixels off");
            }
        }
        phone.js("document.querySelector('canvas[data-test]').remove()").await;
    }
}

#[tokio::test]
async fn empty_axes_and_a_shifted_curve_fail_the_same_check() {
    let phone = Browser::phone().await;
    let nothing = json!({ "toe_out_left": [], "toe_out_right": [], "ideal": [], "differ": false });
    let seen = Seen::draw(&phone, nothing, "chart-empty").await;
    assert!(seen.scale(Chart::Toe, 0).is_ok(), "axes are there: {:?}", seen.scale(Chart::Toe, 0));
    println!("empty: {}", seen.check(Chart::Toe, &B).unwrap_err());
    // The same axes, since the ideal is the larger curve, but no line of the rack.
    let whole = curves(&phone, &B).await;
    let mut drawn = whole.clone();
    let line = drawn["toe_out_left"].take();
    drawn["toe_out_left"] = json!([]);
    let seen = Seen::draw(&phone, drawn.clone(), "chart-no-line").await;
    let said = seen.check(Chart::Toe, &B).unwrap_err();
    assert!(said.contains("px of ink"), "{said}");
    // 0.005° is 0.4 of a device pixel.
    let shifted =
        |line: &Value, by: f64| line.as_array().unwrap().iter().map(|p| json!([p[0], p[1].as_f64().unwrap() + by])).collect::<Value>();
    drawn["toe_out_left"] = shifted(&line, 0.005);
    let seen = Seen::draw(&phone, drawn, "chart-shifted").await;
    let said = seen.check(Chart::Toe, &B).unwrap_err();
    assert!(said.contains("the middle of the stroke"), "{said}");
    // 0.01 of a ratio is 0.5 of one.
    let mut drawn = turned(&whole);
    drawn["ratio"] = shifted(&whole["ratio"], 0.01);
    let seen = Seen::draw(&phone, drawn, "chart-shifted-ratio").await;
    let said = seen.check(Chart::Ratio, &B).unwrap_err();
    assert!(said.contains("the middle of the stroke"), "{said}");
}

/// The page's own canvases on the example, in every look: as many pixels as the screen has there, and lines on them in the look's colours.
pub async fn own_charts_are_sharp(phone: &Browser) {
    phone.turn_to("#toe").await;
    for look in LOOKS {
        set_look(phone, look).await;
        for (id, lines) in [("toe", "['line-1', 'line-2', 'grid']"), ("ratio", "['line-1', 'grid']")] {
            phone.js(&format!("document.querySelector('#{id}').scrollIntoView({{ block: 'center', behavior: 'instant' }})")).await;
            // The paper is the greater part; of each of the lines there are as many pixels as a short one has.
            let count = format!(
                "(() => {{
                const canvas = document.querySelector('#{id}');
                const style = getComputedStyle(document.documentElement);
                const colour = (token) => parseInt(style.getPropertyValue(`--${{token}}`).trim().slice(1), 16);
                const counts = new Map();
                const {{ data }} = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
                for (let i = 0; i < data.length; i += 4) {{
                    const is = (data[i] << 16) | (data[i + 1] << 8) | data[i + 2];
                    counts.set(is, (counts.get(is) ?? 0) + 1);
                }}
                return counts.get(colour('sheet')) > data.length / 8 && {lines}.every((token) => counts.get(colour(token)) > 2000);
            }})()"
            );
            phone.until(&count).await;
            phone.until(&format!("!document.querySelector('#{id}-dot').hidden")).await;
            let sizes = format!(
                "const c = document.querySelector('#{id}'), {{ width, height }} = c.getBoundingClientRect();
                return [c.width / width / devicePixelRatio, c.height / height / devicePixelRatio];"
            );
            for ratio in phone.js(&sizes).await.as_array().unwrap() {
                assert!((ratio.as_f64().unwrap() - 1.0).abs() < 0.002, "{ratio} pixels for each of the screen's");
            }
            phone.screenshot(&format!("chart-page-{}-{look}-{id}", phone.engine)).await;
        }
    }
}

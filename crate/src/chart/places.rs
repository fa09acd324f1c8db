//! Where the rack may go: a layer of the map in steps of one tint with lines that are labelled, the region that passes, and the places in it. Seen from the left of
//! the car: forward is to the left.

use super::picture::{Anchor, Colour, Ink, Paint, Picture, Spot, dashed};
use super::sheet::Sheet;
use super::{Axis, Drawn, Ground, Look, paper};
use crate::analysis::placement::Layer;
use crate::math::each::Each;
use crate::math::trig::Angle;
use crate::math::within;
use crate::present::place::{Places, levels};

/// Strongest tint of a layer.
const DEEPEST: f64 = 0.62;
/// Distance of the lines of the hatching, CSS pixels.
const HATCH: f64 = 8.0;

/// A map, in the unit of its axes, forward and up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlaceMap {
    /// Its middle.
    pub middle: [f64; 2],
    /// How far it reaches from there each way, and how far the figures of its axes are apart.
    pub reach: [f64; 2],
    /// Cells along an edge.
    pub cells: usize,
    /// The layer, by rows from the lowest, each from the rearmost; NaN: no value.
    pub layer: Vec<f64>,
    /// Where its lines run, from the lightest tint to the deepest, and what is written on them; the limit's is the heavy one.
    pub levels: Vec<(f64, String, bool)>,
    /// By how much each cell misses its limits; not positive: it passes.
    pub overrun: Vec<f64>,
    /// Where the rack is.
    pub here: (f64, f64),
    /// Where it was.
    pub was: Option<(f64, f64)>,
    /// The best place.
    pub best: Option<(f64, f64)>,
    /// Other racks, each with its number.
    pub racks: Vec<(String, (f64, f64))>,
    /// What is in the way: its name, the rear lower and the front upper corner.
    pub boxes: Vec<(&'static str, [(f64, f64); 2])>,
    /// How far the housing keeps the rack's middle from them.
    pub radius: f64,
    /// Number of this one.
    pub number: String,
    /// Colour of the region that passes, and of what is written on it.
    pub colours: [Colour; 2],
}

/// The words on the map.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlaceWords {
    /// Below: forward to the left, rearward to the right.
    pub along: String,
    /// Above the upright axis.
    pub up: String,
    /// Below it.
    pub down: String,
    /// In the region.
    pub passes: String,
}

impl PlaceMap {
    /// A layer of a map that was solved, with the racks of the plan, of which `rack` is shown; `was` as two numbers, mm. `None` where there is no map.
    pub fn of(place: &Places, layer: Layer, rack: usize, stands: &[Option<[f64; 2]>], was: &[f64]) -> Option<PlaceMap> {
        let map = place.map.as_ref().ok()?;
        let scale = if place.seen.inch { 25.4 } else { 1.0 };
        let pair = |at: [f64; 2]| (at[0] / scale, at[1] / scale);
        let number = |k: usize| (k + 1).to_string();
        let others = stands.iter().enumerate().filter(|(k, _)| *k != rack).filter_map(|(k, at)| at.map(|at| (number(k), pair(at))));
        Some(PlaceMap {
            middle: place.middle.map(|v| v / scale),
            reach: place.reach.each(|v| v / scale),
            cells: map.placement.window().cells[0],
            layer: map.layer(layer),
            levels: levels(map, layer),
            overrun: map.judged.overrun.clone(),
            here: pair(place.at),
            was: <[f64; 2]>::try_from(was).ok().map(pair),
            best: place.best.map(pair),
            racks: others.collect(),
            boxes: map
                .asked
                .boxes
                .iter()
                .map(|b| (b.name, [0, 1].each(|end| pair([place.at[0] + b.ahead[end], place.at[1] + b.up[end]]))))
                .collect(),
            radius: map.asked.radius / scale,
            number: number(rack),
            ..PlaceMap::default()
        })
    }

    fn value(&self, of: &[f64], i: usize, j: usize) -> f64 {
        of.get(j * self.cells + i).copied().unwrap_or(f64::NAN)
    }

    fn at(&self, i: f64, j: f64) -> (f64, f64) {
        let along = |middle: f64, k: f64| middle + self.reach[0] * (2.0 * k / (self.cells - 1) as f64 - 1.0);
        (along(self.middle[0], i), along(self.middle[1], j))
    }

    /// Half the width of a word, in backend units.
    fn half(&self, word: &str, look: &Look) -> i32 {
        (word.chars().count() as f64 * 0.3 * look.text * look.k) as i32 + look.size(3.0)
    }

    /// Where the word of the region has room in it.
    fn room(&self, ground: &Ground, word: &str, look: &Look) -> Option<(i32, i32)> {
        let n = self.cells;
        let passes = |i: usize, j: usize| self.value(&self.overrun, i, j) <= 0.0;
        let rows: Vec<usize> = (0..n).filter(|j| (0..n).any(|i| passes(i, *j))).collect();
        let (low, high) = (*rows.first()?, *rows.last()?);
        let row = (low + high) / 2;
        let across: Vec<usize> = (0..n).filter(|i| passes(*i, row)).collect();
        let (a, b) = (*across.first()?, *across.last()?);
        let (lower, upper) = (ground.at(&self.at(a as f64, low as f64)), ground.at(&self.at(b as f64, high as f64)));
        let fits = lower.1 - upper.1 > look.size(1.6 * look.text) && lower.0 - upper.0 > 2 * self.half(word, look);
        // Away from where the rack is.
        let [x, other] = [0.3, 0.7].each(|t| self.at(a as f64 + t * (b - a) as f64, row as f64));
        let far = |at: (f64, f64)| (at.0 - self.here.0).abs();
        fits.then(|| ground.at(if far(other) > far(x) { &other } else { &x }))
    }

    /// Where a layer crosses a level, as short pieces: each cell's corner square in two triangles, so that no corner is in doubt.
    fn crossings(&self, of: &[f64], level: f64) -> Vec<[(f64, f64); 2]> {
        let mut out = Vec::new();
        // What is out of reach lies far beyond any level.
        let height = |i: usize, j: usize| (self.value(of, i, j) - level).clamp(-1e3, 1e3);
        for j in 0..self.cells - 1 {
            for i in 0..self.cells - 1 {
                for corners in [[(i, j), (i + 1, j), (i + 1, j + 1)], [(i, j), (i + 1, j + 1), (i, j + 1)]] {
                    let mut ends = [(0.0, 0.0); 2];
                    let mut n = 0;
                    for k in 0..3 {
                        let (p, q) = (corners[k], corners[(k + 1) % 3]);
                        let (a, b) = (height(p.0, p.1), height(q.0, q.1));
                        if (a > 0.0) != (b > 0.0) && !(a - b).is_nan() && n < 2 {
                            let t = a / (a - b);
                            let mix = |p: usize, q: usize| p as f64 + t * (q as f64 - p as f64);
                            ends[n] = self.at(mix(p.0, q.0), mix(p.1, q.1));
                            n += 1;
                        }
                    }
                    if n == 2 {
                        out.push(ends);
                    }
                }
            }
        }
        out
    }
}

/// Draws the map over the whole area. An area too small for axes gives bare paper.
///
/// # Errors
/// Only what the backend reports.
pub fn draw_places(on: &dyn Picture, map: &PlaceMap, words: &PlaceWords, look: &Look) -> Drawn {
    paper(on, look);
    let path = |points: &[Spot], paint: Paint| on.path(points, paint);
    let dashes = |points: &[Spot], [dash, gap]: [f64; 2], paint: Paint| dashed(on, points, [look.size(dash), look.size(gap)], paint);
    let plate = |a: (i32, i32), b: (i32, i32), colour: Ink| on.rect([a, b], Paint::Fill(colour));
    let round = |at: Spot, radius: i32, paint: Paint| on.circle(at, radius, paint);
    let write = |said: &str, css: f64, colour: Colour, anchor: [Anchor; 2], at: (i32, i32)| {
        on.write(said, &look.type_of(css, colour, false, anchor), at);
    };
    let middle = [Anchor::Middle, Anchor::Middle];
    let step = map.reach[1];
    let sane = |v: f64| v.abs() < 1e4;
    if !(step > 0.0
        && map.reach[0] >= step
        && map.reach[0] < 100.0 * step
        && map.middle.into_iter().chain(map.reach).all(|v| sane(v / step)))
    {
        return Drawn::default();
    }
    let axis = |middle: f64| {
        let tick = |v: f64| (v / step).round() as i32;
        Axis { step, first: tick(middle - map.reach[0]), last: tick(middle + map.reach[0]) }
    };
    let figures: [fn(&Axis, f64) -> String; 2] = [|axis, v| axis.label(v.abs(), ""), |axis, v| axis.label(v.abs(), "")];
    let sheet = Sheet {
        x: &|_| axis(map.middle[0]),
        y: &|_| axis(map.middle[1]),
        names: [&words.along, &words.up],
        figures,
        mirrored: true,
        zero_is_a_line: false,
    };
    let ground = Ground::new(&sheet, look, on.size()).filter(|_| map.cells > 1);
    let Some(ground) = ground else { return Drawn::default() };
    ground.draw(on, &sheet, look);
    let (left, right, bottom, top) = ground.edges;
    if map.middle[1] < map.reach[0] {
        write(
            &words.down,
            look.text,
            look.colours.text,
            [Anchor::Start, Anchor::Start],
            (look.size(1.0), bottom + look.size(1.75 * look.text)),
        );
    }
    // Cells of one tint beside each other are one box; edges on whole device pixels, so that none shows through.
    let n = map.cells;
    let grain = look.grain.max(1);
    let snap = |v: i32, lo: i32, hi: i32| within(v.div_euclid(grain) * grain, lo, hi);
    let corner = |i: f64, j: f64| {
        let (x, y) = ground.at(&map.at(i - 0.5, j - 0.5));
        (snap(x, left, right), snap(y, top, bottom))
    };
    let tint = |i: usize, j: usize| {
        if map.value(&map.overrun, i, j) <= 0.0 {
            return usize::MAX;
        }
        let value = map.value(&map.layer, i, j);
        let rises = map.levels.first().zip(map.levels.last()).is_none_or(|(a, b)| a.0 <= b.0);
        map.levels.iter().filter(|level| if rises { !(value < level.0) } else { !(value > level.0) }).count()
    };
    for j in 0..n {
        let mut from = 0;
        for i in 1..=n {
            if i < n && tint(i, j) == tint(from, j) {
                continue;
            }
            let steps = map.levels.len().max(1) as f64;
            let colour = match tint(from, j) {
                usize::MAX => map.colours[0].mix(1.0),
                step => look.colours.ideal.mix(DEEPEST * step as f64 / steps),
            };
            let (a, b) = (corner(from as f64, j as f64), corner(i as f64, (j + 1) as f64));
            plate((a.0.min(b.0), a.1.min(b.1)), (a.0.max(b.0), a.1.max(b.1)), colour);
            from = i;
        }
    }
    // Hatching: lines that rise to the right, as far as they run through cells that pass.
    let [region, on_region] = map.colours;
    let ink = look.colours.left;
    let pitch = f64::from(look.size(HATCH));
    let (wide, high) = (f64::from(right - left), f64::from(bottom - top));
    let cell = (wide / n as f64).max(1.0);
    let inside = |x: f64, y: f64| {
        let k = |share: f64| (share * (n - 1) as f64).round() as usize;
        map.value(&map.overrun, n - 1 - k((x / wide).clamp(0.0, 1.0)), k((y / high).clamp(0.0, 1.0))) <= 0.0
    };
    for line in 0..((wide + high) / pitch) as i32 {
        let down = f64::from(line) * pitch - high;
        let place = |t: f64| (left + (down + t).round() as i32, bottom - t.round() as i32);
        let (mut t, end) = ((-down).max(0.0), (wide - down).min(high));
        let mut since = None;
        while t <= end {
            match (inside(down + t, t), since) {
                (true, None) => since = Some(t),
                (false, Some(from)) => {
                    path(&[place(from), place(t)], look.stroke(on_region, 0.8));
                    since = None;
                }
                _ => {}
            }
            t += cell / 3.0;
        }
        if let Some(from) = since {
            path(&[place(from), place(end)], look.stroke(on_region, 0.8));
        }
    }
    // What is in the way, and as far round it as the housing is thick.
    let mut names: Vec<(i32, i32, &str)> = Vec::new();
    let clipped = |at: (f64, f64)| {
        let (x, y) = ground.at(&at);
        (within(x, left, right), within(y, top, bottom))
    };
    for (name, [(rear, low), (front, high)]) in &map.boxes {
        let (a, b) = (clipped((*rear, *low)), clipped((*front, *high)));
        if a.0 == b.0 || a.1 == b.1 {
            continue;
        }
        plate(a, b, look.colours.text.mix(0.9));
        let (r, quarter) = (map.radius, std::f64::consts::FRAC_PI_2);
        let corners = [(*front, *high), (*rear, *high), (*rear, *low), (*front, *low), (*front, *high)];
        let mut around = Vec::new();
        for (k, (x, z)) in corners.into_iter().enumerate() {
            for turn in 0..if k == 4 { 1 } else { 5 } {
                let (sin, cos) = ((k as f64 + f64::from(turn) / 4.0) * quarter).sine_cosine();
                around.push(clipped((x + r * cos, z + r * sin)));
            }
        }
        dashes(&around, [6.0, 4.0], look.stroke(look.colours.text, 1.8));
        if (a.0 - b.0).abs() > 2 * map.half(name, look) && (a.1 - b.1).abs() > look.size(1.3 * look.text) {
            names.push(((a.0 + b.0) / 2, (a.1 + b.1) / 2, *name));
        }
    }
    let mut labels: Vec<(i32, i32, &str)> = Vec::new();
    // The limit's label finds its place first: near the right edge, clear of those that have theirs.
    let (limit, rest): (Vec<_>, Vec<_>) = map.levels.iter().partition(|level| level.2);
    for (level, said, heavy) in limit.into_iter().chain(rest) {
        let pieces = map.crossings(&map.layer, *level);
        for [a, b] in &pieces {
            path(&[ground.at(a), ground.at(b)], look.stroke(ink, if *heavy { 2.5 } else { 1.0 }));
        }
        let size = look.size(1.3 * look.text);
        let want = right - 3 * size;
        let here = ground.at(&map.here);
        let apart = |(x, y): (i32, i32), other: (i32, i32)| {
            x.abs_diff(other.0) > 4 * size.unsigned_abs() || y.abs_diff(other.1) > size.unsigned_abs()
        };
        let free = |at: (i32, i32)| {
            at.1 > top + size && at.1 < bottom - size && apart(at, here) && labels.iter().all(|other| apart(at, (other.0, other.1)))
        };
        let best = pieces.iter().map(|[a, _]| ground.at(a)).filter(|at| free(*at)).min_by_key(|at| (at.0 - want).abs());
        labels.extend(best.map(|(x, y)| (x.min(right - 2 * size).max(left + 2 * size), y, said.as_str())));
    }
    for [a, b] in map.crossings(&map.overrun, 0.0) {
        path(&[ground.at(&a), ground.at(&b)], look.stroke(ink, 2.2));
    }
    for (x, y, name) in names {
        write(name, look.text, look.colours.paper, middle, (x, y));
    }
    for (x, y, said) in labels {
        let (half, high) = (map.half(said, look), look.size(0.6 * look.text));
        plate((x - half, y - high), (x + half, y + high), look.colours.paper.mix(0.9));
        write(said, 0.9 * look.text, look.colours.text, middle, (x, y));
    }
    if let Some((x, y)) = map.room(&ground, &words.passes, look) {
        let (half, high) = (map.half(&words.passes, look), look.size(0.65 * look.text));
        plate((x - half, y - high), (x + half, y + high), region.mix(1.0));
        write(&words.passes, look.text, on_region, middle, (x, y));
    }
    let held = |at: (f64, f64)| {
        let (x, y) = ground.at(&at);
        ((left..=right).contains(&x) && (top..=bottom).contains(&y)).then_some((x, y))
    };
    let radius = look.size(0.75 * look.text);
    if let Some((x, y)) = held(map.here) {
        for line in [[(x, top), (x, bottom)], [(left, y), (right, y)]] {
            dashes(&line, [2.0, 4.0], look.stroke(ink, 1.2));
        }
    }
    if let Some((x, y)) = map.was.and_then(held) {
        let turn = |k: i32| (f64::from(radius) * (f64::from(k) / 4.0).cosine(), f64::from(radius) * (f64::from(k) / 4.0).sine());
        dashes(&(0..=25).map(turn).map(|(a, b)| (x + a as i32, y + b as i32)).collect::<Vec<_>>(), [3.0, 3.0], look.stroke(ink, 1.6));
    }
    if let Some((x, y)) = map.best.and_then(held) {
        round((x, y), radius / 2, look.stroke(ink, 1.8));
        path(&[(x - radius, y), (x + radius, y)], look.stroke(ink, 1.8));
        path(&[(x, y - radius), (x, y + radius)], look.stroke(ink, 1.8));
    }
    let others = map.racks.iter().map(|(number, at)| (held(*at), number, [look.colours.paper, ink]));
    for (at, number, [fill, letter]) in others.chain([(held(map.here), &map.number, map.colours)]) {
        let Some((x, y)) = at else { continue };
        round((x, y), radius, fill.filled());
        round((x, y), radius, look.stroke(ink, 2.0));
        write(number, 0.9 * look.text, letter, middle, (x, y + look.size(0.06 * look.text)));
    }
    Drawn { unnamed: Vec::new(), ground: Some(ground) }
}

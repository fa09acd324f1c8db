//! What a curve is drawn on: two axes, their grid and figures, and where a value lies.

use super::picture::{Anchor, Paint, Picture};
use super::{Axis, LETTER, Look, Run, smooth};
use crate::math::within;

/// An axis of at most so many steps.
type Axes<'a> = &'a dyn Fn(u32) -> Axis;

/// What a chart wants of its axes: across, then up.
pub(super) struct Sheet<'a> {
    pub x: Axes<'a>,
    pub y: Axes<'a>,
    pub names: [&'a str; 2],
    pub figures: [fn(&Axis, f64) -> String; 2],
    /// Positive values to the left.
    pub mirrored: bool,
    /// The zero of the upright axis has a line of its own.
    pub zero_is_a_line: bool,
}

/// Where things are: both axes, and the plotting rectangle in backend units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Across; its first tick lies at the first of `edges`.
    pub x: Axis,
    /// Up.
    pub y: Axis,
    /// Where the axes begin and end: across from, across to, bottom, top. Across runs from the right where positive values lie to the left.
    pub ends: (i32, i32, i32, i32),
    /// Left, right, bottom, top.
    pub edges: (i32, i32, i32, i32),
}

impl Ground {
    /// `None` where there is no room for two steps each way.
    ///
    /// A step is a whole number of device pixels, and the edges lie where a grid line fills whole ones: so grid and curve need no
    /// snapping, and agree.
    pub(super) fn new(sheet: &Sheet, look: &Look, (width, height): (u32, u32)) -> Option<Self> {
        if !(look.k.is_finite() && look.k > 0.0 && look.text.is_finite() && look.heavy.is_finite()) || width.max(height) > 1 << 20 {
            return None;
        }
        let grain = within(look.grain, 1, 1 << 10);
        let to_grid = |v: i32| v.div_euclid(grain) * grain + (look.hairline() / grain).rem_euclid(2) * (grain / 2);
        let named = |word: &str, lines: f64| if word.is_empty() { 0.0 } else { lines * look.text };
        let top = look.size(0.75 * look.text + named(sheet.names[1], 1.25));
        let bottom = height as i32 - look.size(1.75 * look.text + named(sheet.names[0], 1.35));
        let steps = |units: i32, css: f64| within((f64::from(units) / (css * look.text * look.k)).floor(), 2.0, 12.0) as u32;
        let y = (sheet.y)(steps(bottom - top, 2.1));
        let letters = y.ticks().iter().map(|v| (sheet.figures[1])(&y, *v).chars().count()).max().unwrap_or(0);
        let left = look.size(letters as f64 * LETTER * look.text + 0.6 * look.text);
        let right = width as i32 - look.size(1.3 * look.text);
        let x = (sheet.x)(steps(right - left, 3.4));
        let (left, bottom) = (to_grid(left), to_grid(bottom));
        let step = |units: i32, axis: Axis| units.div_euclid(axis.steps() * grain) * grain;
        let (across, up) = (step(right - left, x), step(bottom - top, y));
        let (right, top) = (left + across * x.steps(), bottom - up * y.steps());
        let (from, to) = if sheet.mirrored { (right, left) } else { (left, right) };
        let room = across >= look.size(8.0) && up >= look.size(8.0);
        room.then_some(Self { x, y, ends: (from, to, bottom, top), edges: (left, right, bottom, top) })
    }

    /// Where a value lies, in backend units.
    pub fn at(&self, &(along, height): &(f64, f64)) -> (i32, i32) {
        let (from, to, bottom, top) = self.ends;
        (self.x.map(along, (from, to)), self.y.map(height, (bottom, top)))
    }

    /// A curve in backend units, in runs: where a sample is left out the line is broken, not bridged. Between samples it bends as they do.
    pub(super) fn runs(&self, samples: &[(f64, f64)], drawable: impl Fn(&(f64, f64)) -> bool) -> Vec<Run> {
        let runs = samples.split(|p| !drawable(p)).filter(|run| !run.is_empty());
        runs.map(|run| smooth(run).iter().map(|p| self.at(p)).collect()).collect()
    }

    /// Grid lines, figures, names.
    pub(super) fn draw(&self, on: &dyn Picture, sheet: &Sheet, look: &Look) {
        let (left, right, bottom, top) = self.edges;
        let (half, gap) = (look.hairline() / 2, look.size(0.4 * look.text));
        let thin = Paint::Stroke(look.colours.grid.mix(1.0), look.hairline());
        let figure = |anchor| look.type_of(look.text, look.colours.text, false, anchor);
        let start = (self.x.range().start, self.y.range().start);
        for value in self.x.ticks() {
            let (x, _) = self.at(&(value, start.1));
            on.path(&[(x, top - half), (x, bottom + half)], thin);
            on.write(&(sheet.figures[0])(&self.x, value), &figure([Anchor::Middle, Anchor::Start]), (x, bottom + gap));
        }
        for value in self.y.ticks() {
            let (_, y) = self.at(&(start.0, value));
            if value != 0.0 || !sheet.zero_is_a_line {
                on.path(&[(left, y), (right, y)], thin);
            }
            let place = (left - gap, y + look.size(0.06 * look.text));
            on.write(&(sheet.figures[1])(&self.y, value), &figure([Anchor::End, Anchor::Middle]), place);
        }
        let below = bottom + gap + look.size(1.35 * look.text);
        on.write(sheet.names[0], &figure([Anchor::Middle, Anchor::Start]), ((left + right) / 2, below));
        on.write(sheet.names[1], &figure([Anchor::Start, Anchor::End]), (left, top - look.size(0.4 * look.text)))
    }
}

//! Where the name of a line can stand: beside its line, clear of every other line and name.

use crate::math::within;

/// A point on the picture, x to the right, y down, in any one unit.
pub type Point = (f64, f64);

/// An upright rectangle on the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Upper left corner.
    pub from: Point,
    /// Lower right corner.
    pub to: Point,
}

impl Frame {
    /// Distance of a point from the rectangle, 0 inside.
    #[must_use]
    pub fn distance(&self, p: Point) -> f64 {
        let outside = |from: f64, v: f64, to: f64| (from - v).max(v - to).max(0.0);
        outside(self.from.0, p.0, self.to.0).hypot(outside(self.from.1, p.1, self.to.1))
    }

    fn holds(&self, other: &Self) -> bool {
        self.distance(other.from) == 0.0 && self.distance(other.to) == 0.0
    }

    fn meets(&self, other: &Self, gap: f64) -> bool {
        self.from.0 < other.to.0 + gap && other.from.0 < self.to.0 + gap && self.from.1 < other.to.1 + gap && other.from.1 < self.to.1 + gap
    }
}

/// The same line with a point at least every `pitch`, so that a distance to its points is a distance to the line.
#[must_use]
pub fn dense(line: &[Point], pitch: f64) -> Vec<Point> {
    let mut out: Vec<Point> = line.first().copied().into_iter().collect();
    for pair in line.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let parts = within(((b.0 - a.0).hypot(b.1 - a.1) / pitch).ceil(), 1.0, 1e4) as u32;
        out.extend((1..=parts).map(|n| f64::from(n) / f64::from(parts)).map(|t| (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1))));
    }
    out
}

/// A place for a name of `size` beside the dense line `own`: inside `room`, at least `gap` from every line and from the
/// names already `taken`, and clearly nearer to its own line than to any other. `None` where there is no such place.
#[must_use]
pub fn place(own: &[Point], others: &[Vec<Point>], taken: &[Frame], room: &Frame, size: Point, gap: f64) -> Option<Frame> {
    let nearest = |frame: &Frame, line: &[Point]| line.iter().map(|&p| frame.distance(p)).fold(f64::INFINITY, f64::min);
    for reach in [1.3, 1.8, 2.5, 3.5] {
        for share in [0.86, 0.78, 0.7, 0.62, 0.94, 0.54, 0.46, 0.38, 1.0, 0.3] {
            let index = (share * own.len().saturating_sub(1) as f64) as usize;
            let &(x, y) = own.get(index)?;
            let d = reach * gap;
            // Above to the left, below to the right, above, below: the corners first, since the lines rise or fall.
            for (left, top) in [
                (x - d - size.0, y - d - size.1),
                (x + d, y + d),
                (x - size.0 / 2.0, y - d - size.1),
                (x - size.0 / 2.0, y + d),
                (x + d, y - d - size.1),
                (x - d - size.0, y + d),
            ] {
                let frame = Frame { from: (left, top), to: (left + size.0, top + size.1) };
                let mine = nearest(&frame, own);
                let clear = |line: &Vec<Point>| nearest(&frame, line) >= gap.max(1.5 * mine);
                if room.holds(&frame) && mine >= gap && others.iter().all(clear) && !taken.iter().any(|t| t.meets(&frame, gap)) {
                    return Some(frame);
                }
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: Frame = Frame { from: (0.0, 0.0), to: (300.0, 200.0) };

    #[test]
    fn a_name_stands_by_its_own_line_and_on_nothing() {
        let low = dense(&[(0.0, 200.0), (300.0, 150.0)], 2.0);
        let high = dense(&[(0.0, 200.0), (300.0, 20.0)], 2.0);
        let taken = place(&low, std::slice::from_ref(&high), &[], &ROOM, (70.0, 16.0), 5.0).unwrap();
        let second = place(&high, std::slice::from_ref(&low), &[taken], &ROOM, (40.0, 16.0), 5.0).unwrap();
        assert!(!second.meets(&taken, 5.0));
        for (frame, own, other) in [(taken, &low, &high), (second, &high, &low)] {
            let near = |line: &[Point]| line.iter().map(|&p| frame.distance(p)).fold(f64::INFINITY, f64::min);
            assert!(near(own) >= 5.0 && near(other) >= 1.5 * near(own) && ROOM.holds(&frame), "{frame:?}");
        }
    }

    #[test]
    fn no_place_is_an_answer() {
        let line = dense(&[(0.0, 200.0), (300.0, 0.0)], 2.0);
        assert_eq!(place(&line, std::slice::from_ref(&line), &[], &ROOM, (70.0, 16.0), 5.0), None, "two lines in one");
        assert_eq!(place(&line, &[], &[], &ROOM, (400.0, 16.0), 5.0), None, "too wide");
        assert_eq!(place(&[], &[], &[], &ROOM, (70.0, 16.0), 5.0), None, "no line");
        assert_eq!(dense(&[], 2.0), []);
        assert_eq!(dense(&[(1.0, 2.0)], 2.0), [(1.0, 2.0)]);
    }
}

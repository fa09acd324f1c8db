//! What a chart is drawn on: a picture counted in whole units from its upper left corner, x to the right, y down.

use crate::math::each::Each;

/// A place on the picture.
pub type Spot = (i32, i32);

/// Red, green, blue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    /// So much of it, 0…1, over what is there.
    #[must_use]
    pub fn mix(self, opacity: f64) -> Ink {
        Ink { colour: self, opacity }
    }

    pub(super) fn filled(self) -> Paint {
        Paint::Fill(self.mix(1.0))
    }
}

/// A colour, and how much of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ink {
    /// The colour.
    pub colour: Colour,
    /// 0…1.
    pub opacity: f64,
}

/// How a shape is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Paint {
    /// Filled.
    Fill(Ink),
    /// Its line alone, so many units wide.
    Stroke(Ink, i32),
}

/// How words are written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type<'a> {
    /// A CSS font family.
    pub family: &'a str,
    /// Size of the type, units.
    pub size: f64,
    /// In bold letters.
    pub bold: bool,
    /// Their colour.
    pub colour: Colour,
    /// Which part of the words stands at the place: across, then up.
    pub anchor: [Anchor; 2],
}

/// Left, middle and right of words; or their top, middle and bottom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Left, or top.
    Start,
    /// The middle.
    Middle,
    /// Right, or bottom.
    End,
}

/// Something to draw on. What cannot be drawn is left out.
pub trait Picture {
    /// Width and height.
    fn size(&self) -> (u32, u32);
    /// A line through the places, or the area within them.
    fn path(&self, places: &[Spot], paint: Paint);
    /// An upright rectangle between two of its corners.
    fn rect(&self, corners: [Spot; 2], paint: Paint);
    /// A circle.
    fn circle(&self, middle: Spot, radius: i32, paint: Paint);
    /// Words at a place.
    fn write(&self, words: &str, of: &Type, at: Spot);
}

/// A line in dashes of `dash` units, `gap` units apart, the first at its beginning.
pub(super) fn dashed(on: &dyn Picture, run: &[Spot], [dash, gap]: [i32; 2], paint: Paint) {
    let Some(&first) = run.first() else { return };
    let (mut piece, mut drawing, mut left) = (vec![first], true, f64::from(dash));
    for pair in run.windows(2) {
        let [from, to] = [pair[0], pair[1]].each(|(x, y)| (f64::from(x), f64::from(y)));
        let length = (to.0 - from.0).hypot(to.1 - from.1);
        let mut done = 0.0;
        while length - done > left {
            done += left;
            let share = done / length;
            let along = |a: f64, b: f64| (a + share * (b - a)).round() as i32;
            let at = (along(from.0, to.0), along(from.1, to.1));
            if piece.last() != Some(&at) {
                piece.push(at);
            }
            if drawing {
                on.path(&piece, paint);
            }
            piece = vec![at];
            drawing = !drawing;
            left = f64::from(if drawing { dash } else { gap }).max(1.0);
        }
        left -= length - done;
        piece.push(pair[1]);
    }
    if drawing && piece.len() > 1 {
        on.path(&piece, paint);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::RefCell;

    #[test]
    fn dashes_bend_with_the_line() {
        struct Paths(RefCell<Vec<Vec<Spot>>>);
        impl Picture for Paths {
            fn size(&self) -> (u32, u32) {
                (100, 100)
            }
            fn path(&self, places: &[Spot], _: Paint) {
                self.0.borrow_mut().push(places.to_vec());
            }
            fn rect(&self, _: [Spot; 2], _: Paint) {}
            fn circle(&self, _: Spot, _: i32, _: Paint) {}
            fn write(&self, _: &str, _: &Type, _: Spot) {}
        }
        let drawn = |run: &[Spot], pattern| {
            let on = Paths(RefCell::default());
            dashed(&on, run, pattern, Colour::default().filled());
            on.0.into_inner()
        };
        let line = [(0, 0), (25, 0), (25, 12)];
        assert_eq!(drawn(&line, [10, 5]), [vec![(0, 0), (10, 0)], vec![(15, 0), (25, 0)], vec![(25, 5), (25, 12)]]);
        assert_eq!(drawn(&line, [30, 5]), [vec![(0, 0), (25, 0), (25, 5)], vec![(25, 10), (25, 12)]]);
        assert_eq!(drawn(&line[..1], [30, 5]), Vec::<Vec<Spot>>::new());
        assert!(drawn(&line, [0, 0]).len() > 10, "it ends");
    }
}

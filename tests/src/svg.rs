//! A chart drawn as SVG, an element a line, and what its readers ask of it.

use donorack::chart::{Anchor, Colour, Colours, Ink, Look, Paint, Picture, Spot, Type};
use std::cell::RefCell;

/// The picture; its text so far.
pub struct Svg {
    size: (u32, u32),
    text: RefCell<String>,
}

impl Svg {
    /// An empty one.
    pub fn new(size: (u32, u32)) -> Svg {
        Svg { size, text: RefCell::default() }
    }

    /// What was drawn.
    pub fn into_text(self) -> String {
        self.text.into_inner()
    }

    fn element(&self, tag: &str, attributes: &str, paint: Paint) {
        let how = match paint {
            Paint::Fill(ink) => format!("opacity=\"{}\" fill=\"{}\" stroke=\"none\"", ink.opacity, hex(ink)),
            Paint::Stroke(ink, width) => {
                format!("opacity=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{width}\"", ink.opacity, hex(ink))
            }
        };
        *self.text.borrow_mut() += &format!("<{tag} {attributes} {how}/>\n");
    }
}

fn hex(Ink { colour: Colour(r, g, b), .. }: Ink) -> String {
    format!("#{r:02X}{g:02X}{b:02X}")
}

impl Picture for Svg {
    fn size(&self) -> (u32, u32) {
        self.size
    }

    fn path(&self, places: &[Spot], paint: Paint) {
        let points: Vec<String> = places.iter().map(|(x, y)| format!("{x},{y}")).collect();
        let tag = if matches!(paint, Paint::Fill(_)) { "polygon" } else { "polyline" };
        self.element(tag, &format!("points=\"{}\"", points.join(" ")), paint);
    }

    fn rect(&self, [(a, b), (c, d)]: [Spot; 2], paint: Paint) {
        let (x, y, width, height) = (a.min(c), b.min(d), a.abs_diff(c), b.abs_diff(d));
        self.element("rect", &format!("x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\""), paint);
    }

    fn circle(&self, (x, y): Spot, radius: i32, paint: Paint) {
        self.element("circle", &format!("cx=\"{x}\" cy=\"{y}\" r=\"{radius}\""), paint);
    }

    fn write(&self, words: &str, of: &Type, (x, y): Spot) {
        let [across, up] = of.anchor.map(|a| match a {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        });
        let weight = if of.bold { "bold" } else { "normal" };
        let place = format!("x=\"{x}\" y=\"{y}\" text-anchor=\"{across}\" dominant-baseline=\"{up}\"");
        let letters = format!("font-family=\"{}\" font-size=\"{}\" font-weight=\"{weight}\"", of.family, of.size);
        *self.text.borrow_mut() += &format!("<text {place} {letters} fill=\"{}\">\n{words}\n</text>\n", hex(of.colour.mix(1.0)));
    }
}

/// The look of a test: a colour for everything, no words.
pub fn look(k: f64) -> Look {
    let colours = Colours {
        paper: Colour(255, 255, 255),
        grid: Colour(208, 208, 192),
        text: Colour(96, 104, 112),
        left: Colour(0, 0, 16),
        right: Colour(128, 96, 32),
        ideal: Colour(0, 96, 128),
        parallel: Colour(64, 72, 80),
    };
    Look { k, grain: 1, text: 15.0, heavy: 1.0, family: "sans-serif".to_owned(), colours, words: Default::default() }
}

/// An attribute of an element, empty where it has none of that name.
pub fn attribute<'a>(tag: &'a str, name: &str) -> &'a str {
    tag.split_once(&format!(" {name}=\"")).and_then(|(_, rest)| rest.split_once('"')).map_or("", |(value, _)| value)
}

/// The same, a number.
pub fn number(tag: &str, name: &str) -> f64 {
    attribute(tag, name).parse().expect("a number")
}

/// The points of a line or an area.
pub fn points(tag: &str) -> Vec<(f64, f64)> {
    let pair = |t: &str| t.split_once(',').and_then(|(x, y)| Some((x.parse().ok()?, y.parse().ok()?))).expect("a pair");
    attribute(tag, "points").split_whitespace().map(pair).collect()
}

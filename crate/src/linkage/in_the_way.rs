//! What is in the way of the rack's housing: boxes seen from the side, and how much room is left beside them.

use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::value::{Gap, Value, all, known};
use crate::math::each::Each;
use crate::plan::inputs::Source;

/// A box seen from the side: mm ahead of and above the tie-rod ends, each from and to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KeepOut {
    /// What it is.
    pub name: &'static str,
    /// Forward, from the rearmost.
    pub ahead: [f64; 2],
    /// Up, from the lowest; infinite where no edge is known.
    pub up: [f64; 2],
}

/// Each box with its measurements: from and to, lower and upper edge.
pub const BOXES: [(&str, [Field; 4]); 3] = {
    use Field::*;
    [
        ("sump", [SumpFrom, SumpTo, SumpLow, SumpHigh]),
        ("crossmember", [CrossmemberFrom, CrossmemberTo, CrossmemberLow, CrossmemberHigh]),
        ("frame", [FrameFrom, FrameTo, FrameLow, FrameHigh]),
    ]
};

impl KeepOut {
    /// How far a place is from the box, mm; negative inside: how far it is to the nearest edge.
    pub fn distance(&self, [ahead, up]: [f64; 2]) -> f64 {
        let beyond = |at: f64, [from, to]: [f64; 2]| (from - at).max(at - to);
        let (x, z) = (beyond(ahead, self.ahead), beyond(up, self.up));
        if x > 0.0 && z > 0.0 { x.hypot(z) } else { x.max(z) }
    }
}

/// One of [`BOXES`], once both its ends and one of its edges are known.
fn keep_out(x: &dyn Source, (name, [from, to, low, high]): (&'static str, [Field; 4])) -> Option<KeepOut> {
    let (a, b, low, high) = (x.get(from)?, x.get(to)?, x.get(low), x.get(high));
    low.or(high)?;
    let [low, high] = [low.unwrap_or(f64::NEG_INFINITY), high.unwrap_or(f64::INFINITY)];
    Some(KeepOut { name, ahead: [a.min(b), a.max(b)], up: [low.min(high), low.max(high)] })
}

/// Everything that is known to be in the way.
pub fn keep_outs(x: &dyn Source) -> Vec<KeepOut> {
    BOXES.into_iter().filter_map(|of| keep_out(x, of)).collect()
}

/// Edges of which one is wanting, of boxes whose two ends are known.
pub fn edges_wanting(x: &dyn Source) -> FieldSet {
    let wanting = BOXES.iter().filter(|(_, [from, to, ..])| x.get(*from).is_some() && x.get(*to).is_some());
    let wanting = wanting.filter(|of| keep_out(x, **of).is_none());
    wanting.fold(FieldSet::empty(), |set, (_, [.., low, high])| set | *low | *high)
}

/// The room between the rack's housing and the nearest box, mm. Missing: what is needed to say so; with no box, a box.
pub fn room(x: &dyn Source) -> Value {
    let (boxes, wanting) = (keep_outs(x), edges_wanting(x));
    if !wanting.is_empty() {
        return Err(Gap::Missing(wanting));
    }
    if boxes.is_empty() {
        return Err(Gap::Missing(BOXES.iter().flat_map(|of| of.1).fold(FieldSet::empty(), |set, field| set | field)));
    }
    let needs = [Field::RackLine, Field::Height, Field::HousingDiameter].each(|field| known(x.get(field), field));
    let [line, height, diameter] = all(needs)?;
    Ok(boxes.iter().map(|b| b.distance([line, height])).fold(f64::INFINITY, f64::min) - diameter / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_is_as_far_as_its_nearest_edge() {
        let keep_out = KeepOut { name: "sump", ahead: [-10.0, 20.0], up: [f64::NEG_INFINITY, 5.0] };
        for (at, far) in [([0.0, 9.0], 4.0), ([23.0, 9.0], 5.0), ([26.0, 0.0], 6.0), ([0.0, 3.0], -2.0), ([18.0, -40.0], -2.0)] {
            assert_eq!(keep_out.distance(at), far, "{at:?}");
        }
    }
}

//! The holes that the tie rods need in the frame rails: a stage of [`crate::linkage::steering`], for what is shown alone.

use crate::catalogue::field::Field;
use crate::catalogue::result::{ResultId, Results};
use crate::catalogue::value::{Gap, Traced, Why, all, known};
use crate::linkage::bump::Bump;
use crate::linkage::corner::ran_out;
use crate::plan::inputs::{Recorder, Source};
use crate::suspension::hole::{Hole, NoHole, Spot};

/// What is told of a hole.
type Told = (ResultId, fn(&Hole) -> f64);

const TOLD: [Told; 7] = [
    (ResultId::HoleDiameter, |h| h.diameter),
    (ResultId::HoleAhead, |h| h.middle[0]),
    (ResultId::HoleUp, |h| h.middle[1]),
    (ResultId::HoleRear, |h| h.edges[0]),
    (ResultId::HoleFront, |h| h.edges[1]),
    (ResultId::HoleLow, |h| h.edges[2]),
    (ResultId::HoleHigh, |h| h.edges[3]),
];

/// Notes that no hole was worked out.
pub fn none(results: &mut Results) {
    for (id, _) in TOLD {
        (0..2).for_each(|side| results.set(id, side, Traced::nothing()));
    }
}

/// The holes of both rods, the rack going as far as the hardware lets it, mm to the right (negative) and to the left. From all places, or
/// from those that made it so large in one that differs by a hair's breadth; returns these.
pub fn holes(
    results: &mut Results,
    x: &Recorder,
    bump: Option<&Bump>,
    rack: [Option<f64>; 2],
    near: Option<&[Vec<Spot>; 2]>,
) -> [Vec<Spot>; 2] {
    let mut spots = [Vec::new(), Vec::new()];
    let trace = results.trace(ResultId::BumpPeak, 0);
    for side in 0..2 {
        let hole = Traced::new(x.stage(|x| {
            let bump = bump.ok_or_else(|| results.get(ResultId::BumpPeak, side).err().unwrap_or(Gap::Unreachable(Why::NoSuspension)))?;
            let planes: Vec<f64> = [Field::RailInner, Field::RailOuter].into_iter().filter_map(|f| x.get(f)).collect();
            let needs = [known(planes.first().copied(), Field::RailInner), known(x.get(Field::RodThickness), Field::RodThickness)];
            let [_, thick] = all(needs)?;
            let rho = thick / 2.0 + known(x.get(Field::HoleRoom), Field::HoleRoom)?;
            let [right, left] = rack.map(|end| known(end, Field::Travel));
            let (corner, band, rack) = (&bump.corners[side], bump.band, [right?, left?]);
            let hole = match near {
                Some(near) => corner.hole_of(&planes, rho, rack, &near[side]),
                None => corner.hole(&planes, rho, band, rack),
            };
            hole.map_err(|none| match none {
                NoHole::RanOut(out) => ran_out(out),
                NoHole::Joint => Gap::Unreachable(Why::JointInRail),
            })
        }));
        for (id, figure) in TOLD {
            let value = hole.value.as_ref().map(figure).map_err(|gap| *gap);
            results.set(id, side, Traced { value, trace: hole.trace.and(trace) });
        }
        spots[side] = hole.value.map(|hole| hole.by).unwrap_or_default();
    }
    spots
}

//! The room beside the turned tyres: a stage of [`crate::linkage::steering`]. What judges a rack is always worked out, what helps to make
//! its stops for what is shown alone.

use crate::catalogue::field::Field;
use crate::catalogue::result::{ResultId, Results};
use crate::catalogue::value::{Gap, Traced, Why, all, known, together};
use crate::linkage::bump::Bump;
use crate::linkage::corner::ran_out;
use crate::math::each::Each;
use crate::plan::inputs::{Recorder, Source};
use crate::suspension::corner::Corner;
use crate::suspension::tyre::{Beside, Block, Place, Tyre, Until};

/// No edge either way.
const OPEN: [f64; 2] = [f64::NEG_INFINITY, f64::INFINITY];

/// Where the tyres come nearest: followed, not searched again, for inputs that differ by a hair's breadth.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Nearest {
    /// Of each wheel over the usable travel.
    least: [Option<Place>; 2],
    /// Of the rack going right and left, where nothing is left and where the room wanted is: the wheel, and where.
    until: [[Option<(usize, Until)>; 2]; 2],
}

/// Both corners with their tyres and what stands beside them: the rail, the crossmember, or both. A crossmember counts from the middle between the
/// tie-rod ends, as a rack does.
fn both<'a>(x: &dyn Source, bump: Option<&'a Bump>) -> Result<[Beside<'a>; 2], Gap> {
    use Field::*;
    let bump = bump.ok_or(Gap::Unreachable(Why::NoSuspension))?;
    let [diameter, width] = all([TyreDiameter, TyreWidth].each(|field| known(x.get(field), field)))?;
    let [outer, other] = bump.corners.each_ref().each(|corner| corner.points().outer);
    let end = (outer + other) * 0.5;
    let mut blocks = Vec::new();
    // The rail first: it is found at once, and what is farther off need not be looked at closely.
    if let Some(out) = x.get(RailOuter) {
        blocks.push(Block { ahead: OPEN, out, up: OPEN });
    }
    if let Some(out) = x.get(CrossmemberOut) {
        let [a, b] = all([CrossmemberFrom, CrossmemberTo].each(|field| known(x.get(field), field)))?;
        let ends = |a: f64, b: f64, by: f64| [a.min(b) + by, a.max(b) + by];
        let [low, high] = [x.get(CrossmemberLow).unwrap_or(OPEN[0]), x.get(CrossmemberHigh).unwrap_or(OPEN[1])];
        blocks.push(Block { ahead: ends(a, b, end.x), out, up: ends(low, high, end.z) });
    }
    if blocks.is_empty() {
        return Err(Gap::Missing(RailOuter.into()));
    }
    let side = |corner: &'a Corner| {
        // A loaded wheel stands no higher than its tyre is large.
        let tyre = Tyre { radius: (diameter / 2.0).max(corner.points().radius), half: width / 2.0 };
        Beside::new(corner, tyre, blocks.clone(), bump.band).map_err(ran_out)
    };
    Ok([side(&bump.corners[0])?, side(&bump.corners[1])?])
}

/// The least room beside each tyre. `near` is where inputs that differ by a hair's breadth have it.
pub fn tyres(results: &mut Results, x: &Recorder, bump: Option<&Bump>, near: Option<&Nearest>) -> Nearest {
    let mut out = Nearest::default();
    let over_bumps = results.traced(ResultId::BumpPeak, 0);
    let usable = together([1, 0].each(|side| results.traced(ResultId::UsableTravel, side))).after(&over_bumps);
    let usable = if over_bumps.value.is_ok() { usable } else { over_bumps.map(|_| [0.0; 2]) };
    let least = Traced::new(x.stage(|x| {
        over_bumps.value?;
        let (beside, [right, left]) = (both(x, bump)?, usable.value?);
        let mut least = [0.0; 2];
        for side in 0..2 {
            let found = match near.and_then(|near| near.least[side]) {
                Some(place) => beside[side].room(place[0], (left + right) * place[1] - right).map(|room| (room, place)),
                None => beside[side].least([-right, left]),
            };
            let (room, place) = found.map_err(ran_out)?;
            (least[side], out.least[side]) = (room, Some(place));
        }
        Ok(least)
    }));
    for side in 0..2 {
        results.set(ResultId::TyreRoom, side, least.map(|least| least[side]).after(&usable));
        results.set(ResultId::TyreTouches, side, Traced::nothing());
    }
    results.set(ResultId::TyreStop, 0, Traced::nothing());
    out
}

/// How far the rack may go, `rack` as far as it could without stops, mm to the right (negative) and to the left: adds to what [`tyres`] noted.
pub fn stops(results: &mut Results, x: &Recorder, bump: Option<&Bump>, rack: [Option<f64>; 2], near: Option<&Nearest>, out: &mut Nearest) {
    let room = results.traced(ResultId::TyreRoom, 0);
    let far = Traced::new(x.stage(|x| {
        room.value?;
        let beside = both(x, bump)?;
        let wanted = [0.0, known(x.get(Field::TyreRoomMin), Field::TyreRoomMin)?];
        let mut far = [[f64::INFINITY; 2]; 2];
        for (way, end) in rack.into_iter().enumerate() {
            let end = known(end, Field::Travel)?;
            for (side, beside) in beside.iter().enumerate() {
                let found = match near {
                    Some(near) => near.until[way].each(|near| near.filter(|near| near.0 == side).map(|near| near.1)),
                    None => beside.until(wanted, end).map_err(ran_out)?,
                };
                for (kind, until) in found.into_iter().enumerate() {
                    let Some(until) = until else { continue };
                    let s = if near.is_some() { beside.until_near(&until).map_err(ran_out)? } else { until.far };
                    if s < far[way][kind] {
                        (far[way][kind], out.until[way][kind]) = (s, Some((side, until)));
                    }
                }
            }
        }
        Ok(far)
    }));
    let mut set = |id, side, s: &dyn Fn([[f64; 2]; 2]) -> f64| {
        let s = far.map(s).and_then(|s| if s.is_finite() { Ok(s) } else { Err(Gap::Unreachable(Why::KeepsClear)) });
        results.set(id, side, s.after(&room));
    };
    set(ResultId::TyreTouches, 0, &|far| far[1][0]);
    set(ResultId::TyreTouches, 1, &|far| far[0][0]);
    set(ResultId::TyreStop, 0, &|far| far[0][1].min(far[1][1]));
}

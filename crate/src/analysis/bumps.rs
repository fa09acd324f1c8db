//! Both corners over their travel, each figure with its ±.
//!
//! ± as in [`crate::analysis::uncertainty`]: first order, every reading a little up and a little down; at one height of the wheel centre and one
//! displacement of the rack.

use crate::analysis::sweep::{STEP, spread};
use crate::catalogue::field::FIELDS;
use crate::catalogue::value::Gap;
use crate::linkage::corner::{corners, ran_out};
use crate::math::each::Each;
use crate::math::trig::Angle;
use crate::plan::inputs::{Readings, Recorder};
use crate::suspension::corner::Corner;
use crate::suspension::pose::Pose;

/// What is told of a wheel at a height: toe change from ride height, camber, caster (degrees), scrub radius, trail, half-track change (mm).
pub const QUANTITIES: usize = 6;

/// Both corners, and what every reading makes of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Bumps {
    /// Left and right.
    pub corners: [Corner; 2],
    nudged: Vec<[Option<[Corner; 2]>; 2]>,
}

/// A quantity at a height, with its ±.
pub type Told = [(f64, f64); QUANTITIES];

fn read_off(pose: &Pose, still: f64) -> [f64; QUANTITIES] {
    let deg = f64::to_degrees;
    let toe = deg(pose.toe() - still);
    [toe, deg(pose.camber()), deg(pose.caster()), pose.scrub(), pose.trail(), pose.half_track_change()]
}

fn at(corner: &Corner, travel: f64, s: f64) -> Result<[f64; QUANTITIES], Gap> {
    let still = corner.at_travel(0.0, s).map_err(ran_out)?.toe();
    Ok(read_off(&corner.at_travel(travel, s).map_err(ran_out)?, still))
}

impl Bumps {
    /// Of these readings. The error: what is missing, or why the points make no suspension.
    pub fn of(readings: &Readings) -> Result<Bumps, Gap> {
        let x = readings.inputs();
        let record = Recorder::new(&x);
        let both = corners(&record)?;
        let read = record.read();
        let mut nudged = Vec::new();
        for spec in FIELDS.iter().filter(|s| s.section.is_measured() && read.contains(s.field)) {
            if let Some((value, item)) = x.get(spec.field).zip(readings.items[spec.field as usize]).filter(|(_, item)| item.pm > 0.0) {
                nudged.push([STEP, -STEP].each(|step| corners(&x.with(spec.field, Some(value + item.pm * step))).ok()));
            }
        }
        Ok(Bumps { corners: both, nudged })
    }

    /// The wheel on `side` (0 left, 1 right) with its centre `travel` mm above ride height and the rack at `s`.
    pub fn at(&self, side: usize, travel: f64, s: f64) -> Result<Told, Gap> {
        let base = at(&self.corners[side], travel, s)?;
        let all: Vec<[Option<[f64; QUANTITIES]>; 2]> =
            self.nudged.iter().map(|pair| pair.each_ref().map(|c| at(&c.as_ref()?[side], travel, s).ok())).collect();
        Ok(std::array::from_fn(|k| (base[k], spread(base[k], all.iter().map(|pair| pair.map(|v| v.map(|v| v[k])))))))
    }

    /// Change of the mean steer angle, degrees, left positive, by a roll of so many radians, right side down positive (ISO 8855), with the rack at `s`.
    pub fn roll(&self, roll: f64, s: f64) -> Result<f64, Gap> {
        let half = (self.corners[0].contact().y - self.corners[1].contact().y) / 2.0 * roll.tangent();
        let change = |side: usize, travel: f64| self.corners[side].toe_change(travel, s).map_err(ran_out);
        // Toe-in steers the left wheel to the right.
        Ok((change(1, half)? - change(0, -half)?).to_degrees() / 2.0)
    }
}

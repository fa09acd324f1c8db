//! Both corners at a height of the wheel and a rack displacement, to every digit: for comparison with another program.

use crate::catalogue::value::{Gap, Link, Why};
use crate::judgement::rack_line::fitted;
use crate::linkage::corner::{corners, ran_out};
use crate::math::each::Each;
use crate::plan::Plan;
use crate::suspension::corner::Corner;
use crate::suspension::pose::Pose;
use crate::wording;
use serde::Serialize;

/// What is held while the rack moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// The wheel centre's height.
    Height,
    /// The lower arm where it has the wheel centre at that height with the rack at mid-travel.
    Arm,
}

/// One wheel. Angles in degrees, lengths in mm; signs as ISO 8855.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WheelProbe {
    /// "left" or "right".
    pub side: &'static str,
    /// "ok", or why there is no position: which link ran out.
    pub status: String,
    /// What is read off it, where there is a position.
    #[serde(flatten)]
    pub at: Option<Standing>,
}

/// What is read off a wheel that stands somewhere.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Standing {
    /// How far the wheel centre is above ride height.
    pub travel: f64,
    /// Toe-in positive.
    pub toe: f64,
    /// Steer angle, left positive.
    pub steer: f64,
    /// Top outboard positive.
    pub camber: f64,
    /// Top rearward positive.
    pub caster: f64,
    /// Top inboard positive.
    pub kingpin_inclination: f64,
    /// Axis inboard of the contact point positive.
    pub scrub: f64,
    /// Axis ahead of the contact point positive.
    pub trail: f64,
    /// How far the contact point has gone outboard.
    pub half_track: f64,
    /// Contact point: forward, left, up.
    pub contact: [f64; 3],
    /// Between rod and rack.
    pub inner_joint: f64,
    /// Tilt of the rod out of the plane square to the steering axis.
    pub outer_joint: f64,
    /// Between rod and arm.
    pub transmission: f64,
}

/// Both wheels at one height and one rack displacement.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BumpProbe {
    /// Rack displacement, mm, left positive.
    pub rack: f64,
    /// Height asked for, mm above ride height.
    pub travel: f64,
    /// Left and right wheel.
    pub wheels: [WheelProbe; 2],
}

impl Standing {
    fn of(pose: &Pose) -> Standing {
        let deg = |angle: fn(&Pose) -> f64| angle(pose).to_degrees();
        let contact = pose.contact();
        Standing {
            travel: pose.travel(),
            toe: deg(Pose::toe),
            steer: deg(Pose::steer),
            camber: deg(Pose::camber),
            caster: deg(Pose::caster),
            kingpin_inclination: deg(Pose::kingpin_inclination),
            scrub: pose.scrub(),
            trail: pose.trail(),
            half_track: pose.half_track_change(),
            contact: [contact.x, contact.y, contact.z],
            inner_joint: deg(Pose::inner_joint_angle),
            outer_joint: deg(Pose::outer_joint_angle),
            transmission: deg(Pose::transmission),
        }
    }
}

/// A corner at a height and a rack displacement. Past a toggle there is no position, even where the rod would reach again.
pub(crate) fn stand(corner: &Corner, travel: f64, s: f64, hold: Hold) -> Result<Pose, Gap> {
    let arm = corner.arm_at(travel, if hold == Hold::Height { s } else { 0.0 }).map_err(ran_out)?;
    let toggle = corner.wheel(arm).map_err(ran_out)?.linkage.toggles()[usize::from(s > 0.0)];
    if toggle.is_some_and(|t| s.abs() > t.abs()) {
        return Err(Gap::Unreachable(Why::RanOut(Link::TieRod)));
    }
    corner.at_arm(arm, s).map_err(ran_out)
}

/// Probes a rack of a plan at a height of the wheels and a rack displacement.
pub fn probe_bump(plan: &Plan, rack: usize, [travel, s]: [f64; 2], hold: Hold) -> BumpProbe {
    let readings = fitted(plan, rack).readings;
    let both = corners(&readings.inputs());
    let wheels = [0, 1].each(|side| {
        let at = both.and_then(|both| stand(&both[side], travel, s, hold));
        WheelProbe {
            side: ["left", "right"][side],
            status: at.err().map_or_else(|| "ok".to_owned(), |gap| wording::gap(gap, &readings)),
            at: at.ok().map(|pose| Standing::of(&pose)),
        }
    });
    BumpProbe { rack: s, travel, wheels }
}

//! Bump steer and how the axes stand, from both corners: one stage of [`crate::linkage::steering`].

use crate::catalogue::field::{Field, Joint};
use crate::catalogue::result::{ResultId, Results};
use crate::catalogue::value::{Gap, Trace, Traced, Value, Why, all, known};
use crate::linkage::corner::{corners, ran_out};
use crate::linkage::points;
use crate::math::closure::Linkage;
use crate::math::each::Each;
use crate::math::trig::Angle;
use crate::math::vector::Vec3;
use crate::plan::inputs::{Recorder, Source};
use crate::suspension::RanOut;
use crate::suspension::bump_steer::{Lobes, Peak, Shift, roll_steer};
use crate::suspension::corner::Corner;
use crate::suspension::held::held;
use crate::suspension::places::{Better, Places};
use crate::suspension::pose::Pose;
use std::rc::Rc;

/// What was worked out of both corners.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bump {
    /// Both corners.
    pub corners: [Corner; 2],
    /// The travel looked at, mm each way.
    pub band: f64,
    /// The largest toe change of each wheel, where the band can be reached.
    pub peaks: [Option<Peak>; 2],
    /// Better places of each inner joint, where they were asked for.
    pub places: [Option<Places>; 2],
    /// What each of [`LARGEST`] is the largest of, with the joint held where it is fitted, and where the places of the near one put it.
    pub lobes: [[Option<Lobes>; LARGEST.len()]; 2],
}

/// The results that are the largest toe change of a joint: as fitted, at the best height, at the best height and width.
pub const LARGEST: [ResultId; 3] = [ResultId::BumpPeak, ResultId::ShimLeaves, ResultId::BestLeaves];

impl Bump {
    /// Notes the lobes of one side, as fitted and, where they are known, at the `places`.
    fn note_lobes(&mut self, side: usize, places: Option<Places>) {
        let (corner, band) = (self.corners[side], self.band);
        let fitted = self.peaks[side].map(|peak| (Shift::default(), peak));
        let better = |best: Option<Better>| best.map(|best| (best.shift, best.peak));
        let all = [fitted, better(places.and_then(|p| p.height)), better(places.and_then(|p| p.both))];
        self.lobes[side] = all.each(|at| at.and_then(|(shift, peak)| corner.shifted(shift)?.lobes(band, peak.travel).ok()));
    }
}

/// Where the largest toe change is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Search {
    /// Over the whole band.
    Band,
    /// At the travel where the near one has it: to first order that is the same, for inputs that differ by a hair's breadth.
    AtNear,
}

/// Angles of the steering axes, and trail: they need no more than the two joints of an axis, and the wheel centre.
fn axes(results: &mut Results, x: &Recorder) {
    for side in 0..2 {
        let axis = Traced::new(x.stage(|x| {
            let strut = points::is_strut(x);
            let lower = points::asked(x, Joint::LowerBall);
            let upper = strut.map_or(Field::Suspension.into(), |strut| points::asked(x, points::upper(strut)));
            points::axis(x, side).ok_or(Gap::Missing(lower | upper))
        }));
        let out = if side == 0 { 1.0 } else { -1.0 };
        let lean = |of: f64, up: f64| (-of).atan2(up).to_degrees();
        results.set(ResultId::KingpinInclination, side, axis.map(|a| lean(out * a.up.y, a.up.z)));
        results.set(ResultId::Caster, side, axis.map(|a| lean(a.up.x, a.up.z)));
        let centre =
            Traced::new(x.stage(|x| points::joint(x, Joint::WheelCentre, side).ok_or(Gap::Missing(points::asked(x, Joint::WheelCentre)))));
        // Ahead is where the wheel points: toed in by its static toe.
        let toe = Traced::new(x.stage(|x| Ok(x.get(Field::StaticToe).unwrap_or(0.0))));
        let trail = |a: points::Axis| {
            let (to, (sin, cos)) = (a.at(0.0) - centre.value?, toe.value?.sine_cosine());
            Ok(to.x * cos - out * to.y * sin)
        };
        let trail = axis.and_then(trail).after(&centre).after(&toe);
        results.set(ResultId::Trail, side, trail);
    }
}

/// Without a single point: what is asked for first.
fn nothing(results: &mut Results) {
    let lacks = Field::LowerBallX | Field::LowerBallY | Field::LowerBallZ | Field::Suspension;
    let none = Traced { value: Err(Gap::Missing(lacks)), trace: Trace::of(lacks) };
    each_row(results, |_, _| none);
    for id in [ResultId::KingpinInclination, ResultId::Caster, ResultId::Trail] {
        results.set(id, 0, none);
        results.set(id, 1, none);
    }
}

/// Notes something for each of [`ROWS`].
fn each_row(results: &mut Results, of: impl Fn(ResultId, usize) -> Traced) {
    for id in ROWS {
        for side in 0..2 {
            results.set(id, side, of(id, side));
        }
    }
}

/// Everything that follows from the points; `near` the same of inputs that may be alike. Gives what solving anew gives, but for what
/// [`Search`] says.
pub fn bump(results: &mut Results, x: &Recorder, near: Option<(&Rc<Bump>, &Results)>, search: Search) -> Option<Rc<Bump>> {
    if !x.has_points() {
        nothing(results);
        return None;
    }
    axes(results, x);
    let corners = Traced::new(x.stage(|x| Ok((corners(x)?, known(x.get(Field::BumpTravel), Field::BumpTravel)?))));
    let read = corners.trace.read;
    let Ok((both, band)) = corners.value else {
        let none = corners.and_then(|_| Ok(0.0));
        each_row(results, |_, _| none);
        return None;
    };
    if let Some((same, from)) = near.filter(|(near, _)| near.corners == both && near.band == band) {
        each_row(results, |id, side| Traced { value: from.get(id, side), trace: Trace::of(read) });
        return Some(same.clone());
    }
    // Where a stage was taken over, better places of other corners may stand here.
    each_row(results, |_, _| Traced::nothing());
    let mut out = Bump { corners: both, band, peaks: [None; 2], places: [None; 2], lobes: [[None; LARGEST.len()]; 2] };
    let over = |side: usize| {
        let corner = &both[side];
        let slope = corner.bump_slope(0.0).map_err(ran_out);
        let known = near.and_then(|(near, _)| near.peaks[side]).filter(|_| search == Search::AtNear);
        let peak = match known {
            Some(peak) => corner.toe_change(peak.travel, 0.0).map(|change| (Peak { change, ..peak }, peak.change.signum())),
            None => corner.bump_peak([-band, band], 0.0).map(|peak| (peak, peak.change.signum())),
        };
        (slope, peak.map_err(ran_out))
    };
    let alike = both[0].mirrors(&both[1]);
    let left = over(0);
    let over = [left, if alike { left } else { over(1) }];
    for (side, (slope, peak)) in over.into_iter().enumerate() {
        let mut set = |id, value: Result<f64, Gap>| results.set(id, side, Traced { value, trace: Trace::of(read) });
        out.peaks[side] = peak.ok().map(|p| p.0);
        set(ResultId::BumpSteer, slope.map(f64::to_degrees));
        set(ResultId::BumpPeak, peak.map(|(p, sign)| (p.change * sign).to_degrees()));
        set(ResultId::BumpPeakAt, peak.map(|(p, _)| p.travel));
    }
    // Of a step the places follow those of the near one.
    if let Some((near, from)) = near.filter(|_| search == Search::AtNear)
        && let Some(limit) = x.get(Field::BumpSteerMax)
    {
        for (side, corner) in both.iter().enumerate() {
            let known = near.places[side].filter(|_| out.peaks[side].is_some());
            let places = match (side, known) {
                (1, Some(_)) if alike => out.places[0],
                _ => known.map(|known| corner.places_near(&known, limit)),
            };
            if let Some(places) = places {
                out.places[side] = Some(places);
                told(results, side, Ok(Some(places)), from.trace(ResultId::ShimMove, side));
            }
        }
    }
    for side in 0..2 {
        // Held where the near one puts them: somebody who makes a shim makes it of that height.
        out.note_lobes(side, near.filter(|_| search == Search::AtNear).and_then(|(near, _)| near.places[side]));
        if alike {
            out.lobes[1] = out.lobes[0];
            break;
        }
    }
    let track = both[0].contact().y - both[1].contact().y;
    let roll = all([over[0].0, over[1].0]).map(|slopes| 100.0 * roll_steer(slopes, track));
    results.set(ResultId::RollSteer, 0, Traced { value: roll, trace: Trace::of(read) });
    Some(Rc::new(out))
}

/// The rack going one way.
pub struct Turn {
    /// To where the hardware lets it go, mm, positive to the left; `None` where that is not known.
    pub hardware: Option<f64>,
    /// The lock that it leads to: 0 left, 1 right.
    pub lock: usize,
}

/// A corner with its wheel centre at some height and the rack at a displacement, mm.
type At<'a> = &'a dyn Fn(f64) -> Result<Pose, RanOut>;

/// Which of both wheels at both ends of the band is the worst: of rod and arm, inner and outer joint, of the rack going right and left.
pub type Worst = [[Option<usize>; 3]; 2];

/// Rod, arm and joints with the wheels turned and the suspension where its band ends, of the rack going right and left. The worse of two: the
/// lower arms held where they stand there with the toe held, and the wheel centre held at that height, which lets the arms go with the
/// steering. What is the same at ride height stands in the results. Where the worst of `near` is known, inputs that differ by a hair's breadth have
/// it there too.
pub fn turned(results: &mut Results, x: &Recorder, bump: Option<&Bump>, ways: [Turn; 2], near: Option<&Worst>) -> Worst {
    let mut out = Worst::default();
    let (over_bumps, read) = (results.traced(ResultId::BumpPeak, 0), results.trace(ResultId::BumpPeak, 0));
    let Some(Bump { corners, band, .. }) = bump else {
        for id in [ResultId::TransmissionBumps, ResultId::InnerJointBumps, ResultId::OuterJointBumps] {
            (0..2).for_each(|side| results.set(id, side, over_bumps));
        }
        return out;
    };
    let ends = [-band, *band].each(|z| {
        let held = |c| held(c, z).map(|h| c.linkage_at(&h.stance, Vec3::default(), c.rod(), c.branch()));
        corners.each_ref().each(|c: &Corner| held(c).map(|linkage| (linkage, c, z)))
    });
    // The worst of both wheels at both ends of the band, and which that is.
    let worst = |known: Option<usize>, note: &mut Option<usize>, of: &dyn Fn(&Linkage, At) -> f64| -> Value {
        let mut least = f64::INFINITY;
        for (k, at) in ends.iter().flatten().enumerate() {
            let (linkage, corner, z) = at.as_ref().map_err(|out| ran_out(*out))?;
            if known.is_some_and(|known| known != k) {
                continue;
            }
            let value = of(linkage, &|s| corner.at_travel(*z, s));
            if value < least {
                (least, *note) = (value, Some(k));
            }
        }
        Ok(least)
    };
    for (way, Turn { hardware, lock }) in ways.into_iter().enumerate() {
        let usable = results.traced(ResultId::UsableTravel, 1 - way);
        let sign = if way == 1 { 1.0 } else { -1.0 };
        let known = |kind: usize| near.and_then(|near| near[way][kind]);
        let [of_rod, of_inner, of_outer] = &mut out[way];
        let transmission = usable.and_then(|s| {
            worst(known(0), of_rod, &|linkage, pose| {
                let s = sign * s;
                let held = match pose(s) {
                    Ok(pose) => pose.transmission(),
                    Err(RanOut::TieRod(_)) => 0.0,
                    Err(_) => f64::INFINITY,
                };
                linkage.least_transmission(s).map_or(0.0, |arm| arm.min(held).to_degrees())
            })
        });
        let level = results.traced(ResultId::TransmissionLeast, lock);
        type Angle<'a> = &'a dyn Fn(&Linkage, f64) -> f64;
        let joint = |(kind, note): (usize, &mut Option<usize>), margin: ResultId, limit: Field, angle: Angle, of_pose: fn(&Pose) -> f64| {
            let spare = |_| {
                let limit = x.get(limit).ok_or(Gap::Missing(limit.into()))?;
                let end = hardware.ok_or(Gap::Unreachable(Why::NoTravel))?;
                worst(known(kind), note, &|linkage, pose| {
                    // Past a toggle there is no angle: that is said of rod and arm.
                    let turned = linkage.at(end).map_or(0.0, |_| angle(linkage, end).max(pose(end).map_or(0.0, |pose| of_pose(&pose))));
                    (limit - angle(linkage, 0.0).max(turned)).to_degrees()
                })
            };
            results.traced(margin, 1 - way).and_then(spare)
        };
        let inner = |l: &Linkage, s: f64| l.at(s).map_or(0.0, |t| l.inner_joint(s, t));
        let inner = joint((1, of_inner), ResultId::InnerJointMargin, Field::InnerJointLimit, &inner, Pose::inner_joint_angle);
        let outer = |l: &Linkage, s: f64| l.outer_tilt(s).abs();
        let outer = joint((2, of_outer), ResultId::OuterJointMargin, Field::OuterJointLimit, &outer, |pose| pose.outer_joint_angle().abs());
        let mut set = |id, side, value: Traced| results.set(id, side, Traced { trace: value.trace.and(read), ..value });
        set(ResultId::TransmissionBumps, lock, level.and_then(|_| transmission.value).after(&transmission));
        set(ResultId::InnerJointBumps, 1 - way, inner);
        set(ResultId::OuterJointBumps, 1 - way, outer);
    }
    out
}

/// The results that need both corners, and those that are asked for besides.
const ROWS: [ResultId; 13] = [
    ResultId::BumpSteer,
    ResultId::BumpPeak,
    ResultId::BumpPeakAt,
    ResultId::RollSteer,
    ResultId::ShimMove,
    ResultId::ShimLeaves,
    ResultId::BestUp,
    ResultId::BestInboard,
    ResultId::BestLeaves,
    ResultId::LeastUp,
    ResultId::LeastInboard,
    ResultId::SlotLow,
    ResultId::SlotHigh,
];

/// The better places of both inner joints: they take longer than everything else, so they are worked out for what is shown alone.
pub fn add_places(bump: &mut Bump, results: &mut Results, x: &Recorder) {
    let limit = Traced::new(x.stage(|x| known(x.get(Field::BumpSteerMax), Field::BumpSteerMax)));
    let [left, right] = &bump.corners;
    let places = |corner: &Corner| limit.value.ok().map(|limit| corner.places([-bump.band, bump.band], limit));
    let first = places(left);
    let both = [first, if left.mirrors(right) { first } else { places(right) }];
    for (side, found) in both.into_iter().enumerate() {
        bump.places[side] = found.and_then(Result::ok);
        bump.note_lobes(side, bump.places[side]);
        let trace = results.trace(ResultId::BumpPeak, side).and(limit.trace);
        let found = found.map_or(limit.value.map(|_| None), |found| found.map(Some).map_err(ran_out));
        told(results, side, found, trace);
    }
}

/// What is told of the places: the result, the figure, and why there may be none.
type Told = (ResultId, fn(&Places) -> Option<f64>, Why);

const TOLD: [Told; 9] = {
    use ResultId::*;
    [
        (ShimMove, |p| p.height.map(|b| b.shift.up), Why::NoPlace),
        (ShimLeaves, |p| p.height.map(leaves), Why::NoPlace),
        (BestUp, |p| p.both.map(|b| b.shift.up), Why::NoPlace),
        (BestInboard, |p| p.both.map(|b| b.shift.inboard), Why::NoPlace),
        (BestLeaves, |p| p.both.map(leaves), Why::NoPlace),
        (LeastUp, |p| p.least.map(|e| e.shift.up), Why::NoneKeeps),
        (LeastInboard, |p| p.least.map(|e| e.shift.inboard), Why::NoneKeeps),
        (SlotLow, |p| p.slot.map(|s| s[0].shift.up), Why::NoneKeeps),
        (SlotHigh, |p| p.slot.map(|s| s[1].shift.up), Why::NoneKeeps),
    ]
};

fn leaves(better: Better) -> f64 {
    better.peak.change.abs().to_degrees()
}

fn told(results: &mut Results, side: usize, places: Result<Option<Places>, Gap>, trace: Trace) {
    for (id, figure, none) in TOLD {
        let value = match &places {
            Ok(Some(places)) => figure(places).ok_or(Gap::Unreachable(none)),
            Ok(None) => Err(Gap::Unreachable(none)),
            Err(gap) => Err(*gap),
        };
        results.set(id, side, Traced { value, trace });
    }
}

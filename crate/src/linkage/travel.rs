//! How far the rack may go each way, and what ends it.

use crate::catalogue::field::Field;
use crate::math::closure::Peaks;
use crate::math::each::Each;
use crate::plan::inputs::Source;
use crate::suspension::wheel::Wheel;
use std::f64::consts::FRAC_PI_2;

/// What can end the rack's travel. The wheel is 0 left, 1 right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The rack's own end, T/2 from mid-travel.
    Rack,
    /// A stop typed by the builder.
    Stop,
    /// The wanted reserve before that wheel's toggle.
    Toggle(usize),
    /// The wanted reserve before that wheel's fold-back.
    FoldBack(usize),
    /// The limit of that wheel's inner joint.
    InnerJoint(usize),
    /// The limit of that wheel's outer joint.
    OuterJoint(usize),
}

/// Everything that can end the travel, in the order in which ties are decided.
pub const ENDS: [End; 10] = [
    End::Rack,
    End::Stop,
    End::Toggle(0),
    End::Toggle(1),
    End::FoldBack(0),
    End::FoldBack(1),
    End::InnerJoint(0),
    End::InnerJoint(1),
    End::OuterJoint(0),
    End::OuterJoint(1),
];

/// How far a dead point may go, mm, and still be the same one: our own choice, far more than a thousandth of any reading's ± moves it.
const HAIR: f64 = 0.5;

/// What one wheel's linkage meets wherever the rack goes: rack displacements [to the right (≤ 0), to the left (≥ 0)].
///
/// It depends on the linkage and the inner joint's limit alone, and costs more than everything else together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeadPoints {
    /// Arm and rod in line.
    pub toggle: [Option<f64>; 2],
    /// Rod square to the rack.
    pub fold_back: [Option<f64>; 2],
    /// The inner joint at its limit; nowhere where none is given.
    pub joint: [Option<f64>; 2],
    /// Where the inner joint's angle is largest or smallest.
    pub peaks: Peaks,
    /// The inner joint's limit in radians.
    pub limit: Option<f64>,
}

impl DeadPoints {
    /// Those of one wheel; `limit` is that of its inner joint, in radians.
    pub fn of(wheel: &Wheel, limit: Option<f64>) -> DeadPoints {
        let l = &wheel.linkage;
        let toggle = l.toggles();
        let joint = limit.map_or([None; 2], |limit| match l.at(0.0) {
            Ok(t) if l.inner_joint(0.0, t) >= limit => [Some(0.0), Some(0.0)],
            _ => l.rod_angle_events(limit, toggle),
        });
        DeadPoints { toggle, fold_back: l.fold_backs(toggle), joint, peaks: l.inner_joint_peaks(), limit }
    }

    /// Those of a wheel that differs by hair's breadths from the one with these, at a fraction of the cost: each is followed to where it
    /// is now, new ones are not looked for. `None` where one of them has gone farther than that, or is no more.
    pub fn near(&self, wheel: &Wheel, limit: Option<f64>) -> Option<DeadPoints> {
        let (l, was) = (&wheel.linkage, self);
        // A joint past its limit at mid-travel is no event of the linkage.
        if was.limit.is_some() != limit.is_some() || was.joint == [Some(0.0); 2] {
            return None;
        }
        let toggle = l.toggles_near(was.toggle);
        let fold_back = l.rod_angle_events_near(FRAC_PI_2, toggle, was.fold_back);
        let joint = limit.map_or([None; 2], |limit| l.rod_angle_events_near(limit, toggle, was.joint));
        let peaks = l.inner_joint_peaks_near(&was.peaks);
        let same = |a: Option<f64>, b: Option<f64>| a.map_or(b.is_none(), |a| b.is_some_and(|b| (a - b).abs() < HAIR));
        let both = |a: [Option<f64>; 2], b: [Option<f64>; 2]| same(a[0], b[0]) && same(a[1], b[1]);
        let peaked = was.peaks.iter().zip(&peaks).all(|(a, b)| same(a.map(|p| p.0), b.map(|p| p.0)));
        (both(was.toggle, toggle) && both(was.fold_back, fold_back) && both(was.joint, joint) && peaked).then_some(DeadPoints {
            toggle,
            fold_back,
            joint,
            peaks,
            limit,
        })
    }

    /// Distance to the first of toggle and fold-back that way (0 right, 1 left), mm.
    pub fn first(&self, way: usize) -> Option<f64> {
        [self.toggle[way], self.fold_back[way]].into_iter().flatten().map(f64::abs).reduce(f64::min)
    }
}

/// Distances from mid-travel, one way, at which each of [`ENDS`] would end the travel; `None` where it never does.
pub type Distances = [Option<f64>; ENDS.len()];

/// The distances both ways, [to the right, to the left], in mm ≥ 0.
///
/// `reserve` is kept before a toggle or fold-back. A joint that is past its limit at mid-travel already ends the travel at 0.
pub fn distances(x: &dyn Source, travel: Option<f64>, wheels: &[Wheel; 2], dead: &[DeadPoints; 2], reserve: f64) -> [Distances; 2] {
    // A place past the toggle is none.
    let reached = |s: Option<f64>, toggle: Option<f64>| s.filter(|s| toggle.is_none_or(|t| s.abs() < t.abs()));
    let outer = [0, 1].each(|w| {
        let limits = outer_limit(x, &wheels[w]);
        [0, 1].each(|way| reached(limits[way], dead[w].toggle[way]))
    });
    [0, 1].each(|way| {
        ENDS.map(|end| match end {
            End::Rack => travel.map(|t| t / 2.0),
            End::Stop => x.get(if way == 1 { Field::StopLeft } else { Field::StopRight }),
            // Without a reserve it ends a hair before the toggle, where there still is a position.
            End::Toggle(w) => dead[w].toggle[way].map(|s| (s.abs() - if reserve > 0.0 { reserve } else { 1e-9 * s.abs() }).max(0.0)),
            End::FoldBack(w) => dead[w].fold_back[way].map(|s| (s.abs() - reserve).max(0.0)),
            End::InnerJoint(w) => dead[w].joint[way].map(f64::abs),
            End::OuterJoint(w) => outer[w][way].map(f64::abs),
        })
    })
}

/// The first of them: its place in [`ENDS`].
pub fn first(distances: &Distances) -> Option<usize> {
    let mut best: Option<(usize, f64)> = None;
    for (k, d) in distances.iter().enumerate() {
        if let Some(d) = *d
            && best.is_none_or(|(_, b)| d < b)
        {
            best = Some((k, d));
        }
    }
    best.map(|(k, _)| k)
}

/// Where the hardware ends that way: rack end or typed stop, whichever comes first.
pub fn hardware(distances: &Distances) -> Option<f64> {
    Some(distances[0]?.min(distances[1].unwrap_or(f64::INFINITY)))
}

/// Where the outer joint's tilt meets its limit. Without the height of the inner joints the tilt is not known, and ends nothing.
fn outer_limit(x: &dyn Source, wheel: &Wheel) -> [Option<f64>; 2] {
    match (x.get(Field::OuterJointLimit), x.get(Field::Height)) {
        (Some(limit), Some(_)) => wheel.linkage.outer_tilt_events(limit),
        _ => [None, None],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_end_wins_and_hardware_is_rack_end_or_stop() {
        let mut d: Distances = [None; ENDS.len()];
        assert_eq!((first(&d), hardware(&d)), (None, None));
        d[0] = Some(70.0);
        d[2] = Some(64.0);
        assert_eq!((first(&d).map(|k| ENDS[k]), hardware(&d)), (Some(End::Toggle(0)), Some(70.0)));
        d[1] = Some(60.0);
        assert_eq!((first(&d).map(|k| ENDS[k]), hardware(&d)), (Some(End::Stop), Some(60.0)));
    }
}

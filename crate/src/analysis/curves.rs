//! Results over the whole turn: toe-out against the inner wheel's angle, the ratio against the steering wheel.

use crate::catalogue::field::Field;
use crate::catalogue::result::ResultId;
use crate::linkage::ackermann::ideal_outer;
use crate::linkage::steering::{Solution, position};
use crate::plan::inputs::Inputs;
use std::f64::consts::TAU;

/// Points along each curve, ends included.
pub const POINTS: usize = 49;

/// Curves of one rack; each is empty where something it needs is missing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Curves {
    /// Toe-out on turns in degrees against the inner wheel's angle in degrees, [left turn, right turn], from straight to lock.
    pub toe_out: [Vec<(f64, f64)>; 2],
    /// The same for ideal Ackermann, to the larger of the two locks.
    pub ideal: Vec<(f64, f64)>,
    /// Overall steering ratio against turns of the steering wheel, left positive, from hard right to hard left. The bar is taken to move as
    /// the arms want it: a rack that goes the other way is the one turned end for end, as in every other figure.
    pub ratio: Vec<(f64, f64)>,
    /// Whether left and right turns differ by more than 0.01° anywhere.
    pub differ: bool,
}

/// The curves of a solved rack; `x` are the inputs it was solved from.
pub fn curves(x: &Inputs, solution: &Solution) -> Curves {
    let mut out = Curves::default();
    let (Some(wheels), Some(direction)) = (&solution.wheels, solution.direction) else { return out };
    let results = &solution.results;
    let get = |name, side| results.get(name, side).ok();
    let (Some(left), Some(right)) = (get(ResultId::UsableTravel, 0), get(ResultId::UsableTravel, 1)) else { return out };
    let Ok(centre) = position(wheels, 0.0) else { return out };
    let share = |k: usize| k as f64 / (POINTS - 1) as f64;
    for side in 0..2 {
        let turn = if side == 0 { 1.0 } else { -1.0 };
        let reach = if turn * direction > 0.0 { left } else { -right };
        out.toe_out[side].extend((0..POINTS).filter_map(|k| {
            let p = position(wheels, reach * share(k)).ok()?;
            let angle = |w: usize| (p.steer[w] - centre.steer[w]).abs().to_degrees();
            Some((angle(side), angle(side) - angle(1 - side)))
        }));
    }
    out.differ = differ(&out.toe_out);
    let largest = out.toe_out.iter().flatten().map(|p| p.0).fold(0.0, f64::max);
    if let (Some(w), Some(l)) = (get(ResultId::AxisSpacingGround, 0), x.get(Field::Wheelbase)) {
        out.ideal.extend((0..POINTS).map(|k| {
            let inner = largest * share(k);
            (inner, inner - ideal_outer(inner.to_radians(), w, l).to_degrees())
        }));
    }
    if let Some(c) = get(ResultId::TravelPerTurn, 0) {
        let hand = direction;
        let (from, to) = if hand > 0.0 { (-right, left) } else { (left, -right) };
        out.ratio.extend((0..POINTS).filter_map(|k| {
            let s = from + (to - from) * share(k);
            let rate = position(wheels, s).ok()?.rate;
            let ratio = TAU / c / ((rate[0] + rate[1]) / 2.0).abs();
            ratio.is_finite().then_some((hand * s / c, ratio))
        }));
    }
    out
}

fn differ(toe_out: &[Vec<(f64, f64)>; 2]) -> bool {
    let [l, r] = toe_out;
    l.len() != r.len() || l.iter().zip(r).any(|(a, b)| (a.0 - b.0).abs() > 0.01 || (a.1 - b.1).abs() > 0.01)
}

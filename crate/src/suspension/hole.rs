//! The hole that a tie rod needs in a frame rail: a plane along the car, or two, that the rod passes through wherever wheel and rack go.
//!
//! Where the rod's line meets a plane it leaves an ellipse: half-diameter ρ of what passes, with the room round it, over |n_y| the longest way,
//! n the rod's direction. The circle holds circles of that radius about every place (the safe side); the rectangle holds the ellipses exactly.

use crate::math::each::Each;
use crate::suspension::RanOut;
use crate::suspension::corner::Corner;

/// What leaves its mark on the rail: a wheel travel, mm, and how far the rack is on its way from right to left, 0…1.
pub type Spot = [f64; 2];

/// The hole of one rod, mm ahead of and above the tie-rod end at ride height.
#[derive(Debug, Clone, PartialEq)]
pub struct Hole {
    /// Middle of the smallest circle.
    pub middle: [f64; 2],
    /// Its diameter.
    pub diameter: f64,
    /// Rear, front, low and high edge of the smallest upright rectangle.
    pub edges: [f64; 4],
    /// The places that make it so large: those of the circle, then one of each edge.
    pub by: Vec<Spot>,
}

/// Of [`Hole::by`] those of the circle.
pub fn round(by: &[Spot]) -> &[Spot] {
    &by[..by.len().saturating_sub(4)]
}

/// Why there is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoHole {
    /// A position cannot be reached.
    RanOut(RanOut),
    /// A joint of the rod comes through the plane itself.
    Joint,
}

/// A mark on a plane: its middle, its radius as a circle, its half-extents.
#[derive(Debug, Clone, Copy)]
struct Mark {
    at: [f64; 2],
    radius: f64,
    half: [f64; 2],
    by: Spot,
}

/// Steps of the travel band, and of the rack, at which the rod is looked at.
const STEPS: usize = 16;
/// Nearer than this a mark lies within the circle, mm.
const WITHIN: f64 = 1e-9;

impl Corner {
    /// The hole through the planes at these distances from the middle of the car for a rod of half-diameter `rho`, room included, over the
    /// travel band ± `band` and the rack from and to; all in mm.
    pub fn hole(&self, planes: &[f64], rho: f64, band: f64, rack: [f64; 2]) -> Result<Hole, NoHole> {
        let share = |k: usize| k as f64 / STEPS as f64;
        let all: Vec<Spot> = (0..=STEPS).flat_map(|i| (0..=STEPS).map(move |k| [band * (2.0 * share(i) - 1.0), share(k)])).collect();
        self.hole_of(planes, rho, rack, &all)
    }

    /// The same from these places alone.
    pub fn hole_of(&self, planes: &[f64], rho: f64, [from, to]: [f64; 2], spots: &[Spot]) -> Result<Hole, NoHole> {
        let end = self.points().outer;
        let mut marks = Vec::new();
        for &by in spots {
            let pose = self.at_travel(by[0], from + (to - from) * by[1]).map_err(NoHole::RanOut)?;
            let n = (pose.outer - pose.inner).unit();
            for plane in planes {
                // How far along the rod from its inner joint; mirrored to the left, so that outboard is up in y.
                let t = (plane - pose.inner.y) / (pose.outer.y - pose.inner.y);
                if !(t > 0.0 && t < 1.0) {
                    return Err(NoHole::Joint);
                }
                let at = pose.inner + (pose.outer - pose.inner) * t - end;
                let radius = rho / n.y.abs();
                let half = [radius * (1.0 - n.z * n.z).sqrt(), radius * (1.0 - n.x * n.x).sqrt()];
                marks.push(Mark { at: [at.x, at.z], radius, half, by });
            }
        }
        circle(&marks).ok_or(NoHole::Joint)
    }
}

/// How far a circle about `middle` has to reach for a mark.
fn reach(mark: &Mark, middle: [f64; 2]) -> f64 {
    (mark.at[0] - middle[0]).hypot(mark.at[1] - middle[1]) + mark.radius
}

/// The smallest circle that holds two marks, neither within the other.
fn of_two(a: &Mark, b: &Mark) -> ([f64; 2], f64) {
    let [dx, dz] = [0, 1].each(|k| b.at[k] - a.at[k]);
    let d = dx.hypot(dz);
    if d + b.radius <= a.radius {
        return (a.at, a.radius);
    }
    if d + a.radius <= b.radius {
        return (b.at, b.radius);
    }
    let radius = (d + a.radius + b.radius) / 2.0;
    let t = (radius - a.radius) / d;
    ([a.at[0] + t * dx, a.at[1] + t * dz], radius)
}

/// The circle that touches three marks from around them.
fn of_three([a, b, c]: [&Mark; 3]) -> Option<([f64; 2], f64)> {
    // |m − p| = R − r for each; the differences of their squares are linear in m and R.
    let row = |p: &Mark| {
        let [x, z] = [0, 1].each(|k| p.at[k] - a.at[k]);
        let r = p.radius - a.radius;
        (x, z, r, (x * x + z * z - r * r) / 2.0)
    };
    let ((x1, z1, r1, s1), (x2, z2, r2, s2)) = (row(b), row(c));
    let det = x1 * z2 - x2 * z1;
    // m − a = u + v·ρ with ρ = R − r_a.
    let solve = |p: f64, q: f64| [(p * z2 - q * z1) / det, (x1 * q - x2 * p) / det];
    let (u, v) = (solve(s1, s2), solve(r1, r2));
    let (qa, qb, qc) = (v[0] * v[0] + v[1] * v[1] - 1.0, u[0] * v[0] + u[1] * v[1], u[0] * u[0] + u[1] * u[1]);
    let root = (qb * qb - qa * qc).sqrt();
    let rho = [(-qb - root) / qa, (-qb + root) / qa].into_iter().filter(|rho| *rho >= 0.0).fold(f64::INFINITY, f64::min);
    rho.is_finite().then(|| ([0, 1].each(|k| a.at[k] + u[k] + v[k] * rho), rho + a.radius))
}

/// The smallest circle round all marks, and the smallest upright rectangle; `None` without a mark.
///
/// The circle is that of at most three of them: one that it leaves out takes the place of one that it does not need, until none is left out.
fn circle(marks: &[Mark]) -> Option<Hole> {
    let mut basis: Vec<&Mark> = vec![marks.first()?];
    let mut best = (basis[0].at, basis[0].radius);
    for _ in 0..8 * marks.len() {
        let out = marks.iter().max_by(|a, b| reach(a, best.0).total_cmp(&reach(b, best.0)))?;
        if !(reach(out, best.0) > best.1 + WITHIN) {
            break;
        }
        let all: Vec<&Mark> = basis.iter().copied().chain([out]).collect();
        let mut tried = Vec::new();
        for (i, a) in all.iter().enumerate() {
            for (k, b) in all.iter().enumerate().skip(i + 1) {
                tried.push((Some(of_two(a, b)), vec![*a, *b]));
                tried.extend(all[k + 1..].iter().map(|c| (of_three([a, b, c]), vec![*a, *b, *c])));
            }
        }
        let holds = |held: ([f64; 2], f64)| all.iter().all(|m| reach(m, held.0) <= held.1 + WITHIN);
        let holding = tried.into_iter().filter_map(|(held, of)| Some((held.filter(|held| holds(*held))?, of)));
        let (held, of) = holding.reduce(|a, b| if b.0.1 < a.0.1 { b } else { a })?;
        (best, basis) = (held, of);
    }
    let mut edges = [f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY];
    let mut at_edges = [marks[0]; 4];
    for mark in marks {
        for k in 0..4 {
            let (axis, sign) = (k / 2, if k % 2 == 0 { -1.0 } else { 1.0 });
            let edge = mark.at[axis] + sign * mark.half[axis];
            if sign * edge > sign * edges[k] {
                (edges[k], at_edges[k]) = (edge, *mark);
            }
        }
    }
    let by = basis.iter().map(|m| m.by).chain(at_edges.iter().map(|m| m.by)).collect();
    Some(Hole { middle: best.0, diameter: 2.0 * best.1, edges, by })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against a search over middles: the reach of the farthest mark is convex.
    #[test]
    fn the_circle_is_the_smallest() {
        let mut seed = 7_u64;
        let mut next = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 11) as f64 / (1_u64 << 53) as f64
        };
        for round in 0..200 {
            let flat = if round % 3 == 0 { 0.0 } else { 30.0 };
            let marks: Vec<Mark> = (0..2 + round % 40)
                .map(|_| Mark { at: [100.0 * next() - 50.0, flat * next()], radius: 10.0 + 2.0 * next(), half: [10.0, 11.0], by: [0.0; 2] })
                .collect();
            let hole = circle(&marks).unwrap();
            let most = |m: [f64; 2]| marks.iter().map(|mark| reach(mark, m)).fold(0.0, f64::max);
            assert!((most(hole.middle) - hole.diameter / 2.0).abs() < 1e-7, "round {round}: it holds them all");
            let (mut at, mut step) = (hole.middle, 8.0);
            while step > 1e-7 {
                let near =
                    (0..16).map(|k| f64::from(k) * std::f64::consts::PI / 8.0).map(|a| [at[0] + step * a.cos(), at[1] + step * a.sin()]);
                let better = near.min_by(|a, b| most(*a).total_cmp(&most(*b))).unwrap();
                if most(better) < most(at) { at = better } else { step /= 2.0 }
            }
            assert!(hole.diameter / 2.0 <= most(at) + 1e-6, "round {round}: {} but {}", hole.diameter / 2.0, most(at));
        }
    }
}

//! The room between a turned tyre and what stands beside it: a cylinder about the wheel's spin axis against blocks of the car.
//!
//! Where the tyre's innermost place lies beside the block's outer face, the room is how far apart these two are; elsewhere it is the distance of
//! two convex bodies: the shortest vector in the difference of both, found by its furthest places (Gilbert, Johnson and Keerthi 1988, from memory).

use crate::math::each::Each;
use crate::math::root::summit;
use crate::math::vector::Vec3;
use crate::math::within;
use crate::suspension::RanOut;
use crate::suspension::corner::Corner;
use crate::suspension::pose::Pose;

/// A tyre as a cylinder, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tyre {
    /// Outer radius.
    pub radius: f64,
    /// Half the section width.
    pub half: f64,
}

/// What of the car a tyre may meet, as a left wheel has it beside it: everything from the middle of the car as far as `out`; mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// Forward, from and to; may be infinite.
    pub ahead: [f64; 2],
    /// How far out from the middle of the car.
    pub out: f64,
    /// Up, from and to; may be infinite.
    pub up: [f64; 2],
}

/// Where a corner stands: how far the lower arm is on its way from the lowest to the highest place of the band, 0…1, and the rack on its way
/// from the right to the left, 0…1.
pub type Place = [f64; 2];

impl Block {
    /// As much of it as may be nearest to what lies within `far` of a place, from and to along each axis: edges without end would cost digits.
    fn beside(&self, place: Vec3, far: f64) -> [[f64; 2]; 3] {
        let near = |[from, to]: [f64; 2], at: f64| [from.max((at - far).min(to)), to.min((at + far).max(from))];
        [near(self.ahead, place.x), near([-self.out, self.out], place.y), near(self.up, place.z)]
    }
}

/// The furthest place of a box in a direction.
fn furthest_of(block: &[[f64; 2]; 3], n: Vec3) -> Vec3 {
    let end = |[from, to]: [f64; 2], n: f64| if n > 0.0 { to } else { from };
    Vec3::new(end(block[0], n.x), end(block[1], n.y), end(block[2], n.z))
}

impl Tyre {
    /// Its furthest place in a direction.
    fn furthest(&self, pose: &Pose, n: Vec3) -> Vec3 {
        let along = n.dot(pose.spin);
        let across = n - pose.spin * along;
        let size = across.norm();
        // Square to the sidewall all of it is as far; what rounding leaves of a direction across is none.
        let rim = if size > 1e-9 * along.abs() { across * (self.radius / size) } else { Vec3::default() };
        pose.centre + pose.spin * (self.half * along.signum()) + rim
    }

    /// How far apart tyre and block are along the axis on which that is most: no farther than they are.
    fn at_least(&self, pose: &Pose, block: &Block) -> f64 {
        let apart = |axis: Vec3, [from, to]: [f64; 2]| {
            let ends = [axis * -1.0, axis].each(|n| self.furthest(pose, n).dot(axis));
            (from - ends[1]).max(ends[0] - to)
        };
        apart(Vec3::new(1.0, 0.0, 0.0), block.ahead).max(apart(Vec3::LEFT, [-block.out, block.out])).max(apart(Vec3::UP, block.up))
    }

    /// The room between the tyre of a wheel and a block, mm; nought where they touch or overlap.
    pub fn room(&self, pose: &Pose, block: &Block) -> f64 {
        let inmost = self.furthest(pose, Vec3::LEFT * -1.0);
        let beside = |at: f64, [from, to]: [f64; 2]| from <= at && at <= to;
        if beside(inmost.x, block.ahead) && beside(inmost.z, block.up) {
            return (inmost.y - block.out).max(0.0);
        }
        let block = block.beside(pose.centre, self.radius + self.half);
        let furthest = |n: Vec3| self.furthest(pose, n) - furthest_of(&block, n * -1.0);
        let mut shortest = furthest(Vec3::LEFT * -1.0);
        let (mut hull, mut apart) = (vec![shortest], false);
        for _ in 0..100 {
            let next = furthest(shortest * -1.0);
            let (size, least) = (shortest.dot(shortest), shortest.dot(next));
            // A plane between them: from here on no four places lie round the origin, whatever rounding says.
            apart |= least > 0.0;
            if size - least <= 1e-13 * size {
                break;
            }
            hull.push(next);
            let (mut shorter, mut kept) = (shortest, 0);
            for mask in 1..1_usize << hull.len() {
                let at = between(&hull, mask).filter(|at| at.dot(*at) < shorter.dot(shorter) && !(apart && mask == 15));
                (shorter, kept) = at.map_or((shorter, kept), |at| (at, mask));
            }
            if kept == 15 || shorter.dot(shorter) < 1e-18 {
                return 0.0;
            }
            if kept == 0 {
                break;
            }
            shortest = shorter;
            let mut k = 0;
            hull.retain(|_| {
                k += 1;
                kept >> (k - 1) & 1 == 1
            });
        }
        shortest.norm()
    }
}

/// The place nearest to the origin on the line, plane or room through those of `hull` in the `mask`, where it lies between them.
fn between(hull: &[Vec3], mask: usize) -> Option<Vec3> {
    let first = hull[mask.trailing_zeros() as usize];
    let (mut arms, mut n) = ([Vec3::default(); 3], 0);
    for (k, at) in hull.iter().enumerate() {
        if mask >> k & 1 == 1 && 1 << k != mask & mask.wrapping_neg() {
            arms[n] = *at - first;
            n += 1;
        }
    }
    // Normal equations, by elimination: their matrix has no negative pivot.
    let mut rows = [0, 1, 2].each(|i| [arms[i].dot(arms[0]), arms[i].dot(arms[1]), arms[i].dot(arms[2]), -arms[i].dot(first)]);
    for i in 0..n {
        let pivot = rows[i];
        if !(pivot[i] > 1e-12 * arms[i].dot(arms[i])) {
            return None;
        }
        for (k, row) in rows[..n].iter_mut().enumerate() {
            let times = if k == i { 1.0 - 1.0 / pivot[i] } else { row[i] / pivot[i] };
            for c in 0..4 {
                row[c] -= times * pivot[c];
            }
        }
    }
    let (mut at, mut sum) = (first, 0.0);
    for i in 0..n {
        let share = rows[i][3];
        if !(share >= 0.0) {
            return None;
        }
        (at, sum) = (at + arms[i] * share, sum + share);
    }
    (sum <= 1.0).then_some(at)
}

/// A corner with its tyre and what stands beside it.
#[derive(Debug, Clone)]
pub struct Beside<'a> {
    corner: &'a Corner,
    tyre: Tyre,
    blocks: Vec<Block>,
    /// The lower arm's angle at the lowest and at the highest place of the band, wheels straight.
    arm: [f64; 2],
}

/// Steps of the arm's way at which the room is looked at first; of the rack's there are twice as many, and four times where a place is looked for.
const STEPS: u8 = 8;

impl<'a> Beside<'a> {
    /// Over the travel band ± `band` mm.
    pub fn new(corner: &'a Corner, tyre: Tyre, blocks: Vec<Block>, band: f64) -> Result<Beside<'a>, RanOut> {
        Ok(Beside { corner, tyre, blocks, arm: [corner.arm_at(-band, 0.0)?, corner.arm_at(band, 0.0)?] })
    }

    /// The room with the lower arm `up` of its way, 0…1, and the rack at `s` mm.
    pub fn room(&self, up: f64, s: f64) -> Result<f64, RanOut> {
        let pose = self.corner.at_arm(self.arm[0] + (self.arm[1] - self.arm[0]) * up, s)?;
        let mut least = f64::INFINITY;
        for block in &self.blocks {
            if self.tyre.at_least(&pose, block) < least {
                least = least.min(self.tyre.room(&pose, block));
            }
        }
        Ok(least)
    }

    /// The least room with the rack from `right` to `left`, mm, and where that is.
    pub fn least(&self, [right, left]: [f64; 2]) -> Result<(f64, Place), RanOut> {
        let mut best = (f64::INFINITY, [0.0; 2]);
        let mut look = |place: Place| {
            let room = self.room(place[0], right + (left - right) * place[1])?;
            if room < best.0 {
                best = (room, place);
            }
            Ok(best)
        };
        for i in 0..=STEPS {
            for k in 0..=2 * STEPS {
                look([f64::from(i) / f64::from(STEPS), f64::from(k) / f64::from(2 * STEPS)])?;
            }
        }
        // From there to whichever neighbour has less, by ever smaller steps.
        let mut step = 0.5 / f64::from(STEPS);
        while step > 1e-5 {
            let was = look([0.0; 2])?;
            for by in [[step, 0.0], [-step, 0.0], [0.0, step], [0.0, -step]] {
                look([0, 1].each(|k| within(was.1[k] + by[k], 0.0, 1.0)))?;
            }
            if look([0.0; 2])? == was {
                step /= 2.0;
            }
        }
        Ok(best)
    }

    /// The least room with the rack at `s` mm, and how far up the arm is then.
    fn lowest(&self, s: f64) -> Result<(f64, f64), RanOut> {
        let mut best = (f64::INFINITY, 0.0);
        for i in 0..=STEPS {
            let up = f64::from(i) / f64::from(STEPS);
            let room = self.room(up, s)?;
            best = if room < best.0 { (room, up) } else { best };
        }
        let step = 1.0 / f64::from(STEPS);
        let range = [(best.1 - step).max(0.0), (best.1 + step).min(1.0)];
        let (up, less) = summit(range, 10, &mut |up| self.room(up, s).map_or(f64::NEG_INFINITY, |room| -room));
        Ok(if -less < best.0 { (-less, up) } else { best })
    }

    /// Where the rack, going from the middle towards `end`, mm, first leaves no more room than each of `wanted`; `None` where it leaves more all
    /// the way.
    ///
    /// A tyre may touch in passing: a valley between two steps is looked into.
    pub fn until(&self, wanted: [f64; 2], end: f64) -> Result<[Option<Until>; 2], RanOut> {
        let steps = 4 * STEPS;
        let at = |k: u8| end * f64::from(k) / f64::from(steps);
        // Each step, and each valley, in their order.
        let mut seen: Vec<(f64, f64)> = Vec::new();
        for k in 0..=steps {
            let here = (at(k), self.lowest(at(k))?.0);
            if let [.., a, b] = seen[..]
                && b.1 <= a.1
                && b.1 <= here.1
            {
                let far = [a.0, here.0];
                let (s, less) = summit(far, 12, &mut |s| self.lowest(s).map_or(f64::NEG_INFINITY, |low| -low.0));
                seen.insert(seen.len() - usize::from(s.abs() < b.0.abs()), (s, -less));
            }
            seen.push(here);
        }
        let first = |wanted: f64| -> Result<Option<Until>, RanOut> {
            let Some(k) = seen.iter().position(|(_, room)| *room <= wanted) else { return Ok(None) };
            let (mut from, mut to) = (seen[k.saturating_sub(1)].0, seen[k].0);
            let mut up = self.lowest(to)?.1;
            for k in 0..26 {
                let middle = (from + to) / 2.0;
                // At first the arm may be elsewhere when the tyre comes as near.
                let room = if k < 6 { self.lowest(middle)? } else { (self.room(up, middle)?, up) };
                (from, to, up) = if room.0 <= wanted { (from, middle, room.1) } else { (middle, to, up) };
            }
            let before = from - from.signum() * HAIR;
            let room = self.room(up, before)?;
            let slope = (self.room(up, before - from.signum() * HAIR)? - room) / HAIR;
            Ok(Some(Until { far: from.abs(), up, before, room, slope }))
        };
        let [a, b] = wanted.each(first);
        Ok([a?, b?])
    }

    /// How far that is of a corner that differs by a hair's breadth from the one of which `near` was found: to first order.
    pub fn until_near(&self, near: &Until) -> Result<f64, RanOut> {
        Ok(near.far + (self.room(near.up, near.before)? - near.room) / near.slope)
    }
}

/// Where a tyre first comes as near as was asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Until {
    /// How far the rack has gone from the middle, mm.
    pub far: f64,
    up: f64,
    /// A hair's breadth before it, mm, the room there, and what is lost of it a millimetre.
    before: f64,
    room: f64,
    slope: f64,
}

/// That hair's breadth, mm.
const HAIR: f64 = 0.1;

#[cfg(test)]
mod tests {
    use super::*;

    /// The least value of a convex function between two ends.
    fn least(f: &dyn Fn(f64) -> f64, [mut from, mut to]: [f64; 2]) -> f64 {
        for _ in 0..40 {
            let (a, b) = (from + (to - from) * 0.381_966_011_250_105, from + (to - from) * 0.618_033_988_749_895);
            if f(a) < f(b) { to = b } else { from = a }
        }
        f((from + to) / 2.0)
    }

    /// Against a search over all places of the block, one axis within the other: how far a place is from a cylinder is convex in it.
    #[test]
    fn the_room_is_the_shortest_distance() {
        let mut seed = 11_u64;
        let mut next = |from: f64, to: f64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            from + (to - from) * (seed >> 11) as f64 / (1_u64 << 53) as f64
        };
        let mut apart = 0;
        for round in 0..60 {
            let (steer, lean) = (next(-0.8, 0.8), next(-0.15, 0.15));
            let spin = Vec3::new(steer.sin() * lean.cos(), steer.cos() * lean.cos(), lean.sin());
            let centre = Vec3::new(next(-20.0, 20.0), next(500.0, 800.0), next(250.0, 400.0));
            let tyre = Tyre { radius: next(230.0, 380.0), half: next(60.0, 130.0) };
            let (x, z, sizes) = (next(-400.0, 300.0), next(0.0, 500.0), [next(5.0, 200.0), next(5.0, 200.0)]);
            let block = Block { ahead: [x, x + sizes[0]], out: next(300.0, 600.0), up: [z, z + sizes[1]] };
            let v = Vec3::default();
            let pose = Pose {
                side: 1.0,
                ball: v,
                top: v,
                axis: Vec3::UP,
                spin,
                centre,
                contact: v,
                outer: v,
                inner: v,
                reference: [v; 2],
                q: 0.0,
            };
            let far = |at: Vec3| {
                let from = at - centre;
                let along = from.dot(spin);
                (along.abs() - tyre.half).max(0.0).hypot(((from - spin * along).norm() - tyre.radius).max(0.0))
            };
            let found = least(&|z| least(&|x| least(&|y| far(Vec3::new(x, y, z)), [-block.out, block.out]), block.ahead), block.up);
            let room = tyre.room(&pose, &block);
            assert!((room - found).abs() < 1e-5 * found.max(1.0), "round {round}: {room}, not {found}");
            apart += usize::from(found > 0.0);
        }
        assert!((15..55).contains(&apart), "{apart} apart");
    }
}

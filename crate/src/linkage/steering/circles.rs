//! What lies beyond the linkage: Ackermann and the circles that the wheels draw.

use super::*;

/// The readings that nothing but the circles looks up.
pub(super) const SIZES: [Field; 8] = [
    Field::Wheelbase,
    Field::TyreWidth,
    Field::CornerAhead,
    Field::CornerWidth,
    Field::SecondCornerAhead,
    Field::SecondCornerWidth,
    Field::RearTyreWidth,
    Field::RearTrack,
];

/// The results of each lock that rest on the angles there, the axes and the sizes of the car alone.
const CIRCLES: [ResultId; 9] = [
    ResultId::IdealOuter,
    ResultId::AckermannAngle,
    ResultId::AckermannCotangent,
    ResultId::CircleCentre,
    ResultId::CircleOuterRules,
    ResultId::CircleInnerRules,
    ResultId::CircleEdge,
    ResultId::WallToWall,
    ResultId::RearInnerEdge,
];

/// What lies beyond the linkage: Ackermann and the circles, from the angles at lock, the axes and the sizes of the car. A lock at which
/// `near` has all of that the same is taken over.
pub(super) fn circles(out: &mut Solution, x: &Recorder, near: Option<&Solution>) {
    out.results.set(ResultId::HousingRoom, 0, Traced::new(x.stage(|x| room(x))));
    out.sizes.iter_mut().zip(SIZES).for_each(|(size, field)| *size = x.get(field));
    let near = near.filter(|n| n.sizes == out.sizes && n.turning == out.turning);
    let axes = [ResultId::AxisSpacingGround, ResultId::ScrubRadius];
    let near = near.filter(|n| axes.iter().all(|&id| n.results.traced(id, 0) == out.results.traced(id, 0)));
    let results = &mut out.results;
    let wheelbase = reading(x, Field::Wheelbase);
    let arms = Traced::new(x.stage(|x| arms(x)));
    let at_rod = results.traced(ResultId::AxisSpacingRodEnd, 0);
    let chalk = together([arms.map(|a| a[0].ahead), arms.map(|a| a[0].inboard), at_rod, wheelbase]);
    let chalk =
        chalk.and_then(
            |[e, f, w, l]| {
                if f == 0.0 { Err(Gap::Unreachable(Why::NeverMeets)) } else { Ok(100.0 * ackermann::chalk_line(e, f, w, l)) }
            },
        );
    results.set(ResultId::ChalkLine, 0, chalk);
    let ground = results.traced(ResultId::AxisSpacingGround, 0);
    let limit = match out.turning.value {
        Err(gap @ Gap::Unreachable(Why::Opposed)) => Traced { value: Err(gap), trace: out.turning.trace },
        _ => {
            let (axes, alike) = (together([out.turning, ground, wheelbase]), Traced::new(x.stage(|x| Ok(is_alike(x)))));
            let left = out.wheels.map(|w| w[0]);
            axes.and_then(|[_, w, l]| ackermann_limit(alike.value?, left, w, l)).after(&alike)
        }
    };
    results.set(ResultId::AckermannLimit, 0, limit);
    for side in 0..2 {
        match near.filter(|n| n.locks[side] == out.locks[side]) {
            Some(near) => CIRCLES.iter().for_each(|&id| results.set(id, side, near.results.traced(id, side))),
            None => circles_at_lock(results, x, wheelbase, out.turning, out.locks[side], side),
        }
    }
}

/// Whether the car is alike left and right, and its rods are made to fit.
fn is_alike(x: &Recorder) -> bool {
    let differs = [Field::RightArmForeAft, Field::RightArmInboard, Field::RodLength].iter().any(|&f| x.get(f).is_some());
    let right = |joint: &Joint| joint.fields()[1].iter().any(|&f| x.get(f).is_some());
    let differs = differs || x.has_points() && Joint::ALL.iter().any(right);
    !differs && x.get(Field::Offset).unwrap_or(0.0) == 0.0
}

fn ackermann_limit(alike: bool, wheel: Option<Wheel>, w: f64, l: f64) -> Value {
    let rates = wheel.filter(|_| alike).and_then(|wheel| Some(wheel.rates(0.0, wheel.linkage.at(0.0).ok()?)));
    rates.map(|r| ackermann::limit(r, w, l)).ok_or(Gap::Unreachable(Why::NotAlike))
}

/// Ackermann and the circles of one lock.
fn circles_at_lock(results: &mut Results, x: &Recorder, wheelbase: Traced, turning: Traced, angles: Traced<LockAngles>, side: usize) {
    let axes = [ResultId::AxisSpacingGround, ResultId::ScrubRadius].each(|id| results.traced(id, 0));
    let mut set = |id: ResultId, result: Traced| {
        let result = match turning.value {
            Err(gap @ Gap::Unreachable(Why::Opposed)) => Traced { value: Err(gap), trace: turning.trace },
            _ => result,
        };
        results.set(id, side, result);
    };
    let [ground, scrub] = axes;
    let (inner, outer) = (angles.map(|a| a.inner), angles.map(|a| a.outer));
    let ideal = together([inner, ground, wheelbase]).map(|[i, w, l]| ackermann::ideal_outer(i, w, l).to_degrees());
    set(ResultId::IdealOuter, ideal);
    let four = together([inner, outer, ground, wheelbase]);
    set(ResultId::AckermannAngle, four.map(|[i, o, w, l]| ackermann::by_angle(i, o, w, l)));
    set(ResultId::AckermannCotangent, four.map(|[i, o, w, l]| ackermann::by_cotangent(i, o, w, l)));

    let turn = if side == 0 { 1.0 } else { -1.0 };
    let needs = together([wheelbase, ground, scrub, inner]);
    let lock = needs.and_then(|[wheelbase, spacing, scrub, _]| Ok(Lock { wheelbase, spacing, scrub, steer: angles.value?.steer, turn }));
    let circle = lock.and_then(|l| l.circle().ok_or(Gap::Unreachable(Why::NoTurn)));
    set(ResultId::CircleCentre, circle.map(|k| k.mean));
    set(ResultId::CircleOuterRules, circle.map(|k| k.outer_rules));
    set(ResultId::CircleInnerRules, circle.map(|k| k.inner_rules));
    let turned = circle.and_then(|_| lock.value);
    // What a circle needs besides is asked for once there is a turn at all.
    let with = |more: Traced, f: &dyn Fn(Lock, f64) -> f64| match turning.value {
        Ok(_) => together([turned.map(|_| 0.0), more]).and_then(|[_, m]| Ok(f(turned.value?, m))),
        Err(_) => turned.map(|_| 0.0),
    };
    let width = reading(x, Field::TyreWidth);
    set(ResultId::CircleEdge, with(width, &|l, b| l.edge(b)));
    let corners = [(Field::CornerAhead, Field::CornerWidth), (Field::SecondCornerAhead, Field::SecondCornerWidth)];
    let corners = corners.each(|(a, b)| together([reading(x, a), reading(x, b)]));
    let corner = if corners[1].value.is_ok() { corners[1] } else { corners[0] };
    let furthest = |l: Lock| {
        let tyre = width.value.map_or_else(|_| circle.value.map_or(0.0, |c| c.mean), |b| l.edge(b));
        corners.iter().filter_map(|c| c.value.ok()).map(|[a, b]| l.wall(a, b)).fold(tyre, f64::max)
    };
    let wall = with(corner.map(|c| c[0]), &|l, _| furthest(l));
    set(ResultId::WallToWall, wall.after(&width).after(&corners[0]).after(&corners[1]));
    let tyre = match x.get(Field::RearTyreWidth) {
        Some(_) => reading(x, Field::RearTyreWidth),
        None => width.after(&reading(x, Field::RearTyreWidth)),
    };
    let rear = together([reading(x, Field::RearTrack), tyre]);
    let inner_edge = match (rear.value, turning.value) {
        (Ok([track, width]), _) => turned.map(|l| l.rear_inner(track, width)),
        (Err(gap), Ok(_)) => together([turned.map(|_| 0.0), Traced { value: Err(gap), trace: rear.trace }]).map(|v| v[0]),
        (Err(_), Err(_)) => turned.map(|_| 0.0),
    };
    set(ResultId::RearInnerEdge, inner_edge.after(&rear));
}

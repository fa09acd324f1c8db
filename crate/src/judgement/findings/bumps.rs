//! The demand on the wheels over bumps.

use super::*;
use crate::measurement::figure::small_degrees;

pub(super) fn over_bumps(case: &Case, out: &mut Vec<Finding>) {
    // Until a point was measured nothing is said of bumps.
    if !case.x().has_points() {
        return;
    }
    let demand = DemandId::BumpSteer.row();
    let origin = origin_of(case, demand);
    for (side, place) in case.sides(demand.result) {
        let word = words_of(place, &["left wheel", "right wheel", ""]);
        let who = ["the left wheel", "the right wheel", "each wheel"][place];
        if is_off(case, demand) {
            out.push(turned_off(case, demand, (side, word), &format!("Toe change over bumps, {who}")));
            continue;
        }
        let (value, limit) = match (case.get(demand.result, side), limit_of(case, demand)) {
            (Ok(v), Ok(l)) => (v, l),
            (Err(gap), _) | (_, Err(gap)) => {
                out.push(missing(demand.finding, word, "Bump steer", gap, case.readings, origin));
                continue;
            }
        };
        let judged = Judged::of(case, demand, side, value, limit);
        let shown = case.shown(demand.result, side);
        let travel = length(case.x().get(Field::BumpTravel).unwrap_or(0.0));
        let slope = case.get(ResultId::BumpSteer, side).unwrap_or(0.0);
        let way = if slope >= 0.0 { "in" } else { "out" };
        let reason = Text::fill(
            "Over {} of wheel travel up and down, the rack held; {} is allowed. Going up from ride height it toes {}.",
            &[&travel, &small_degrees(limit), &way],
        );
        let (head, title, remedy) = match judged.kind {
            Kind::Pass => ("keeps its toe over bumps", "Toe of {} changes by {} over bumps", Text::default()),
            Kind::Close => (
                "bump steer too close to call",
                "Bump steer too close to call: toe of {} changes by {}",
                measure_again(case, demand.result, side),
            ),
            _ => ("steers by itself over bumps", "Bump steer: toe of {} changes by {}", Text::default()),
        };
        let say = say(head, title, &[&who, &shown], reason, remedy);
        out.push(made(demand.finding, word, judged, say, origin));
    }
}

//! A cure in words.

use crate::catalogue::field::Field;
use crate::catalogue::result::{ResultId, Results};
use crate::judgement::case::as_read;
use crate::judgement::demand::{DEMANDS, Demand, DemandId, about};
use crate::judgement::finding::{Cure, Finding, Setting};
use crate::judgement::rack_line::Line;
use crate::judgement::remedy::changes::{Family, Outcome, Search, Set, counted_anew, in_a_plan, larger_circle};
use crate::linkage::arm::arms;
use crate::measurement::figure::{Text, at_least, at_most, degrees, figure};
use crate::measurement::quantity::ResultUnit;
use crate::wording;

/// What stood there, then the cures as alternatives.
pub(super) fn sentence(own: &Text, cures: &[Cure], asked: bool) -> Text {
    let all = cures.iter().map(|c| c.text.clone()).reduce(|all, next| Text::fill("{}; or {}", &[&all, &next]));
    let said = match all {
        Some(all) => Text { mm: wording::capital(&all.mm) + ".", inch: wording::capital(&all.inch) + "." },
        None if asked && own.mm.is_empty() => Text::same("No single change that was tried cures it."),
        None => Text::default(),
    };
    match (own.mm.is_empty(), said.mm.is_empty()) {
        (true, _) => said,
        (_, true) => own.clone(),
        _ => Text::fill("{} {}", &[own, &said]),
    }
}

/// The demand that a finding speaks of, if it speaks of one.
pub(super) fn demand_of(finding: &Finding) -> Option<&'static Demand> {
    DEMANDS.iter().find(|d| d.finding == finding.name)
}

impl Search<'_> {
    /// The cure in words, and as changes of the plan.
    pub(super) fn told(&self, family: Family, sets: &[Set], outcome: &Outcome, finding: &Finding) -> Option<Cure> {
        let what = self.what(family, sets, outcome)?;
        let effect = demand_of(finding).and_then(|d| {
            use DemandId::*;
            let worst = outcome.margins.iter().filter(|m| m.0.finding() == finding.name).map(|m| m.0);
            let worst = worst.reduce(|a, b| if b.margin < a.margin { b } else { a })?;
            let value = outcome.results.get(worst.demand().result, worst.side).ok()?;
            let shown = as_read(worst.demand().result, value, outcome.pm[Results::index(worst.demand().result, worst.side)].unwrap_or(0.0));
            Some(match d.id {
                Lock => Text::fill("{} at the inner wheel", &[&shown]),
                Transmission | TransmissionBumps => Text::fill("{} between rod and arm", &[&shown]),
                Reserve => Text::fill("{} kept before toggle or fold-back", &[&shown]),
                InnerJoint | OuterJoint | InnerJointBumps | OuterJointBumps => Text::fill("{} to spare at the joint", &[&shown]),
                TyreRoom => Text::fill("{} free beside the tyre", &[&shown]),
                RodShortest | RodLongest | HousingRoom => Text::fill("{} to spare", &[&shown]),
                Toe => return None,
                BumpSteer => {
                    let was = self.case.shown(d.result, worst.side);
                    let mut text = Text::fill("largest toe change over bumps {} in place of {}", &[&shown, &was]);
                    for (id, say) in
                        [(ResultId::AckermannAngle, "{}, Ackermann at lock then {}"), (ResultId::Reserve, "{}, {} kept before toggle")]
                    {
                        let least = [0, 1].into_iter().filter_map(|side| Some((outcome.results.get(id, side).ok()?, side)));
                        if let Some((value, side)) = least.reduce(|a, b| if b.0 < a.0 { b } else { a }) {
                            text = Text::fill(say, &[&text, &figure(id.row().unit, value, outcome.pm[Results::index(id, side)])]);
                        }
                    }
                    text
                }
                Opposed | RatioMin | RatioMax | TurnsMin | TurnsMax | AckermannMin | AckermannMax | CircleMax | CircleEdgeMax
                | WallToWallMax => Text::fill("{}: {}", &[&wording::small(d.result.label()), &shown]),
            })
        });
        let mut text = match effect.filter(|_| !matches!(family, Family::Accept | Family::Turned)) {
            Some(effect) => Text::fill("{}: {}", &[&what, &effect]),
            None => what,
        };
        // A line that was found is found anew, and may be another one.
        if let Line::Found(_) = self.case.line
            && let Some(at) = outcome.line
            && !matches!(family, Family::Turned)
            && !(matches!(family, Family::Room(_)) && sets.iter().any(|s| s.1 == Some(at)))
        {
            text = Text::fill("{}, the rack line then {}", &[&text, &wording::line(at)]);
        }
        if outcome.margins.iter().all(|m| m.0.margin >= 0.0) && outcome.still == ["bump_steer"] {
            text = Text::fill(
                "{}: by the readings that does, by their ± it may not; cycle the wheel through before anything is welded",
                &[&text],
            );
        } else if !outcome.still.is_empty() {
            let rest: Vec<&str> = outcome.still.iter().map(|f| about(f)).collect();
            text = Text::fill("{} (then still: {})", &[&text, &wording::list(&rest)]);
        }
        Some(Cure { change: in_a_plan(sets), still: outcome.still.clone(), text, set: self.setting(family, sets) })
    }

    /// The rack set elsewhere, where that is all that changes.
    pub(super) fn setting(&self, family: Family, sets: &[Set]) -> Option<Setting> {
        let ([far, near], field) = match family {
            Family::Raise => (["high", "low"], Field::Height),
            Family::Line(_) => (["far forward", "far back"], Field::RackLine),
            _ => return None,
        };
        let [(_, Some(to))] = sets else { return None };
        let (now, (plus, minus)) = (self.x.get(field)?, field.spec().scale.sides?);
        let by = wording::bumps::mm(to - now);
        let (off, then) = match (to < &now, family) {
            (true, Family::Raise) => (far, "lower"),
            (false, Family::Raise) => (near, "higher"),
            (true, _) => (far, "further back"),
            (false, _) => (near, "further forward"),
        };
        Some(Setting {
            typed: Text::fill("{} {}", &[&wording::bumps::mm(*to), &if *to < 0.0 { minus } else { plus }]),
            button: Text::fill("Set it {} {}", &[&by, &then]),
            off: Text::fill("{} too {}", &[&by, &off]),
            place: Text::fill("{} {}", &[&by, &then]),
        })
    }

    /// What to do.
    pub(super) fn what(&self, family: Family, sets: &[Set], outcome: &Outcome) -> Option<Text> {
        let to = |field: Field| sets.iter().find(|s| s.0 == field).and_then(|s| s.1);
        let mm = |v: f64| figure(ResultUnit::Mm, v, None);
        Some(match family {
            Family::Line(way) => {
                let by = (to(Field::RackLine)? - self.x.get(Field::RackLine)?).abs();
                Text::fill(
                    "move the rack line {} {}, to {}",
                    &[&mm(by), &if way > 0 { "forward" } else { "rearward" }, &wording::line(to(Field::RackLine)?)],
                )
            }
            Family::Room(way) => {
                let at = to(Field::RackLineFrom).or(to(Field::RackLineTo))?;
                let way = if way > 0 { "forward" } else { "rearward" };
                Text::fill("make room for the rack further {}, as far as {}", &[&way, &wording::line(at)])
            }
            Family::Travel => Text::fill("take a rack with {} of travel, end to end", &[&at_least(to(Field::Travel)?)]),
            Family::StopOut => {
                let at = to(Field::StopLeft).or(to(Field::StopRight))?;
                Text::fill("move the stop out to {} from the middle", &[&at_least(at)])
            }
            Family::Stop(ways) => {
                let at = at_most(to(Field::StopLeft).or(to(Field::StopRight))?);
                let way = if ways == [true; 2] {
                    "each way"
                } else if ways[1] {
                    "rack to the left"
                } else {
                    "rack to the right"
                };
                Text::fill("make a stop outside the rack, no further than {} from the middle, {}", &[&at, &way])
            }
            Family::Arms(way) => {
                let new = crate::linkage::arm::Arm { ahead: to(Field::ArmForeAft)?, inboard: to(Field::ArmInboard)? };
                let by = (new.length() - arms(&self.x).ok()?[0].length()).abs();
                let word = if way < 0 { "shorter" } else { "longer" };
                let anew = counted_anew(sets);
                Text::fill("fit other steering arms, {} {} at the same angle (never heat or bend these){}", &[&mm(by), &word, &anew])
            }
            Family::Height => {
                Text::fill("set the inner joints no further than {} from the tie-rod ends’ height", &[&at_most(to(Field::Height)?.abs())])
            }
            Family::Raise => {
                let (now, at) = (self.x.get(Field::Height)?, to(Field::Height)?);
                let way = if at > now { "raise" } else { "lower" };
                let (side, at) = if at < 0.0 { ("below", -at) } else { ("above", at) };
                let place = Text::fill("{} {} the tie-rod ends", &[&mm(at), &side]);
                let place = if at == 0.0 { Text::same("level with the tie-rod ends") } else { place };
                Text::fill("{} the rack by {}, its inner joints then {}", &[&way, &mm((to(Field::Height)? - now).abs()), &place])
            }
            Family::Rods => {
                if *self.case.line != Line::Typed {
                    return Some(Text::same("leave the rods to be made to fit, and the length of these out"));
                }
                let rod = |side| self.case.solution.results.get(ResultId::RodLengthStraight, side).map(mm).unwrap_or_default();
                match rod(0) == rod(1) {
                    true => Text::fill("use rods of {}: they stand the wheels straight", &[&rod(0)]),
                    false => Text::fill("use rods of {} left and {} right: they stand the wheels straight", &[&rod(0), &rod(1)]),
                }
            }
            Family::Accept => {
                let circle = larger_circle(&outcome.results, &outcome.pm).map(|(c, pm)| figure(ResultUnit::Circle, c, Some(pm)))?;
                let wanted = degrees(to(Field::LockWanted)?.to_degrees());
                Text::fill("accept {} at the inner wheel, a circle of {} at the tyre’s centre", &[&wanted, &circle])
            }
            Family::Turned => Text::same(
                "turned end for end it steers the right way, with the shaft on the other side of the car; turning it over about its own axis changes nothing",
            ),
        })
    }
}

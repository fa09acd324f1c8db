//! What each part of the job says of itself: a mark, a word of at most twelve letters, a sentence. A page shows one part at a time, and
//! beside it how all the others stand.

use crate::catalogue::field::{Field, Section};
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::result::ResultId;
use crate::judgement::case::Case;
use crate::judgement::finding::{Finding, Kind};
use crate::judgement::verdict::{Verdict, VerdictKind, missing_of_nine};
use crate::math::each::Each;
use crate::measurement::figure::{Text, figure, small_degrees};
use crate::measurement::quantity::ResultUnit;
use crate::plan::inputs::{Origin, Readings};
use crate::plan::keys::PARTS;
use crate::present::points::{odd, points, rounds};
use crate::wording;
use serde::Serialize;

/// The most letters of a word, spaces included.
pub const WORD: usize = 12;

/// One part of the job, and how it stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct PartState {
    /// Its word in an address.
    pub part: &'static str,
    /// All right, too close to call, failed, or something is missing; `None` where there is nothing to judge.
    pub kind: Option<Kind>,
    /// The state in a word; empty where the mark says it all.
    pub word: Text,
    /// The same in a sentence.
    pub says: Text,
    /// Whether it stands in the row of parts unasked: Points does once anything was said of the suspension.
    pub there: bool,
    /// What it waits for: the measurement that is asked for next, by its path in a plan's file, or the word of another part. Empty where it waits for nothing.
    pub lacks: String,
}

/// One rack and what was said of it.
#[derive(Clone, Copy)]
pub struct Judged<'a> {
    /// What is known of it.
    pub case: Case<'a>,
    /// Its verdict.
    pub verdict: &'a Verdict,
    /// Its findings, with remedies.
    pub findings: &'a [Finding],
}

/// How every part stands, in the order of [`PARTS`]: `car` is what is known without any rack, `racks` of each rack, `shown` the rack that is
/// shown. Without the verdicts of all racks the part that compares them is left out.
pub fn parts(car: &Readings, racks: &[&Readings], verdicts: Option<&[&Verdict]>, shown: Option<Judged>, chosen: usize) -> Vec<PartState> {
    let lacks = lacks(car, racks, chosen);
    let side = verdicts.map(|verdicts| side_state(racks, verdicts, &lacks));
    let x = car.inputs();
    let asked_for = x.has_points() || x.get(Field::Suspension).is_some();
    let all = [
        Some(car_state(car)),
        Some(racks_state(racks)),
        Some(points_state(car, shown.as_ref())),
        side,
        Some(turning_state(shown.as_ref(), &lacks)),
        Some(bump_state(shown.as_ref(), chosen, &lacks)),
        Some(place_state(shown.as_ref(), chosen, &lacks)),
    ];
    let states = PARTS.into_iter().zip(all);
    let told = |(part, of): (&'static str, Option<State>)| {
        let there = part != PARTS[2] || asked_for;
        of.map(|(kind, word, says, lacks)| PartState { part, kind, word, says, lacks, there })
    };
    states.filter_map(told).collect()
}

type State = (Option<Kind>, Text, Text, String);

/// The nine numbers in the order in which they are asked for, each with the measurement that is asked for first where several would do.
const ASKED: [(Field, Field); 9] = [
    (Field::Wheelbase, Field::Wheelbase),
    (Field::FrontTrack, Field::FrontTrack),
    (Field::AxisSpacingGround, Field::RodEndSpacing),
    (Field::ArmForeAft, Field::ArmForeAft),
    (Field::ArmInboard, Field::ArmInboard),
    (Field::InnerJointSpacing, Field::InnerJointSpacing),
    (Field::TravelPerTurn, Field::TravelTwoTurns),
    (Field::Travel, Field::Travel),
    (Field::BarMoves, Field::BarMoves),
];

/// The measurements of one section that are asked for next, as far as the nine numbers are missing.
fn missing(readings: &Readings, section: Section) -> Vec<Field> {
    let all: Vec<Field> = missing_of_nine(&readings.inputs()).iter().filter(|f| f.spec().section == section).collect();
    let asked = ASKED.iter().filter(|a| all.contains(&a.0)).map(|a| a.1);
    // Whatever else counts as missing comes last.
    asked.chain(all.iter().copied().filter(|f| ASKED.iter().all(|a| a.0 != *f))).collect()
}

fn path(field: Field, rack: usize) -> String {
    let name = field.spec().name;
    match field.spec().section {
        Section::Car => format!("car.{name}"),
        Section::Rack => format!("racks.{rack}.{name}"),
        Section::Limits => format!("limits.{name}"),
    }
}

/// What is asked for next: of the car, then of the rack that is shown, then of the others.
fn lacks(car: &Readings, racks: &[&Readings], chosen: usize) -> String {
    if let Some(field) = missing(car, Section::Car).first() {
        return path(*field, 0);
    }
    if racks.is_empty() {
        return "racks".to_owned();
    }
    let order = std::iter::once(chosen).chain((0..racks.len()).filter(|i| *i != chosen));
    let mut of_racks = order.filter_map(|i| Some((i, *missing(racks.get(i)?, Section::Rack).first()?)));
    let unread = || racks.get(chosen).and_then(|r| r.unclear.first()).map(|u| path(u.0, chosen));
    of_racks.next().map(|(i, field)| path(field, i)).or_else(unread).unwrap_or_default()
}

fn car_state(car: &Readings) -> State {
    let needs: FieldSet = missing_of_nine(&car.inputs()).iter().filter(|f| f.spec().section == Section::Car).collect();
    let count = needs.len();
    if let Some(first) = missing(car, Section::Car).first() {
        let says =
            if count == 1 { wording::capital(&wording::needs(needs, car)) } else { format!("Needs {} more numbers", counted(count)) };
        return (Some(Kind::Missing), Text::same(format!("needs {count}")), Text::same(format!("{says}.")), path(*first, 0));
    }
    let of_car = |set: FieldSet| set.iter().find(|f| f.spec().section == Section::Car);
    if let Some((conflict, field)) = car.conflicts.iter().find_map(|c| Some((c, of_car(c.fields)?))) {
        let (title, ..) = wording::clash(conflict.clash, conflict.fields);
        return (Some(Kind::Missing), Text::same("contradicted"), Text::same(format!("{title}.")), path(field, 0));
    }
    if let Some((field, _)) = car.unclear.iter().find(|u| u.0.spec().section == Section::Car) {
        let says = format!("{} cannot be read.", wording::capital(field.label()));
        return (Some(Kind::Missing), Text::same("unread"), Text::same(says), path(*field, 0));
    }
    // The lines that points are measured from are taken as they are until typed.
    let typed = |f: &Field| car.items[*f as usize].is_some_and(|item| item.origin != Origin::Default);
    let all = crate::plan::inputs::of_section(Section::Car).filter(|f| typed(f) && !f.is_suspension()).count();
    let says = match all.saturating_sub(5) {
        0 => "All five numbers.".to_owned(),
        1 => "All five numbers, and one that makes it sharper.".to_owned(),
        more => format!("All five numbers, and {} that make it sharper.", counted(more)),
    };
    (Some(Kind::Pass), Text::default(), Text::same(says), String::new())
}

fn racks_state(racks: &[&Readings]) -> State {
    let wanting = |i: &usize| !missing(racks[*i], Section::Rack).is_empty();
    let short: Vec<usize> = (0..racks.len()).filter(wanting).collect();
    let n = racks.len();
    let word = match n {
        0 => "no rack".to_owned(),
        1 => "1 rack".to_owned(),
        n => format!("{n} racks"),
    };
    let says = match (n, short.len()) {
        (0, _) => "None yet: add the first.".to_owned(),
        (1, 0) => "One, with its four numbers.".to_owned(),
        (1, _) => "One; it still needs numbers.".to_owned(),
        (_, 0) => format!("{}, each with its four numbers.", wording::capital(&counted(n))),
        (_, 1) => format!("{}; one of them still needs numbers.", wording::capital(&counted(n))),
        (_, k) => format!("{}; {} of them still need numbers.", wording::capital(&counted(n)), counted(k)),
    };
    (None, Text::same(word), Text::same(says), short.first().map_or_else(String::new, |i| path_of_first(racks, *i)))
}

fn path_of_first(racks: &[&Readings], rack: usize) -> String {
    missing(racks[rack], Section::Rack).first().map_or_else(String::new, |f| path(*f, rack))
}

/// The kinds of verdict from the best to the worst, the worse of two that fail alike.
fn kind(verdict: &Verdict) -> Kind {
    match verdict.kind {
        VerdictKind::Suits => Kind::Pass,
        VerdictKind::Close => Kind::Close,
        VerdictKind::Fails | VerdictKind::Backwards | VerdictKind::Opposed => Kind::Fail,
        VerdictKind::Needs => Kind::Missing,
    }
}

fn side_state(racks: &[&Readings], verdicts: &[&Verdict], lacks: &str) -> State {
    let of = |k: Kind| verdicts.iter().filter(|v| kind(v) == k).count();
    let counts = [Kind::Pass, Kind::Close, Kind::Fail, Kind::Missing].each(of);
    let [suit, close, fail, _] = counts;
    // Nothing fits before bump steer is judged.
    let fits = verdicts.iter().filter(|v| kind(v) == Kind::Pass).all(|v| v.head.mm.starts_with("fits"));
    let [one, more, above] = if fits { ["fits", "fit", ""] } else { ["suits", "suit", " from above"] };
    let n = racks.len();
    let (best, word) = match counts {
        _ if n == 0 => (Kind::Missing, "no rack".to_owned()),
        // One that needs more may still suit.
        [0, 0, _, more] if more > 0 => (Kind::Missing, if n == 1 { short_needs(racks[0]) } else { "needs more".to_owned() }),
        [0, 0, ..] if n == 1 => (Kind::Fail, "fails".to_owned()),
        [0, 0, ..] => (Kind::Fail, if racks[0].inputs().has_points() { "none fits" } else { "none suits" }.to_owned()),
        [0, ..] => (Kind::Close, "too close".to_owned()),
        _ if n == 1 => (Kind::Pass, one.to_owned()),
        _ if suit == n => (Kind::Pass, format!("all {n} {more}")),
        _ => (Kind::Pass, fitting(&[&format!("{suit} of {n} {}", if suit == 1 { one } else { more }), &format!("{suit} of {n}")])),
    };
    let says = match (n, verdicts.first()) {
        (0, _) | (_, None) => Text::same("Nothing to compare yet: add a rack."),
        (1, Some(only)) => Text::fill("One rack: {}.", &[&only.head]),
        _ => {
            let verb = |k: usize, one: &str, more: &str| format!("{} {}", counted(k), if k == 1 { one } else { more });
            let groups = [
                (suit, format!("{one}{above}"), format!("{more}{above}")),
                (close, "is too close to call".to_owned(), "are too close to call".to_owned()),
                (fail, "fails".to_owned(), "fail".to_owned()),
                (counts[3], "needs more numbers".to_owned(), "need more numbers".to_owned()),
            ];
            let groups: Vec<String> = groups.iter().filter(|g| g.0 > 0).map(|g| verb(g.0, &g.1, &g.2)).collect();
            Text::same(format!("Of {} racks {}.", counted(n), wording::list(&groups)))
        }
    };
    (Some(best), Text::same(word), says, if best == Kind::Missing { lacks.to_owned() } else { String::new() })
}

fn turning_state(shown: Option<&Judged>, lacks: &str) -> State {
    let Some(rack) = shown else {
        return (Some(Kind::Missing), Text::same("no rack"), Text::same("No rack to turn yet: add one."), lacks.to_owned());
    };
    let verdict = rack.verdict;
    let sides = [0, 1].each(|side| rack.case.get(ResultId::CircleCentre, side));
    let circle = match sides {
        [Ok(a), Ok(b)] => Some(figure(ResultUnit::Circle, a.max(b), None).unbroken()),
        _ => None,
    };
    let head = verdict.head.clone();
    let head = Text { mm: wording::capital(&head.mm), inch: wording::capital(&head.inch) };
    let of = kind(verdict);
    let (word, says) = match (verdict.kind, circle) {
        (VerdictKind::Needs, _) => (Text::same(short_needs(rack.case.readings)), Text::fill("{}.", &[&head])),
        (VerdictKind::Backwards, _) => (Text::same("backwards"), Text::fill("{}.", &[&head])),
        (VerdictKind::Opposed, _) => (Text::same("opposed"), Text::fill("{}.", &[&head])),
        (_, Some(circle)) => (circle.clone(), Text::fill("{}; circle {} at the tyre’s centre.", &[&head, &circle])),
        (_, None) => (Text::same(if of == Kind::Pass { "suits" } else { "no circle" }), Text::fill("{}.", &[&head])),
    };
    let lacks = if of == Kind::Missing { lacks.to_owned() } else { String::new() };
    (Some(of), word, says, lacks)
}

fn points_state(car: &Readings, shown: Option<&Judged>) -> State {
    let readings = shown.map_or(car, |rack| rack.case.readings);
    if let Some(odd) = odd(readings).into_iter().next() {
        let says = Text::fill("{}{}", &[&odd.title, &if odd.title.mm.ends_with('?') { "" } else { "." }]);
        return (Some(Kind::Missing), Text::same("look again"), says, odd.path);
    }
    let [[up, heights], [on, floor]] = rounds(&car.inputs(), car);
    let (known, all) = (up + on, heights + floor);
    if known < all {
        let says = format!("{known} of {all} numbers: {up} of {heights} under the car, {on} of {floor} on the floor.");
        return (Some(Kind::Missing), Text::same(format!("{known} of {all}")), Text::same(says), String::new());
    }
    (Some(Kind::Pass), Text::default(), Text::same(format!("All {all} numbers.")), String::new())
}

fn bump_state(shown: Option<&Judged>, chosen: usize, lacks: &str) -> State {
    let waits = |word: &str, says: Text, lacks: String| (Some(Kind::Missing), Text::same(word), says, lacks);
    let Some(rack) = shown else {
        return waits("no rack", Text::same("No rack yet: add one."), lacks.to_owned());
    };
    if !rack.case.x().has_points() {
        return waits(
            "needs points",
            Text::same("Needs where the suspension’s joints are: plumb bob, chalk and tape."),
            PARTS[2].to_owned(),
        );
    }
    const WORST: [Kind; 5] = [Kind::Fail, Kind::Close, Kind::Missing, Kind::Pass, Kind::Notice];
    let rank = |f: &&Finding| WORST.iter().position(|kind| *kind == f.kind);
    let Some(worst) = rack.findings.iter().filter(|f| f.name == "bump_steer").min_by_key(rank) else {
        return waits("needs more", Text::fill("{}.", &[&wording::capital(&rack.verdict.head.mm)]), lacks.to_owned());
    };
    let says = |f: &Finding| match f.remedy.mm.is_empty() {
        true => Text::fill("{}.", &[&f.title]),
        false => Text::fill("{}. {}", &[&f.title, &f.remedy]),
    };
    let peak = |side| rack.case.get(ResultId::BumpPeak, side).ok();
    match peak(0).into_iter().chain(peak(1)).reduce(f64::max) {
        Some(peak) => (Some(worst.kind).filter(|_| worst.judged), small_degrees(peak), says(worst), String::new()),
        None => {
            let next = points(rack.case.readings, rack.case.solution, chosen).next;
            let kind = if worst.kind == Kind::Fail {
                ("runs out", String::new())
            } else {
                ("needs more", if next.is_empty() { lacks.to_owned() } else { next })
            };
            (Some(worst.kind), Text::same(kind.0), says(worst), kind.1)
        }
    }
}

fn place_state(shown: Option<&Judged>, chosen: usize, lacks: &str) -> State {
    let (kind, word, says, lacks) = bump_state(shown, chosen, lacks);
    let Some(rack) = shown.filter(|_| kind != Some(Kind::Missing)) else { return (kind, word, says, lacks) };
    let unknown = [Field::RackLine, Field::Height].into_iter().find(|field| rack.case.x().get(*field).is_none());
    if let Some(field) = unknown {
        let path = path(field, chosen);
        return (
            Some(Kind::Missing),
            Text::same("needs more"),
            Text::fill("{}.", &[&wording::capital(&wording::needs(field.into(), rack.case.readings))]),
            path,
        );
    }
    let worst = |kind: Kind| rack.findings.iter().any(|f| f.judged && f.kind == kind);
    let (kind, word, says) = match (worst(Kind::Fail), worst(Kind::Close)) {
        (true, _) => (Kind::Fail, "not here", "The map says where it had better be."),
        (_, true) => (Kind::Close, "too close", "The map says where there is more room."),
        _ => (Kind::Pass, "here", "Where it is, everything that was judged holds."),
    };
    (Some(kind), Text::same(word), Text::same(says), String::new())
}

/// "needs 4": how many of the nine are missing; where it is something else, that more is needed.
fn short_needs(rack: &Readings) -> String {
    match missing_of_nine(&rack.inputs()).iter().count() {
        0 => "needs more".to_owned(),
        n => format!("needs {n}"),
    }
}

/// The first wording that is short enough for a word.
fn fitting(all: &[&str]) -> String {
    all.iter().find(|word| word.chars().count() <= WORD).map_or_else(String::new, |word| (*word).to_owned())
}

/// A number in words as far as ten.
fn counted(n: usize) -> String {
    const WORDS: [&str; 11] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    WORDS.get(n).map_or_else(|| n.to_string(), |word| (*word).to_owned())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;
    use crate::plan::{MOST_RACKS, Plan};
    use crate::session::evaluate;

    const CAR: &str = r#""wheelbase":"104 1/2 in","front_track":"56 1/8 in","rod_end_spacing":"50 3/8 in","arm_fore_aft":"5 3/16 in behind","arm_inboard":"11/16 in inboard""#;
    const SUITS: &str = r#"{"inner_joint_spacing":"23 1/4 in","travel_two_turns":"3 11/16 in","travel":"5 3/4 in","bar_moves":"right"}"#;
    const SHORT: &str = r#"{"inner_joint_spacing":"23 1/4 in","travel_two_turns":"3 11/16 in","travel":"3 in","bar_moves":"right"}"#;
    const CLOSE: &str = r#"{"inner_joint_spacing":"23 1/4 in","travel_two_turns":"3 11/16 in","travel":"4 1/2 in","bar_moves":"right"}"#;
    const BACKWARDS: &str = r#"{"inner_joint_spacing":"23 1/4 in","travel_two_turns":"3 11/16 in","travel":"5 3/4 in","bar_moves":"left"}"#;

    fn states(car: &str, racks: &[&str], chosen: usize) -> Vec<PartState> {
        let text = format!(r#"{{"donorack":1,"car":{{{car}}},"racks":[{}],"chosen":{chosen}}}"#, racks.join(","));
        let view = evaluate(&Plan::from_json(&text).unwrap());
        assert_eq!(view.parts.iter().map(|p| p.part).collect::<Vec<_>>(), PARTS);
        view.parts
    }

    fn seen(state: &PartState) -> (Option<Kind>, &str, &str, &str) {
        (state.kind, &state.word.mm, &state.says.mm, &state.lacks)
    }

    #[test]
    fn an_empty_plan_waits_for_the_first_number_of_the_car() {
        let all = states("", &["{}"], 0);
        assert_eq!(seen(&all[0]), (Some(Kind::Missing), "needs 5", "Needs five more numbers.", "car.wheelbase"));
        assert_eq!(seen(&all[1]), (None, "1 rack", "One; it still needs numbers.", "racks.0.inner_joint_spacing"));
        assert_eq!((all[3].kind, all[3].word.mm.as_str(), all[3].lacks.as_str()), (Some(Kind::Missing), "needs 9", "car.wheelbase"));
        assert_eq!(seen(&all[4]), (Some(Kind::Missing), "needs 9", "Needs 9 more numbers.", "car.wheelbase"));
        let none = states(CAR, &[], 0);
        assert_eq!(seen(&none[1]), (None, "no rack", "None yet: add the first.", ""));
        assert_eq!(seen(&none[3]), (Some(Kind::Missing), "no rack", "Nothing to compare yet: add a rack.", "racks"));
        assert_eq!(seen(&none[4]), (Some(Kind::Missing), "no rack", "No rack to turn yet: add one.", "racks"));
    }

    #[test]
    fn the_car_counts_what_it_needs_and_says_what_is_wrong() {
        let missing_one = CAR.replace(r#""wheelbase":"104 1/2 in","#, "");
        let car = &states(&missing_one, &[SUITS], 0)[0];
        assert_eq!(seen(car), (Some(Kind::Missing), "needs 1", "Needs the wheelbase.", "car.wheelbase"));
        assert_eq!(seen(&states(CAR, &[SUITS], 0)[0]), (Some(Kind::Pass), "", "All five numbers.", ""));
        let unread = format!(r#"{CAR},"caster":"soon""#);
        assert_eq!(seen(&states(&unread, &[SUITS], 0)[0]), (Some(Kind::Missing), "unread", "Caster cannot be read.", "car.caster"));
        let sharper = format!(r#"{CAR},"tyre_width":"165 mm""#);
        assert_eq!(states(&sharper, &[SUITS], 0)[0].says.mm, "All five numbers, and one that makes it sharper.");
        let clash = format!(r#"{CAR},"rear_track":"1400 mm","scrub_radius":"400 mm inboard","axis_spacing_at_ground":"1300 mm""#);
        assert_eq!(states(&clash, &[SUITS], 0)[0].kind, Some(Kind::Missing));
    }

    #[test]
    fn side_by_side_counts_the_racks_that_suit() {
        let side = |racks: &[&str]| {
            let state = states(CAR, racks, 0).remove(3);
            (state.kind, state.word.mm, state.says.mm)
        };
        let is = |kind, word: &str, says: &str| (Some(kind), word.to_owned(), says.to_owned());
        assert_eq!(side(&[SUITS, SHORT, BACKWARDS]), is(Kind::Pass, "1 of 3 suits", "Of three racks one suits from above and two fail."));
        assert_eq!(
            side(&[SUITS, SUITS, CLOSE, "{}"]),
            is(Kind::Pass, "2 of 4 suit", "Of four racks two suit from above, one is too close to call and one needs more numbers.")
        );
        assert_eq!(side(&[SUITS, SUITS]), is(Kind::Pass, "all 2 suit", "Of two racks two suit from above."));
        assert_eq!(side(&[SHORT, CLOSE]), is(Kind::Close, "too close", "Of two racks one is too close to call and one fails."));
        assert_eq!(side(&[SHORT, SHORT]).1, "none suits");
        let open = is(Kind::Missing, "needs more", "Of two racks one fails and one needs more numbers.");
        assert_eq!(side(&[SHORT, "{}"]), open, "the other may still suit");
        assert_eq!(side(&["{}", "{}"]).1, "needs more");
        assert_eq!(side(&["{}"]).1, "needs 4");
        assert_eq!(side(&[BACKWARDS]).1, "fails");
        assert_eq!(side(&[SUITS]).1, "suits");
        let many: Vec<&str> = (0..MOST_RACKS).map(|i| if i < 10 { SUITS } else { SHORT }).collect();
        assert_eq!(side(&many).1, format!("10 of {MOST_RACKS}"), "no room for the verb");
    }

    #[test]
    fn turning_says_the_circle_of_the_rack_that_is_shown() {
        let all = states(CAR, &[SUITS, SHORT, BACKWARDS, "{}"], 0);
        assert_eq!(all[4].kind, Some(Kind::Pass));
        assert!(all[4].word.mm.ends_with("\u{a0}m") && all[4].word.inch.contains("ft"), "{:?}", all[4].word);
        assert!(all[4].says.mm.starts_with("Suits ") && all[4].says.mm.contains(&all[4].word.mm), "{:?}", all[4].says);
        let shown = |n| states(CAR, &[SUITS, SHORT, BACKWARDS, "{}"], n).remove(4);
        assert_eq!(shown(1).kind, Some(Kind::Fail));
        assert_eq!((shown(2).kind, shown(2).word.mm), (Some(Kind::Fail), "backwards".to_owned()));
        assert_eq!(
            (shown(3).kind, shown(3).word.mm, shown(3).lacks),
            (Some(Kind::Missing), "needs 4".to_owned(), "racks.3.inner_joint_spacing".to_owned())
        );
    }

    #[test]
    fn no_word_is_longer_than_twelve_letters() {
        for racks in [0, 1, 2, 3, 10, MOST_RACKS] {
            for suit in [0, 1, 2, 10, racks] {
                let all: Vec<&str> = (0..racks).map(|i| if i < suit { SUITS } else { "{}" }).collect();
                for state in states(CAR, &all, 0) {
                    for word in [&state.word.mm, &state.word.inch] {
                        assert!(word.chars().count() <= WORD, "{word}");
                    }
                    assert!(!state.says.mm.is_empty() && state.says.mm.ends_with('.'));
                    assert!(
                        !state.word.mm.is_empty() || state.kind == Some(Kind::Pass),
                        "a mark alone says that all is right, and nothing else"
                    );
                }
            }
        }
    }
}

//! The verdict of a rack: the worst of its findings, and what it could not see.

use crate::linkage::arm::arms;
use crate::math::each::Each;

use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::result::ResultId;
use crate::catalogue::value::{Gap, all};
use crate::judgement::case::Case;
use crate::judgement::demand::turned_off;
use crate::judgement::finding::{Finding, Kind};
use crate::judgement::rack_line::{Best, Line};
use crate::linkage::steering::rack_numbers;
use crate::linkage::wheel::{Level, axis_spacing};
use crate::measurement::figure::{Text, degrees, figure, length, small_degrees};
use crate::measurement::quantity::ResultUnit;
use crate::plan::inputs::Inputs;
use crate::wording;
use serde::Serialize;

/// What is said of a rack as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "lowercase")]
pub enum VerdictKind {
    /// The two wheels steer against each other. Outranks everything.
    Opposed,
    /// A left turn of the wheel steers right.
    Backwards,
    /// One of the nine numbers is missing, or readings contradict each other.
    Needs,
    /// A demand is not met.
    Fails,
    /// A demand's margin is smaller than its ±.
    Close,
    /// All demands met. The words say "fits" where bump steer was judged and passed, and never before.
    Suits,
}

/// The verdict of a rack.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Verdict {
    /// Which of the six.
    pub kind: VerdictKind,
    /// A few words.
    pub head: Text,
    /// The sentence, with its reason and what to do.
    pub sentence: Text,
    /// Name of the finding that decides it; empty where none does.
    pub because: &'static str,
    /// What could not be checked for want of an optional reading.
    pub unchecked: Vec<String>,
    /// What was taken for granted for want of an optional reading.
    pub assumed: Vec<&'static str>,
    /// What was typed, cannot be read, and is therefore left out.
    pub unread: Vec<&'static str>,
    /// What is unusual, a sentence each.
    pub notices: Vec<Text>,
}

/// The nine numbers of a first verdict: what of them is missing. A rack line that cannot be read is missing too.
pub fn missing_of_nine(x: &Inputs) -> FieldSet {
    let know = |f: Field| crate::catalogue::value::known(x.get(f), f);
    let arms = arms(x);
    let [c, t, _] = rack_numbers(x);
    let nine = all([
        know(Field::Wheelbase),
        know(Field::FrontTrack),
        axis_spacing(x, Level::Ground).map(|w| w.0),
        arms.map(|a| a[0].length()),
        know(Field::RackLine),
        know(Field::InnerJointSpacing),
        c,
        t,
        know(Field::BarMoves),
    ]);
    match nine {
        Err(Gap::Missing(set)) => set,
        _ => FieldSet::empty(),
    }
}

/// The verdict of a rack from its findings.
pub fn verdict(case: &Case, findings: &[Finding]) -> Verdict {
    let x = case.x();
    let worst = |kind: Kind| findings.iter().find(|f| f.judged && f.kind == kind);
    let mut needs = missing_of_nine(&x);
    // A limit that cannot be read is not one that may be left out.
    for (field, _) in crate::plan::inputs::STARTING_LIMITS {
        // The toe is asked about only where rods of a typed length may make one.
        if field == Field::ToeMax && x.get(Field::RodLength).is_none() {
            continue;
        }
        // Bumps are asked about once the points are known.
        if field == Field::BumpSteerMax && case.solution.bump.is_none() {
            continue;
        }
        if x.get(field).is_none() && !case.readings.off.contains(field) {
            needs = needs.union(FieldSet::only(field));
        }
    }
    let opposed = findings.iter().find(|f| f.name == "opposed" && f.kind == Kind::Fail);
    let direction = findings.iter().find(|f| f.name == "direction" && f.kind == Kind::Fail);
    let contradiction = findings.iter().find(|f| f.name == "contradiction");
    let said = |f: &Finding| if f.remedy.mm.is_empty() { Text::fill("{}.", &[&f.title]) } else { noticed(f) };
    let (kind, head, sentence, because) = if let Some(f) = opposed {
        (VerdictKind::Opposed, f.head.clone(), said(f), f.name)
    } else if let Some(f) = direction {
        (VerdictKind::Backwards, f.head.clone(), said(f), f.name)
    } else if let Some(f) = contradiction {
        (VerdictKind::Needs, f.head.clone(), said(f), f.name)
    } else if !needs.is_empty() {
        let say = wording::needs(needs, case.readings);
        let few: Vec<&str> = needs.iter().map(|f| f.spec().ask).collect();
        let head = if few.len() == 1 { say.clone() } else { format!("needs {} more numbers", few.len()) };
        (VerdictKind::Needs, Text::same(head), Text::fill("{} for a verdict.", &[&wording::capital(&say)]), "")
    } else if let Some(f) = worst(Kind::Fail) {
        (VerdictKind::Fails, f.head.clone(), placed(case, said(f)), f.name)
    } else if let Some(f) = worst(Kind::Close) {
        (VerdictKind::Close, Text::same("too close to call"), placed(case, said(f)), f.name)
    } else if findings.iter().any(|f| f.judged && f.kind == Kind::Missing) {
        (VerdictKind::Needs, Text::same("needs more"), Text::same("Needs more readings for a verdict."), "")
    } else if let Some((field, _)) = case.readings.unclear.first() {
        // What was typed was meant to count: a rack does not suit without it.
        let label = field.label();
        let head = Text::same(format!("cannot read {}", wording::small(label)));
        (VerdictKind::Needs, head, Text::same(format!("{label} cannot be read: mend it, or take it out, for a verdict.")), "")
    } else {
        let over_bumps: Vec<Kind> = findings.iter().filter(|f| f.name == "bump_steer").map(|f| f.kind).collect();
        let fits = !over_bumps.is_empty() && over_bumps.iter().all(|kind| *kind == Kind::Pass);
        let (head, sentence) = suits(case, fits);
        (VerdictKind::Suits, head, sentence, "")
    };
    Verdict {
        kind,
        head,
        sentence,
        because,
        unchecked: unchecked(case, findings),
        assumed: assumed(case, &x),
        unread: case.readings.unclear.iter().map(|u| u.0.label()).collect(),
        notices: findings.iter().filter(|f| f.kind == Kind::Notice).map(noticed).collect(),
    }
}

/// The same with where the rack sits, where that was found and not typed.
fn placed(case: &Case, said: Text) -> Text {
    match case.line {
        Line::Found(best) => {
            Text::fill("{} As it is, it stands with the rack line {}, the best there is room for.", &[&said, &wording::line(best.at)])
        }
        _ => said,
    }
}

/// A notice in one line; a question has its own mark.
fn noticed(f: &Finding) -> Text {
    Text::fill(if f.title.mm.ends_with('?') { "{} {}" } else { "{}. {}" }, &[&f.title, &f.remedy])
}

/// What is said of a rack that keeps every demand: head and sentence. What has no value is left out. It `fits` where bump steer is among what
/// was judged.
fn suits(case: &Case, fits: bool) -> (Text, Text) {
    // Each with its ± taken off: "at least" is meant.
    let sure = |side: usize| case.get(ResultId::LockInner, side).map(|v| v - case.pm(ResultId::LockInner, side));
    let lock = all([sure(0), sure(1)]).map(|[a, b]| degrees((a.min(b) * 10.0).floor() / 10.0));
    let circle = all([case.get(ResultId::CircleCentre, 0), case.get(ResultId::CircleCentre, 1)]).map(|[a, b]| a.max(b));
    let circle = circle.map(|c| figure(ResultUnit::Circle, c, None).unbroken());
    let mut parts = vec![Text::same("steers the right way")];
    parts.extend(lock.map(|l| Text::fill("the inner wheel turns {} each way at least", &[&l])));
    parts.extend(circle.map(|c| Text::fill("circle {} at the tyre’s centre", &[&c])));
    if fits {
        let most = [0, 1].each(|side| case.get(ResultId::BumpPeak, side).unwrap_or(0.0) + case.pm(ResultId::BumpPeak, side));
        let most = (most[0].max(most[1]) * 100.0).ceil() / 100.0;
        let travel = case.x().get(Field::BumpTravel).unwrap_or(0.0);
        parts.push(Text::fill(
            "toe changes by no more than {} over {} of wheel travel up and down",
            &[&small_degrees(most), &length(travel)],
        ));
    }
    let parts = parts.into_iter().reduce(|all, part| Text::fill("{}, {}", &[&all, &part])).unwrap_or_default();
    let (word, does, close) = if fits { ("fits", "Fits", "") } else { ("suits", "Suits from above", " Bump steer is not judged yet.") };
    match case.line {
        Line::Found(Best { at, stretch: Some([rear, front]), .. }) => {
            let range = [front.at, rear.at].each(wording::line_short);
            let place = Text::fill("with the rack line {} (from {} to {})", &[&wording::line(*at), &range[0], &range[1]]);
            (Text::fill("{} {}", &[&word, &wording::line_short(*at)]), Text::fill("{}, {}: {}.{}", &[&does, &place, &parts, &close]))
        }
        _ => (Text::same(wording::small(does)), Text::fill("{}: {}.{}", &[&does, &parts, &close])),
    }
}

/// Demands that were turned off, and optional ones that could not be judged, by name.
fn unchecked(case: &Case, findings: &[Finding]) -> Vec<String> {
    let mut out: Vec<String> = case.readings.off.iter().map(turned_off).collect();
    out.dedup();
    for f in findings.iter().filter(|f| f.kind == Kind::Missing && !f.judged && f.origin != crate::judgement::case::OFF) {
        let what = match f.name {
            "inner_joint" => "inner joint angles",
            "outer_joint" => "outer joint angles",
            "bump_steer" => "bump steer",
            "housing_room" => "room beside what is in the way",
            "tyre_room" => "room beside the tyres",
            "rod_range" => "rod length in the donor’s range",
            "rod_shortest" => "rod against the donor’s shortest",
            "rod_longest" => "rod against the donor’s longest",
            "circle_edge_max" => "circle at the tyre’s outer edge",
            "wall_to_wall_max" => "circle wall to wall",
            _ => continue,
        };
        if !out.iter().any(|o| o == what) {
            out.push(what.to_owned());
        }
    }
    // Of what may stand beside a tyre one is enough to be judged by.
    if findings.iter().any(|f| f.name == "tyre_room" && f.judged) {
        for (field, what) in [(Field::RailOuter, "frame rail beside the tyres"), (Field::CrossmemberOut, "crossmember beside the tyres")] {
            if case.x().get(field).is_none() {
                out.push(what.to_owned());
            }
        }
    }
    // Of bumps the angle between rod and arm alone is judged.
    if case.solution.bump.is_some() {
        out.push("travel kept before toggle with the wheels up or down".to_owned());
    }
    out
}

fn assumed(case: &Case, x: &Inputs) -> Vec<&'static str> {
    let mut out = Vec::new();
    out.extend(case.axis_note(Level::Ground));
    out.extend(case.axis_note(Level::RodEnd));
    out.extend(case.lean_note());
    if x.get(Field::Height).is_none() {
        out.push("inner joints taken as level with the tie-rod ends");
    }
    if x.get(Field::Offset).is_none() {
        out.push("rack taken as centred on the car");
    }
    out.extend(case.unlike_note());
    out
}

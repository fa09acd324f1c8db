//! A limit that is turned off: nothing is made of its value, the verdict says so, and the toggle still ends the travel.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use donorack::{Kind, Plan, RackView, VerdictKind, View, evaluate};

/// An invented car and a rack, with these limits.
fn plan(travel: &str, limits: &str) -> View {
    let json = format!(
        r#"{{"donorack": 1, "car": {{"wheelbase": 2540, "front_track": 1384, "rod_end_spacing": 1180, "arm_fore_aft": "132 behind", "arm_inboard": "24 inboard"}},
            "racks": [{{"rack_line": "36 behind", "inner_joint_spacing": 610, "travel_per_turn": 47.2, "travel": {travel}, "bar_moves": "right"}}], "limits": {limits}}}"#
    );
    evaluate(&Plan::from_json(&json).unwrap())
}

fn kinds(rack: &RackView, name: &str) -> Vec<(Kind, bool)> {
    rack.findings.iter().filter(|f| f.name == name).map(|f| (f.kind, f.judged)).collect()
}

#[test]
fn a_lock_turned_off_decides_nothing_any_more() {
    let fails = plan("100", r#"{"lock_inner": 45}"#);
    assert_eq!(fails.racks[0].verdict.kind, VerdictKind::Fails);
    assert_eq!(fails.racks[0].verdict.because, "lock");
    let off = plan("100", r#"{"lock_inner": "off"}"#);
    let rack = &off.racks[0];
    assert_ne!(rack.verdict.because, "lock");
    assert_eq!(rack.verdict.kind, VerdictKind::Suits, "{:?}", rack.verdict);
    assert!(kinds(rack, "lock").iter().all(|k| *k == (Kind::Missing, false)) && !kinds(rack, "lock").is_empty());
    let lock = rack.findings.iter().find(|f| f.name == "lock").unwrap();
    assert!(lock.value.is_some() && lock.limit.is_none());
    assert!(lock.reason.mm.contains("turned off by you") && lock.origin.contains("turned off by you"), "{lock:?}");
    assert!(rack.verdict.unchecked.iter().any(|u| u.contains("lock") && u.contains("turned off by you")), "{:?}", rack.verdict.unchecked);
    assert_eq!(off.limits[&"lock_inner"].status, "off");
    // The figure itself is the same as before.
    let value = |v: &View| v.racks[0].results.iter().find(|r| r.name == "lock_inner").unwrap().value;
    assert_eq!(value(&off), value(&fails));
}

#[test]
fn a_transmission_angle_turned_off_is_not_judged() {
    let strict = plan("130", r#"{"transmission_angle": 89}"#);
    assert!(kinds(&strict.racks[0], "transmission").contains(&(Kind::Fail, true)));
    let off = plan("130", r#"{"transmission_angle": "off"}"#);
    assert!(kinds(&off.racks[0], "transmission").iter().all(|k| *k == (Kind::Missing, false)));
    assert!(off.racks[0].verdict.unchecked.iter().any(|u| u.starts_with("angle between rod and arm")));
}

/// Own limits that are turned off and those that were never set: only the first are named.
#[test]
fn an_own_limit_turned_off_is_named() {
    let off = plan("130", r#"{"circle_max": "off", "ratio_min": "off", "ratio_max": "off"}"#);
    let named: Vec<_> = off.racks[0].verdict.unchecked.iter().filter(|u| u.contains("turned off")).collect();
    assert_eq!(named.len(), 2, "{named:?}");
    assert!(kinds(&off.racks[0], "circle_max").iter().all(|k| *k == (Kind::Missing, false)));
    assert!(kinds(&off.racks[0], "turns_max").is_empty());
    // A word in a limit that is no number and not "off" is not taken for it.
    let wrong = plan("130", r#"{"lock_inner": "of"}"#);
    assert_eq!(wrong.racks[0].verdict.kind, VerdictKind::Needs);
}

/// Without a reserve the travel may end at the toggle, never past it; a rack that would go past it still needs a stop.
#[test]
fn a_reserve_turned_off_keeps_the_toggle() {
    let usable = |v: &View| v.racks[0].results.iter().find(|r| r.name == "usable_travel").unwrap().value.unwrap();
    let (kept, none) = (plan("400", r#"{"reserve": 10}"#), plan("400", r#"{"reserve": "off"}"#));
    assert!((usable(&none) - usable(&kept) - 10.0).abs() < 1e-6, "ten millimetres more, no further: {} {}", usable(&none), usable(&kept));
    assert_eq!(usable(&none), usable(&plan("400", r#"{"reserve": 0}"#)));
    assert!(kinds(&none.racks[0], "reserve").iter().all(|k| *k == (Kind::Fail, true)), "{:?}", kinds(&none.racks[0], "reserve"));
    let said = none.racks[0].findings.iter().find(|f| f.name == "reserve").unwrap();
    assert!(said.origin.contains("turned off by you"));
    // Far from the toggle there is nothing to judge.
    let short = plan("100", r#"{"reserve": "off"}"#);
    assert!(kinds(&short.racks[0], "reserve").iter().all(|k| *k == (Kind::Missing, false)));
    assert!(short.racks[0].verdict.unchecked.iter().any(|u| u.contains("toggle") && u.contains("turned off by you")));
}

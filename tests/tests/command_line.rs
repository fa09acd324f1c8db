//! `evaluate` as a person calls it: what it prints, and how it ends.

use donorack::plan::Plan;
use serde_json::Value;
use std::path::PathBuf;
use std::process::{Command, Output};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn run(args: &[&str]) -> Output {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.current_dir(root()).args(["run", "--quiet", "--bin", "evaluate", "--"]).args(args);
    cargo.output().expect("cargo runs")
}

fn json(out: &Output) -> Value {
    assert_eq!(out.status.code(), Some(0), "{}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).expect("JSON on standard output")
}

#[test]
fn every_result_of_the_list_is_printed_with_its_parts() {
    let out = json(&run(&["tests/data/three-racks.json", "--rack", "-20,0,12.5"]));
    let list = std::fs::read_to_string(root().join("crate/RESULTS.md")).expect("the list of names is committed");
    let named: Vec<&str> = list.lines().filter_map(|l| l.strip_prefix("| `")?.split('`').next()).collect();
    assert!(named.len() > 40);
    let racks = out["racks"].as_array().expect("racks");
    assert_eq!(racks.len(), 3);
    for rack in racks {
        let results = rack["results"].as_array().expect("results");
        let mut names: Vec<&str> = results.iter().filter_map(|r| r["name"].as_str()).collect();
        names.dedup();
        assert_eq!(names, named, "crate/RESULTS.md lists what is printed, in its order");
        for r in results {
            for key in ["name", "side", "value", "pm", "unit", "status", "why", "text"] {
                assert!(r.get(key).is_some(), "{key} of {r}");
            }
            assert_eq!(r["value"].is_number(), r["status"] == "ok", "{r}");
            assert!(["ok", "missing", "unreachable"].contains(&r["status"].as_str().expect("a status")));
        }
        assert_eq!(rack["at"].as_array().expect("--rack").len(), 3);
        assert!(rack["verdict"]["kind"].is_string());
    }
}

#[test]
fn a_link_is_taken_too_and_says_the_same() {
    let text = std::fs::read_to_string(root().join("tests/data/ten-inch.json")).expect("a plan");
    let link = format!("https://example.org/rack/#{}", Plan::from_json(&text).expect("readable").to_link());
    assert_eq!(json(&run(&[&link]))["racks"], json(&run(&["tests/data/ten-inch.json"]))["racks"]);
}

#[test]
fn what_cannot_be_read_ends_with_two_and_one_sentence() {
    let bad = root().join("target").join("not-a-plan.json");
    std::fs::create_dir_all(root().join("target")).expect("target");
    for (content, args) in [
        (Some("{"), vec![bad.to_str().expect("a path")]),
        (Some(r#"{"donorack": 1, "car": {"weelbase": 2500}}"#), vec![bad.to_str().expect("a path")]),
        (None, vec!["no-such-file.json"]),
        (None, vec!["#AAAAk"]),
        (None, vec!["tests/data/ten-mm.json", "--rack", "12,x"]),
        (None, vec![]),
    ] {
        if let Some(content) = content {
            std::fs::write(&bad, content).expect("written");
        }
        let out = run(&args);
        assert_eq!(out.status.code(), Some(2), "{args:?}");
        let said = String::from_utf8_lossy(&out.stderr);
        assert!(out.stdout.is_empty() && said.trim().lines().count() == 1 && said.trim().len() > 10, "{args:?}: {said}");
    }
    assert!(String::from_utf8_lossy(&run(&[bad.to_str().expect("a path")]).stderr).contains("weelbase"));
}

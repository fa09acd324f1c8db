//! `evaluate` as a person calls it: what it prints, and how it ends.

use donorack::Plan;
use serde_json::Value;
use std::ffi::OsStr;
use std::fs::File;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn evaluate<A: AsRef<OsStr>>(args: &[A]) -> Command {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.current_dir(root()).args(["run", "--quiet", "--bin", "evaluate", "--"]).args(args);
    cargo
}

fn run<A: AsRef<OsStr>>(args: &[A]) -> Output {
    evaluate(args).output().expect("cargo runs")
}

/// The same with something to read on standard input.
fn fed(args: &[&str], input: &[u8]) -> Output {
    let mut child = evaluate(args).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("cargo runs");
    // More than the program takes is refused, which is no trouble here.
    let _ = child.stdin.take().expect("a pipe").write_all(input);
    child.wait_with_output().expect("it ends")
}

fn said(out: &Output) -> String {
    let said = String::from_utf8_lossy(&out.stderr).trim().to_owned();
    assert!(said.lines().count() == 1 && said.len() > 10 && !said.contains("panicked"), "one sentence: {said}");
    said
}

/// A folder of this test's own.
fn folder(name: &str) -> PathBuf {
    let dir = root().join("target").join(format!("{name}-{}", std::process::id()));
    std::fs::create_dir_all(&dir).expect("a folder");
    dir
}

fn json(out: &Output) -> Value {
    assert_eq!(out.status.code(), Some(0), "{}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).expect("JSON on standard output")
}

#[test]
fn every_result_of_the_list_is_printed_with_its_parts() {
    let out = json(&run(&["tests/data/links/three-racks.json", "--rack", "-20,0,12.5"]));
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
fn wheel_travel_is_crossed_with_rack_displacements() {
    let probes = |more: &[&str]| {
        let out = json(&run(&[&["crate/benches/points.json", "--travel", "-50,40"], more].concat()));
        out["racks"][0]["over_bumps"].as_array().expect("--travel").clone()
    };
    assert_eq!(probes(&[]).iter().map(|p| p["rack"].as_f64()).collect::<Vec<_>>(), [Some(0.0); 2]);
    let (height, arm) = (probes(&["--rack", "0,20,900"]), probes(&["--rack", "0,20,900", "--hold", "arm"]));
    assert_eq!((height.len(), arm.len()), (6, 6));
    for (k, (a, b)) in height.iter().zip(&arm).enumerate() {
        for (a, b) in [0, 1].map(|side| (&a["wheels"][side], &b["wheels"][side])) {
            assert_eq!(a["status"] == "ok", k % 3 < 2, "{a}");
            // At mid-travel both are the same, steered they are not quite.
            let apart = (a["toe"].as_f64().unwrap_or(0.0) - b["toe"].as_f64().unwrap_or(0.0)).abs();
            assert!(if k % 3 == 1 { apart > 1e-4 && apart < 0.5 } else { apart == 0.0 }, "{a} {b}");
        }
    }
}

#[test]
fn a_link_is_taken_too_and_says_the_same() {
    let text = std::fs::read_to_string(root().join("tests/data/links/ten-inch.json")).expect("a plan");
    let link = format!("https://example.org/rack/#{}", Plan::from_json(&text).expect("readable").to_link());
    assert_eq!(json(&run(&[&link]))["racks"], json(&run(&["tests/data/links/ten-inch.json"]))["racks"]);
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
        (None, vec!["tests/data/links/ten-mm.json", "--rack", "12,x"]),
        (None, vec![]),
        (None, vec!["--rack"]),
        (None, vec!["tests/data/links/ten-mm.json", "tests/data/links/ten-mm.json"]),
        (None, vec!["tests/data/links/ten-mm.json", "--travel", "12,up"]),
        (None, vec!["tests/data/links/ten-mm.json", "--hold", "still"]),
        (None, vec!["--rak", "1", "tests/data/links/ten-mm.json"]),
        (None, vec!["oAAAAAk"]),
        (None, vec!["tests"]),
    ] {
        if let Some(content) = content {
            std::fs::write(&bad, content).expect("written");
        }
        let out = run(&args);
        assert_eq!(out.status.code(), Some(2), "{args:?}");
        said(&out);
        assert!(out.stdout.is_empty(), "{args:?}");
    }
    assert!(said(&run(&[&bad])).contains("weelbase"));
    assert!(said(&run(&["#AAAAk"])).contains("damaged") && said(&run(&["no-such-file.json"])).contains("no-such-file.json"));
}

#[test]
fn help_and_version_are_answers_and_no_errors() {
    for word in ["--help", "-h"] {
        let out = run(&[word]);
        let text = String::from_utf8_lossy(&out.stdout);
        assert!(out.status.success() && out.stderr.is_empty() && text.contains("--rack") && text.contains("standard input"), "{text}");
    }
    for word in ["--version", "-V"] {
        let out = run(&[word]);
        assert_eq!(String::from_utf8_lossy(&out.stdout), format!("evaluate {} (plan format 1)\n", env!("CARGO_PKG_VERSION")));
        assert!(out.status.success() && out.stderr.is_empty());
    }
}

#[test]
fn a_plan_comes_from_a_file_a_link_a_bare_fragment_or_standard_input() {
    let file = "tests/data/links/ten-inch.json";
    let text = std::fs::read_to_string(root().join(file)).expect("a plan");
    let link = Plan::from_json(&text).expect("readable").to_link();
    let wanted = run(&[file]);
    assert!(wanted.status.success());
    let racks = json(&wanted)["racks"].clone();
    for word in [link.clone(), format!("#{link}"), format!("https://example.org/rack/?a=b#{link}."), format!("{link}\n")] {
        assert_eq!(json(&run(&[&word]))["racks"], racks, "{word}");
    }
    assert_eq!(fed(&["-"], text.as_bytes()).stdout, wanted.stdout);
    assert_eq!(json(&fed(&["-", "--rack", "0"], format!("#{link}\n").as_bytes()))["racks"][0]["at"].as_array().map(Vec::len), Some(1));
    // A file may hold a link, and may be called as one likes.
    let dir = folder("odd-names");
    for (name, held) in [("-", text.as_str()), ("--help", &text), ("a#b", &text), ("link", &link)] {
        let path = dir.join(name);
        std::fs::write(&path, held).expect("written");
        assert_eq!(json(&run(&[&path]))["racks"], racks, "{name}");
        let bare = evaluate(&["--", name]).current_dir(&dir).output().expect("cargo runs");
        assert_eq!(json(&bare)["racks"], racks, "-- {name}");
    }
    std::fs::remove_dir_all(&dir).expect("removed");
    for nothing in ["", "{", "neither"] {
        let out = fed(&["-"], nothing.as_bytes());
        assert!(out.status.code() == Some(2) && out.stdout.is_empty() && said(&out).contains("no"), "{nothing:?}");
    }
    assert!(said(&fed(&["-"], &[b'{', 0xff])).contains("standard input is not a text file"));
}

#[cfg(unix)]
#[test]
fn words_that_are_no_text_are_names_of_files_or_refused() {
    use std::os::unix::ffi::OsStrExt;
    let dir = folder("no-text");
    let name = OsStr::from_bytes(b"pl\xe4n-\xff.json");
    std::fs::copy(root().join("tests/data/links/ten-mm.json"), dir.join(name)).expect("copied");
    assert!(run(&[dir.join(name)]).status.success());
    for args in [vec![name], vec![OsStr::new("tests/data/links/ten-mm.json"), OsStr::new("--rack"), OsStr::from_bytes(b"1,\xff")]] {
        let out = run(&args);
        assert_eq!(out.status.code(), Some(2), "{args:?}");
        said(&out);
    }
    std::fs::remove_dir_all(&dir).expect("removed");
}

#[cfg(target_os = "linux")]
#[test]
fn what_cannot_be_written_is_said_and_a_closed_pipe_ends_quietly() {
    let full = || File::options().write(true).open("/dev/full").expect("a disk that is always full");
    let out = evaluate(&["tests/data/links/three-racks.json"]).stdout(full()).output().expect("cargo runs");
    assert!(out.status.code() == Some(1) && said(&out).starts_with("The results cannot be written: "));
    // The pipe is closed before anything comes: the results do not fit into it, so somebody would have to read.
    let mut child =
        evaluate(&["tests/data/links/three-racks.json"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("cargo runs");
    drop(child.stdout.take());
    let out = child.wait_with_output().expect("it ends");
    assert!(out.status.success() && out.stderr.is_empty(), "{:?}: {}", out.status, String::from_utf8_lossy(&out.stderr));
    // Nobody hears the sentence either.
    let out = evaluate(&["no-such-file.json"]).stderr(full()).output().expect("cargo runs");
    assert_eq!(out.status.code(), Some(2));
}

#[cfg(unix)]
#[test]
fn what_is_too_large_for_a_plan_is_refused_without_reading_it() {
    let dir = folder("too-large");
    let huge = dir.join("huge.json");
    File::create(&huge).and_then(|file| file.set_len(3 << 30)).expect("a file with nothing in it");
    let endless = PathBuf::from("/dev/zero");
    for path in [&huge, &endless] {
        let start = std::time::Instant::now();
        let out = run(&[path]);
        assert!(out.status.code() == Some(2) && said(&out).contains("at most 1000000 bytes"), "{}", path.display());
        // Cargo may have to wait for another; an endless file is never read to its end, however long one waits.
        assert!(start.elapsed().as_secs() < 60, "{:?}", start.elapsed());
    }
    let out = fed(&["-"], &vec![b' '; 2_000_000]);
    assert!(out.status.code() == Some(2) && said(&out).contains("at most 1000000 bytes"));
    std::fs::remove_dir_all(&dir).expect("removed");
}

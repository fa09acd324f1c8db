//! The core's folders import only downwards: from those that stand before them in the list.

#![allow(clippy::unwrap_used, reason = "a failing test may stop at once")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// The folders, from the ground up.
const FOLDERS: [&str; 14] = [
    "math",
    "measurement",
    "catalogue",
    "plan",
    "suspension",
    "linkage",
    "analysis",
    "wording",
    "judgement",
    "rack_search",
    "present",
    "session",
    "chart",
    "web",
];

/// The source of every file in and below a folder, by its path from the crate's `src`.
fn sources(folder: &Path, root: &Path, into: &mut BTreeMap<String, String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, root, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let name = path.strip_prefix(root).unwrap().to_string_lossy().into_owned();
            into.insert(name, fs::read_to_string(&path).unwrap());
        }
    }
}

/// Every `crate::…` path of a source, comments and its own tests left out: what follows, up to two names, with the line.
fn paths(source: &str) -> Vec<(usize, Vec<String>)> {
    let mut out = Vec::new();
    for (number, line) in source.lines().take_while(|line| *line != "#[cfg(test)]").enumerate() {
        let code = line.split("//").next().unwrap_or_default();
        for (at, _) in code.match_indices("crate::") {
            let word = |text: &str| text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
            out.push((number + 1, code[at + "crate::".len()..].split("::").take(2).map(word).collect()));
        }
    }
    out
}

/// What is wrong with the imports of these files: a sentence each.
fn faults(files: &BTreeMap<String, String>) -> Vec<String> {
    let mut out = Vec::new();
    for (file, source) in files {
        let Some((folder, _)) = file.split_once('/').filter(|(folder, _)| *folder != "bin") else { continue };
        let Some(own) = FOLDERS.iter().position(|f| *f == folder) else {
            out.push(format!("{file}: its folder is not in the list"));
            continue;
        };
        for (line, path) in paths(source) {
            let name = &path[0];
            match FOLDERS.iter().position(|f| name == f) {
                Some(other) if other <= own => {}
                Some(_) => out.push(format!("{file}:{line} imports upwards, from {name}")),
                None => out.push(format!("{file}:{line} imports `{name}`, which is no folder")),
            }
        }
        // The way round the list: out of the folder by `super`.
        if source.contains("super::super::super::")
            || (file.ends_with("/mod.rs") && file.matches('/').count() == 1 && source.contains("super::super"))
        {
            out.push(format!("{file} leaves its folder by super"));
        }
    }
    out
}

#[test]
fn folders_import_only_downwards() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crate/src");
    let mut files = BTreeMap::new();
    sources(&root, &root, &mut files);
    for folder in FOLDERS {
        assert!(files.keys().any(|f| f.starts_with(&format!("{folder}/"))), "nothing stands in {folder}");
    }
    let loose: Vec<&String> = files.keys().filter(|f| !f.contains('/') && *f != "lib.rs").collect();
    assert!(loose.is_empty(), "in no folder: {loose:?}");
    let faults = faults(&files);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// A circle of files, each importing the next, if there is one.
fn circle(files: &BTreeMap<String, String>) -> Option<Vec<String>> {
    let file_of = |path: &[String]| match path {
        [folder, module] if files.contains_key(&format!("{folder}/{module}.rs")) => format!("{folder}/{module}.rs"),
        [folder, module] if files.contains_key(&format!("{folder}/{module}/mod.rs")) => format!("{folder}/{module}/mod.rs"),
        path => format!("{}/mod.rs", path[0]),
    };
    let imports = |file: &String| paths(&files[file]).into_iter().map(|(_, path)| file_of(&path)).collect::<BTreeSet<_>>();
    let mut left: BTreeMap<&String, BTreeSet<String>> = files.keys().map(|f| (f, imports(f))).collect();
    // Whoever imports nothing that is left, or is imported by nothing that is left, is in no circle.
    loop {
        let open = |f: &str, i: &BTreeSet<String>| i.iter().any(|i| i != f && left.contains_key(i));
        let asked = |f: &String| left.iter().any(|(other, i)| *other != f && i.contains(f));
        let free: Vec<&String> = left.iter().filter(|(f, i)| !open(f, i) || !asked(f)).map(|(f, _)| *f).collect();
        if free.is_empty() {
            return (!left.is_empty()).then(|| left.into_keys().cloned().collect());
        }
        left.retain(|f, _| !free.contains(f));
    }
}

#[test]
fn no_file_imports_itself_round_a_circle() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crate/src");
    let mut files = BTreeMap::new();
    sources(&root, &root, &mut files);
    files.remove("lib.rs");
    assert_eq!(circle(&files), None);
    let planted = [("plan/link.rs", "use crate::plan::json::Part;"), ("plan/json.rs", "use crate::plan::link::KEY;"), ("plan/mod.rs", "")];
    let planted: BTreeMap<String, String> = planted.into_iter().map(|(f, s)| (f.to_owned(), s.to_owned())).collect();
    assert_eq!(circle(&planted), Some(vec!["plan/json.rs".to_owned(), "plan/link.rs".to_owned()]));
}

#[test]
fn an_upward_import_is_seen() {
    let files = |file: &str, source: &str| BTreeMap::from([(file.to_owned(), source.to_owned())]);
    let planted = [
        ("plan/inputs.rs", "use crate::linkage::arm::Arm;"),
        ("math/root.rs", "fn f() { crate::present::view::evaluate() }"),
        ("plan/link.rs", "use crate::{catalogue, linkage};"),
        ("catalogue/result.rs", "use crate::Plan;"),
        ("elsewhere/x.rs", ""),
    ];
    for (file, source) in planted {
        assert_eq!(faults(&files(file, source)).len(), 1, "{file}: {source}");
    }
    for (file, source) in
        [("present/view.rs", "use crate::math::within;"), ("plan/link.rs", "// crate::linkage::arm\nuse crate::plan::keys;")]
    {
        assert!(faults(&files(file, source)).is_empty(), "{file}: {source}");
    }
}

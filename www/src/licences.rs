//! The licences of what the page is made of, as one text beside it: the project's own first, then those of scripts that others wrote, each
//! crate's inside the WebAssembly, and Rust's.

use crate::{Trouble, cargo, workspace};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The text's name in the built folder. The page has a link to it and never fetches it.
pub const NAME: &str = "licences.txt";
/// The package that is compiled.
const OWN: &str = "donorack";
/// Names of files that hold a licence, as they begin.
const BEGINNINGS: [&str; 4] = ["LICENSE", "LICENCE", "COPYING", "UNLICENSE"];
const LINE: &str = "\n\n--------------------------------------------------------------------------------\n\n";

/// The crates of which a build made libraries for `target`, by what cargo says about it (`--message-format=json`): their package ids.
pub fn compiled(said: &str, target: &str) -> Vec<String> {
    let artifacts = said.lines().filter_map(|line| serde_json::from_str::<Value>(line).ok());
    let artifacts = artifacts.filter(|said| said["reason"] == "compiler-artifact");
    let built = |said: &Value| said["filenames"].as_array().is_some_and(|all| all.iter().any(|file| lies_below(file, target)));
    let mut ids: Vec<String> = artifacts.filter(built).filter_map(|said| Some(said["package_id"].as_str()?.to_owned())).collect();
    ids.sort();
    ids.dedup();
    ids
}

fn lies_below(file: &Value, folder: &str) -> bool {
    file.as_str().is_some_and(|file| Path::new(file).components().any(|part| part.as_os_str() == folder))
}

/// The text for the crates of these package ids. A crate whose licence is nowhere to be had is an error: it must not be given away.
pub fn text(ids: &[String]) -> Result<String, Trouble> {
    let said = cargo().args(["metadata", "--format-version", "1", "--locked"]).output()?;
    let all: Value = serde_json::from_slice(&said.stdout).map_err(|_| "cargo does not tell which crates there are")?;
    let own = [fs::read_to_string(workspace().join("LICENSE-MIT"))?, fs::read_to_string(workspace().join("LICENSE-APACHE"))?];
    let mut head = String::new();
    // Many have the same text to the letter; it stands there once.
    let mut texts: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for id in ids {
        let named = all["packages"].as_array().and_then(|all| all.iter().find(|package| package["id"].as_str() == Some(id)));
        let package = named.ok_or_else(|| format!("cargo does not know {id}"))?;
        let word = |key: &str| package[key].as_str().unwrap_or_default();
        let (name, terms) = (format!("{} {}", word("name"), word("version")), word("license"));
        if word("name") == OWN {
            head = format!("Donorack {}\n{terms}, at your option\n\n{}\n\n{}", word("version"), own[0].trim(), own[1].trim());
            continue;
        }
        let folder = Path::new(word("manifest_path")).parent().unwrap_or(Path::new(""));
        let files = chosen(folder, terms)?;
        let mut held = Vec::new();
        for file in &files {
            held.push(fs::read_to_string(file).map_err(|e| format!("{} cannot be read: {e}", file.display()))?);
        }
        // Some crates name the licence and leave its text out; this one's text is the same for everybody.
        if held.is_empty() && terms.contains("Apache-2.0") {
            held.push(own[1].clone());
        }
        if held.is_empty() {
            return Err(format!("the licence of {name} ({terms}) is nowhere to be had").into());
        }
        let held: Vec<&str> = held.iter().map(|text| text.trim()).collect();
        texts.entry(held.join("\n\n").replace("\r\n", "\n")).or_default().push(format!("{name}: {terms}"));
    }
    let mut out = format!("What this page is made of, and the licences under which it may be passed on.{LINE}{head}");
    for script in scripts()? {
        out += &format!("{LINE}{}", script.trim());
    }
    for (text, names) in texts {
        out += &format!("{LINE}{}\n\n{text}", names.join("\n"));
    }
    Ok(format!("{out}{LINE}{}\n", rust(own[0].trim())))
}

/// The licences of the scripts that others wrote, each with its name, version and terms in the first line.
fn scripts() -> Result<Vec<String>, Trouble> {
    let mut texts = Vec::new();
    for entry in fs::read_dir(workspace().join("www/licences"))? {
        texts.push(fs::read_to_string(entry?.path())?);
    }
    texts.sort();
    Ok(texts)
}

/// The licence files of a crate: those of the MIT licence alone where that is offered, else all.
fn chosen(folder: &Path, terms: &str) -> Result<Vec<PathBuf>, Trouble> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).map_err(|e| format!("{} cannot be read: {e}", folder.display()))? {
        let path = entry?.path();
        let name = path.file_name().map(|name| name.to_string_lossy().to_ascii_uppercase()).unwrap_or_default();
        if !BEGINNINGS.iter().any(|word| name.starts_with(word)) {
            continue;
        }
        if path.is_dir() {
            for inner in fs::read_dir(path)? {
                found.push(inner?.path());
            }
        } else {
            found.push(path);
        }
    }
    found.sort();
    let mit = |file: &PathBuf| file.file_name().is_some_and(|name| name.to_string_lossy().to_ascii_uppercase().contains("MIT"));
    let offered = !terms.contains(" AND ") && terms.split([' ', '/']).any(|word| word == "MIT");
    if offered && found.iter().any(mit) {
        found.retain(mit);
    }
    Ok(found)
}

/// The part of the standard library that is compiled in. Its texts come with the toolchain; without them the MIT licence, as ours has it.
fn rust(mit: &str) -> String {
    let asked = |word: &[&str]| Command::new("rustc").args(word).current_dir(workspace()).output();
    let said = |word: &[&str]| asked(word).map(|out| String::from_utf8_lossy(&out.stdout).trim().to_owned()).unwrap_or_default();
    let licences = PathBuf::from(said(&["--print", "sysroot"])).join("share/doc/rust/licenses");
    let read = |name: &str| fs::read_to_string(licences.join(name)).ok().map(|text| text.trim().to_owned());
    let terms = mit.split_once("\n\nPermission").map_or(mit.to_owned(), |(_, terms)| format!("MIT License\n\nPermission{terms}"));
    let mut out = format!(
        "The Rust standard library, {}: MIT OR Apache-2.0\nCopyright (c) The Rust Project Developers (see https://thanks.rust-lang.org)\n\n{}",
        said(&["--version"]),
        read("MIT.txt").unwrap_or(terms)
    );
    if let Some(unicode) = read("Unicode-3.0.txt") {
        out += &format!("\n\nIts tables of letters: Unicode-3.0\n\n{unicode}");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::compiled;

    /// Lines as cargo 1.95 prints them, shortened.
    #[test]
    fn crates_for_the_target_are_told_from_what_runs_while_building() {
        let said = r#"{"reason":"compiler-artifact","package_id":"registry#syn@2.0.1","filenames":["/t/page/wasm/deps/libsyn-1.rlib"]}
{"reason":"compiler-artifact","package_id":"registry#crc@3.4.0","filenames":["/t/page/wasm32-unknown-unknown/wasm/deps/libcrc-1.rlib"]}
{"reason":"build-script-executed","package_id":"registry#libm@0.2.16","out_dir":"/t/page/wasm32-unknown-unknown/wasm/build"}
{"reason":"compiler-artifact","package_id":"path#donorack@0.1.0","filenames":["/t/page/wasm32-unknown-unknown/wasm/donorack.wasm"]}
{"reason":"compiler-artifact","package_id":"registry#crc@3.4.0","filenames":["/t/page/wasm32-unknown-unknown/wasm/deps/libcrc-1.rlib"]}
no JSON
{"reason":"build-finished","success":true}"#;
        assert_eq!(compiled(said, "wasm32-unknown-unknown"), ["path#donorack@0.1.0", "registry#crc@3.4.0"]);
    }
}

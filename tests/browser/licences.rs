//! The licences of what is compiled into the page, in the folder that is given away.

use donorack_tests::browser::{Browser, site};
use serde_json::Value;
use std::path::Path;

/// What cargo prints.
fn cargo(words: &str) -> String {
    let said = donorack_www::cargo().args(words.split(' ')).output().expect("cargo runs");
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
    String::from_utf8(said.stdout).unwrap()
}

/// Texts of the files of a crate whose names speak of a licence, in folders of that name too.
fn texts(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().to_lowercase();
        if ["licen", "copying"].iter().any(|word| name.contains(word)) {
            match path.is_dir() {
                true => found.extend(std::fs::read_dir(path).unwrap().map(|inner| std::fs::read_to_string(inner.unwrap().path()).unwrap())),
                false => found.push(std::fs::read_to_string(path).unwrap()),
            }
        }
    }
    found
}

/// The crates as `cargo tree` has them, which is not how the build finds them.
#[tokio::test]
async fn every_crate_in_the_webassembly_is_named_with_its_licence() {
    let file = std::fs::read_to_string(site().join("licences.txt")).expect("licences.txt is built");
    let own = std::fs::read_to_string(donorack_www::workspace().join("LICENSE-MIT")).unwrap();
    let first = file.find(own.trim()).expect("the project's own");
    let metadata: Value = serde_json::from_str(&cargo("metadata --format-version 1 --locked")).unwrap();
    let packages = metadata["packages"].as_array().unwrap();
    let tree = cargo("tree -p donorack --target wasm32-unknown-unknown -e normal,no-proc-macro --prefix none --format {p} --locked");
    let mut count = 0;
    for line in tree.lines() {
        let mut words = line.split(' ');
        let (name, version) = (words.next().unwrap(), words.next().unwrap().trim_start_matches('v'));
        if name == "donorack" {
            continue;
        }
        let package = packages.iter().find(|p| p["name"] == name && p["version"] == version).unwrap();
        let at = file
            .find(&format!("\n{name} {version}: {}", package["license"].as_str().unwrap()))
            .unwrap_or_else(|| panic!("{name} {version} is not named"));
        assert!(at > first, "the project's own comes first");
        // Its text follows before the next line of dashes.
        let section = file[at..].split("\n----").next().unwrap();
        let folder = Path::new(package["manifest_path"].as_str().unwrap()).parent().unwrap();
        let held = texts(folder);
        let found = held.iter().any(|text| section.contains(text.replace("\r\n", "\n").trim()));
        // One crate names its licences and brings no text.
        assert!(found || held.is_empty() && section.contains("Apache License"), "{name}: {section}");
        count += 1;
    }
    assert!(count > 20, "{count}: {tree}");
    // Every script that somebody else wrote says its name and version in its head; so does the list, with the whole licence.
    for script in std::fs::read_dir(donorack_www::workspace().join("www/page/lib")).unwrap() {
        let head = std::fs::read_to_string(script.unwrap().path()).unwrap();
        let named = head.lines().find_map(|line| line.strip_prefix(" * ")?.split_once(", http")).expect("a name and a version").0;
        let section = file.split(&format!("\n{named}: ")).nth(1).unwrap_or_else(|| panic!("{named} is not named"));
        let section = section.split("\n----").next().unwrap();
        assert!(section.contains("Copyright (c)") && section.contains("Redistribution and use in source and binary forms"), "{section}");
    }
    assert!(file.contains("The Rust standard library, rustc 1."));
    // The link at the foot of the page leads there.
    let phone = Browser::phone().await;
    phone.js("document.querySelector('footer a').scrollIntoView({ block: 'center', behavior: 'instant' })").await;
    assert_eq!(phone.text("footer a").await, "Licences of the parts this page is made of");
    assert_eq!(phone.complaints(), Vec::<String>::new());
    phone.tap("footer a").await;
    phone.until("location.pathname.endsWith('/licences.txt') && document.body.textContent.includes('Donorack')").await;
}

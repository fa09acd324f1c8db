//! What the tests need on the machine beside the Rust toolchain, and how it gets there.

use crate::site::need_target;
use crate::{Trouble, cargo, workspace};
use std::process::{Command, Stdio};

/// The Debian packages: a browser, its driver, and the two families of letters that screenshots are made with.
const PACKAGES: [&str; 4] = ["chromium", "chromium-driver", "fonts-liberation", "fonts-dejavu-core"];

/// Installs all that is missing, the accessibility checker from npm included; else says the line to run.
pub fn install() -> Result<(), Trouble> {
    need_target()?;
    for part in ["fmt", "clippy"] {
        let component = if part == "fmt" { "rustfmt" } else { part };
        if !works(cargo().args([part, "--version"])) {
            run("rustup", &["component", "add", component])?;
        }
    }
    let mut missing = missing();
    if !works(Command::new("npm").arg("--version")) {
        missing.push("npm");
    }
    if !missing.is_empty() {
        system(missing)?;
    }
    if axe_is_there() {
        return Ok(());
    }
    run("npm", &["ci", "--prefix", "tests", "--ignore-scripts", "--no-audit", "--no-fund"])
}

/// Whether what `tests/package-lock.json` names has been installed since it last changed.
fn axe_is_there() -> bool {
    let changed = |name: &str| workspace().join("tests").join(name).metadata().and_then(|file| file.modified()).ok();
    match (changed("node_modules/.package-lock.json"), changed("package-lock.json")) {
        (Some(installed), Some(asked)) => installed >= asked,
        _ => false,
    }
}

/// Installs Debian packages.
fn system(missing: Vec<&str>) -> Result<(), Trouble> {
    let mut install = vec!["install", "-y", "--no-install-recommends"];
    install.extend(missing);
    let line = format!("apt-get update && apt-get {}", install.join(" "));
    if !works(Command::new("apt-get").arg("--version")) {
        return Err(format!("the tests need Chromium, chromedriver and npm; on Debian, as root, run: {line}").into());
    }
    if !is_root() {
        return Err(format!("the tests need packages that only root can install; as root, run: {line}").into());
    }
    run("apt-get", &["update"])?;
    run("apt-get", &install)
}

/// The packages not installed. Where there is no Debian: all, unless a chromedriver runs.
fn missing() -> Vec<&'static str> {
    if !works(Command::new("dpkg-query").arg("--version")) {
        return if works(Command::new("chromedriver").arg("--version")) { Vec::new() } else { PACKAGES.to_vec() };
    }
    let installed = |package: &&str| {
        let asked = Command::new("dpkg-query").args(["--show", "--showformat=${db:Status-Status}", package]).output();
        asked.is_ok_and(|out| out.stdout == b"installed")
    };
    PACKAGES.into_iter().filter(|package| !installed(package)).collect()
}

fn is_root() -> bool {
    Command::new("id").arg("-u").output().is_ok_and(|out| out.stdout.trim_ascii() == b"0")
}

/// Whether a command ends well. What it says is of no interest.
fn works(command: &mut Command) -> bool {
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).status().is_ok_and(|status| status.success())
}

/// Runs a command in sight of the user; when it fails, its line is the trouble.
fn run(program: &str, words: &[&str]) -> Result<(), Trouble> {
    let line = format!("{program} {}", words.join(" "));
    eprintln!("{line}");
    let mut command = Command::new(program);
    command.args(words).current_dir(workspace()).env("DEBIAN_FRONTEND", "noninteractive").stdin(Stdio::null());
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        _ => Err(format!("this did not succeed, and the tests need it: {line}").into()),
    }
}

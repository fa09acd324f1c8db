//! What the tests need on the machine beside the Rust toolchain, and how it gets there.

use crate::site::need_target;
use crate::{Trouble, cargo, target, workspace};
use std::path::PathBuf;
use std::process::{Command, Stdio};

/// The Debian packages, each with a program of it: three browsers with what drives them, a screen for the one that cannot do without,
/// a JavaScript package manager, and the two families of letters that screenshots are made with.
const PACKAGES: [(&str, &str); 9] = [
    ("chromium", "chromium"),
    ("chromium-driver", "chromedriver"),
    ("firefox-esr", "firefox"),
    ("webkit2gtk-driver", "WebKitWebDriver"),
    ("xvfb", "Xvfb"),
    ("openbox", "openbox"),
    ("npm", "npm"),
    ("fonts-liberation", ""),
    ("fonts-dejavu-core", ""),
];
/// The version of geckodriver, which Debian does not have.
const GECKODRIVER: &str = "0.37.1";

/// Installs all that is missing, what comes from npm included; else says the line to run.
pub fn install() -> Result<(), Trouble> {
    need_target()?;
    for part in ["fmt", "clippy"] {
        let component = if part == "fmt" { "rustfmt" } else { part };
        if !works(cargo().args([part, "--version"])) {
            run("rustup", &["component", "add", component])?;
        }
    }
    let missing = missing();
    if !missing.is_empty() {
        system(missing)?;
    }
    if geckodriver().is_none() {
        let version = format!("={GECKODRIVER}");
        let root = tools().display().to_string();
        // It waits for Firefox all day: compiling it in half the time counts for more than how quick it is.
        run("cargo", &["install", "geckodriver", "--version", &version, "--locked", "--debug", "--root", &root])?;
    }
    if npm_is_done() {
        return Ok(());
    }
    run("npm", &["ci", "--prefix", "tests", "--ignore-scripts", "--no-audit", "--no-fund"])
}

/// Where programs go that the tests need and no package has.
fn tools() -> PathBuf {
    target().join("tools")
}

/// A file of a package from npm.
pub fn npm(file: &str) -> PathBuf {
    workspace().join("tests/node_modules").join(file)
}

/// The node that npm installed: there is one for Linux on x86-64 and ARM. Elsewhere it must be the system's own.
pub fn node() -> PathBuf {
    Some(npm(".bin/node")).filter(|node| node.exists()).unwrap_or_else(|| "node".into())
}

/// The driver of Firefox: the one that `GECKODRIVER` names, else one of the right version among the project's tools or on the path.
pub fn geckodriver() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os("GECKODRIVER") {
        return Some(named.into());
    }
    let says = |program: &PathBuf| {
        let said = Command::new(program).arg("--version").stdin(Stdio::null()).output();
        // "geckodriver 0.37.1", with its commit behind it only where it was built from a checkout.
        said.is_ok_and(|said| String::from_utf8_lossy(&said.stdout).split_whitespace().nth(1) == Some(GECKODRIVER))
    };
    [tools().join("bin/geckodriver"), "geckodriver".into()].into_iter().find(says)
}

/// Whether what `tests/package-lock.json` names has been installed since it last changed.
fn npm_is_done() -> bool {
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
        return Err(format!(
            "the tests need Chromium, Firefox and WebKitGTK with their drivers, Xvfb, openbox and npm; on Debian, as root, run: {line}"
        )
        .into());
    }
    if !is_root() {
        return Err(format!("the tests need packages that only root can install; as root, run: {line}").into());
    }
    run("apt-get", &["update"])?;
    run("apt-get", &install)
}

/// The packages not installed. Where there is no Debian: those of programs that are not there, with the letters if there is any such.
fn missing() -> Vec<&'static str> {
    if !works(Command::new("dpkg-query").arg("--version")) {
        let absent = |program: &str| {
            let all = std::env::var_os("PATH").unwrap_or_default();
            !std::env::split_paths(&all).any(|dir| dir.join(program).is_file())
        };
        let lacks = PACKAGES.iter().any(|(_, program)| !program.is_empty() && absent(program));
        let wanted = |(package, program): (&'static str, &str)| (lacks && (program.is_empty() || absent(program))).then_some(package);
        return PACKAGES.into_iter().filter_map(wanted).collect();
    }
    let installed = |package: &str| {
        let asked = Command::new("dpkg-query").args(["--show", "--showformat=${db:Status-Status}", package]).output();
        asked.is_ok_and(|out| out.stdout == b"installed")
    };
    // Another npm than Debian's will do, and is common.
    let there = |(package, program): (&str, &str)| installed(package) || program == "npm" && works(Command::new(program).arg("--version"));
    PACKAGES.into_iter().filter(|all| !there(*all)).map(|(package, _)| package).collect()
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

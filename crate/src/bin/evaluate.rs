//! `evaluate PLAN [--rack MM,MM,…] [--travel MM,MM,…]`: every result of a plan as JSON on standard output. `--help` says what PLAN may be.
//!
//! Exit 0 whatever the fit; 1 with one sentence where the results cannot be written; 2 with one for a plan or words that cannot be read.

use donorack::{FORMAT, Hold, LONGEST_TEXT, LinkError, Plan, PlanError, evaluate, probe, probe_bump, result_rows};
use serde_json::{Value, json};
use std::ffi::{OsStr, OsString};
use std::io::{ErrorKind, Read, Write};
use std::path::Path;
use std::process::ExitCode;

const USAGE: &str = "Usage: evaluate PLAN [--rack MM,MM,…] [--travel MM,MM,…]   (evaluate --help says more)";
const HELP: &str = "Usage: evaluate PLAN [--rack MM,MM,…] [--travel MM,MM,…]

Prints every result of a plan as JSON: the figures and exactly the texts that the page shows.

PLAN is a plan's file; its link, whole or only what follows the #; or - for standard input, which may hold either.

  --rack MM,MM,…   also what the wheels do with the rack at these places, in mm from mid-travel, to the left positive
  --travel MM,MM,… also how each wheel stands over bumps at these heights, in mm from ride height, up positive; each of them at
                   each place of --rack, or at mid-travel
  --hold WHAT      what --travel keeps while the rack moves: height (of the wheel centre, unless said) or arm (the lower arm)
  --               what follows is PLAN, whatever it begins with
  -h, --help       this text
  -V, --version    version of the program and of the plan format

Ends with 0 whatever the fit, with 1 if the results cannot be written, with 2 if the plan cannot be read.";

fn main() -> ExitCode {
    let (text, code) = match run(std::env::args_os().skip(1)) {
        Ok(text) => (text, ExitCode::SUCCESS),
        Err(sentence) => {
            // Where nobody listens there is nobody to tell.
            let _ = writeln!(std::io::stderr(), "{sentence}");
            return ExitCode::from(2);
        }
    };
    let mut out = std::io::stdout().lock();
    match writeln!(out, "{text}").and_then(|()| out.flush()) {
        // Who closes the pipe has read enough.
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            let _ = writeln!(std::io::stderr(), "The results cannot be written: {e}.");
            ExitCode::from(1)
        }
        _ => code,
    }
}

fn run(args: impl Iterator<Item = OsString>) -> Result<String, String> {
    let (mut source, mut displacements, mut travels, mut options) = (None, Vec::new(), Vec::new(), true);
    let (mut hold, mut args) = (Hold::Height, args);
    while let Some(arg) = args.next() {
        match arg.to_str().filter(|_| options) {
            Some("--help" | "-h") => return Ok(HELP.to_owned()),
            Some("--version" | "-V") => return Ok(format!("evaluate {} (plan format {FORMAT})", env!("CARGO_PKG_VERSION"))),
            Some("--") => options = false,
            Some("--rack") => displacements.extend(lengths(&args.next().ok_or(USAGE)?, "a rack displacement")?),
            Some("--travel") => travels.extend(lengths(&args.next().ok_or(USAGE)?, "a wheel travel")?),
            Some("--hold") => {
                hold = match args.next().ok_or(USAGE)?.to_str() {
                    Some("height") => Hold::Height,
                    Some("arm") => Hold::Arm,
                    _ => return Err("--hold takes height or arm.".to_owned()),
                }
            }
            Some(word) if word.len() > 1 && word.starts_with('-') => return Err(format!("“{word}” is no option. {USAGE}")),
            _ if source.is_some() => return Err(USAGE.to_owned()),
            _ => source = Some((arg, options)),
        }
    }
    let (source, options) = source.ok_or(USAGE)?;
    let plan = if options && source == "-" { from("standard input", std::io::stdin().lock())? } else { read(&source)? };
    let mut out = serde_json::to_value(evaluate(&plan)).map_err(|e| e.to_string())?;
    let racks = out.get_mut("racks").and_then(Value::as_array_mut);
    for (i, rack) in racks.into_iter().flatten().enumerate() {
        if !displacements.is_empty() {
            rack["at"] = json!(displacements.iter().map(|&s| probe(&plan, i, s)).collect::<Vec<_>>());
        }
        if !travels.is_empty() {
            let racks = if displacements.is_empty() { &[0.0][..] } else { &displacements };
            let crossed = travels.iter().flat_map(|&z| racks.iter().map(move |&s| [z, s]));
            rack["over_bumps"] = json!(crossed.map(|at| probe_bump(&plan, i, at, hold)).collect::<Vec<_>>());
        }
    }
    out["table"] = json!(result_rows());
    serde_json::to_string_pretty(&out).map_err(|e| e.to_string())
}

/// The numbers of a list with commas, in mm.
fn lengths(list: &OsStr, what: &str) -> Result<Vec<f64>, String> {
    let mm = |part: &str| part.trim().parse::<f64>().ok().filter(|x| x.is_finite());
    list.to_string_lossy().split(',').map(|part| mm(part).ok_or_else(|| format!("“{part}” is not {what} in mm."))).collect()
}

/// The plan of a file of that name; where there is none, the plan of the link that the word is.
fn read(source: &OsStr) -> Result<Plan, String> {
    let name = source.to_string_lossy();
    if !Path::new(source).exists()
        && let Some(link) = source.to_str()
    {
        match Plan::from_link(link) {
            Ok(plan) => return Ok(plan),
            // A word without `#` that is no whole link is more likely the name of a file.
            Err(e) if link.contains('#') || matches!(e, LinkError::Refused(_) | LinkError::TooLarge) => return Err(e.to_string()),
            Err(_) => {}
        }
    }
    from(&name, std::fs::File::open(source).map_err(|e| format!("{name} cannot be read: {e}."))?)
}

/// The plan, or the link to one, that comes from somewhere; no more of it is read than a plan may have.
fn from(name: &str, source: impl Read) -> Result<Plan, String> {
    let mut bytes = Vec::new();
    let most = LONGEST_TEXT as u64;
    source.take(most + 1).read_to_end(&mut bytes).map_err(|e| format!("{name} cannot be read: {e}."))?;
    if bytes.len() > LONGEST_TEXT {
        return Err(PlanError::TooMuch { what: "bytes", most: LONGEST_TEXT }.to_string());
    }
    let text = String::from_utf8(bytes).map_err(|_| format!("{name} is not a text file."))?;
    match Plan::from_json(&text) {
        Err(e @ PlanError::NotJson { .. }) => Plan::from_link(text.trim()).map_err(|_| e.to_string()),
        plan => plan.map_err(|e| e.to_string()),
    }
}

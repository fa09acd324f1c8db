//! `evaluate PLAN.json [--rack MM,MM,…]`: every result of a plan as JSON on standard output.
//!
//! PLAN.json may also be a link. Exit 0 whatever the fit; 2 with one sentence for a plan that cannot be read.

use donorack::drawing::probe;
use donorack::plan::Plan;
use donorack::tables::result_rows;
use donorack::view::evaluate;
use serde_json::{Value, json};
use std::process::ExitCode;

const USAGE: &str = "Usage: evaluate PLAN.json [--rack MM,MM,…]   (PLAN.json may also be a link)";

fn main() -> ExitCode {
    match run(std::env::args().skip(1).collect()) {
        Ok(out) => {
            println!("{out}");
            ExitCode::SUCCESS
        }
        Err(sentence) => {
            eprintln!("{sentence}");
            ExitCode::from(2)
        }
    }
}

fn run(args: Vec<String>) -> Result<String, String> {
    let (mut source, mut displacements) = (None, Vec::new());
    let mut args = args.into_iter();
    while let Some(arg) = args.next() {
        if arg == "--rack" {
            let list = args.next().ok_or(USAGE)?;
            for part in list.split(',') {
                let mm = part.trim().parse::<f64>().ok().filter(|x| x.is_finite());
                displacements.push(mm.ok_or_else(|| format!("“{part}” is not a rack displacement in mm."))?);
            }
        } else if source.replace(arg).is_some() {
            return Err(USAGE.to_owned());
        }
    }
    let plan = read(&source.ok_or(USAGE)?)?;
    let mut out = serde_json::to_value(evaluate(&plan)).map_err(|e| e.to_string())?;
    let racks = out.get_mut("racks").and_then(Value::as_array_mut);
    for (i, rack) in racks.into_iter().flatten().enumerate() {
        if !displacements.is_empty() {
            rack["at"] = json!(displacements.iter().map(|&s| probe(&plan, i, s)).collect::<Vec<_>>());
        }
    }
    out["table"] = json!(result_rows());
    serde_json::to_string_pretty(&out).map_err(|e| e.to_string())
}

fn read(source: &str) -> Result<Plan, String> {
    if source.contains('#') && !std::path::Path::new(source).exists() {
        return Plan::from_link(source).map_err(|e| e.to_string());
    }
    let text = std::fs::read(source).map_err(|e| format!("{source} cannot be read: {e}."))?;
    let text = String::from_utf8(text).map_err(|_| format!("{source} is not a text file."))?;
    Plan::from_json(&text).map_err(|e| e.to_string())
}

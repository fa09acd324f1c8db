//! The readings of a plan as numbers.

use serde_json::Value;
use std::collections::BTreeMap;

/// The readings of a plan for one rack as numbers: mm, degrees, signed. A limit that is turned off is in `off`.
#[derive(Clone, Debug, Default)]
pub struct Numbers {
    known: BTreeMap<String, f64>,
    off: Vec<String>,
}

impl Numbers {
    /// From a plan's JSON; texts as far as the tests write them: "132 ± 0 mm behind", "off", "left".
    pub fn of(plan: &Value, rack: usize) -> Result<Numbers, String> {
        let mut all = Numbers::default();
        for section in [&plan["car"], &plan["racks"][rack], &plan["limits"]] {
            for (name, value) in section.as_object().into_iter().flatten() {
                if name == "name" || name == "note" {
                    continue;
                }
                match value {
                    Value::Number(n) => all.put(name, n.as_f64().ok_or("no number")?),
                    Value::String(text) if text == "off" => all.off.push(name.clone()),
                    Value::String(text) => all.put(name, read(text).ok_or_else(|| format!("{name}: {text}"))?),
                    other => return Err(format!("{name}: {other}")),
                }
            }
        }
        Ok(all)
    }

    /// Sets or replaces one.
    pub fn put(&mut self, name: &str, value: f64) {
        self.known.insert(name.to_owned(), value);
    }

    /// One of them, where it is known.
    pub fn get(&self, name: &str) -> Option<f64> {
        self.known.get(name).copied()
    }

    pub(super) fn need(&self, name: &str) -> Result<f64, String> {
        self.get(name).ok_or_else(|| format!("needs {name}"))
    }

    /// A limit: as typed, else its default, None when turned off.
    pub(super) fn limit(&self, name: &str, default: Option<f64>) -> Option<f64> {
        if self.off.iter().any(|o| o == name) { None } else { self.get(name).or(default) }
    }
}

pub(super) fn read(text: &str) -> Option<f64> {
    match text {
        "left" => return Some(1.0),
        "right" => return Some(-1.0),
        _ => {}
    }
    let value: f64 = text.split_whitespace().next()?.parse().ok()?;
    let minus = ["behind", "outboard", "right", "below", "forward"];
    let known = ["±", "mm", "deg", "%", "turns"];
    let mut words = text.split_whitespace().skip(1).filter(|w| w.parse::<f64>().is_err() && !known.contains(w));
    let side = words.next();
    if words.next().is_some() {
        return None;
    }
    Some(if side.is_some_and(|w| minus.contains(&w)) { -value } else { value })
}

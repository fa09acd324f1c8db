//! Makes a first visit short on a slow line: one style sheet, and every script asked for at once.

use crate::Trouble;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

const PAGE: &str = "index.html";
/// The one style sheet.
const STYLE: &str = "style.css";
const SHEET: &str = "<link rel=\"stylesheet\" href=\"";
const MODULE: &str = "<link rel=\"modulepreload\" href=\"";
const END: &str = "\">";

/// Puts the style sheets of the page in `dir` into one, in their order, and lets the page ask for those of the scripts `names` that it
/// would only hear of from another script. Returns the names as they are then; `apart` are the scripts that are no modules of the page.
pub fn gather(dir: &Path, names: &BTreeSet<String>, apart: &[&str]) -> Result<BTreeSet<String>, Trouble> {
    let mut names = names.clone();
    let page = fs::read_to_string(dir.join(PAGE))?;
    let (mut style, mut lines) = (String::new(), Vec::new());
    let asked = |name: &str| page.contains(&format!("=\"{name}\""));
    for line in page.lines() {
        if let Some(sheet) = line.strip_prefix(SHEET).and_then(|rest| rest.strip_suffix(END)) {
            if style.is_empty() {
                lines.push(format!("{SHEET}{STYLE}{END}"));
            }
            style += &fs::read_to_string(dir.join(sheet)).map_err(|e| format!("{sheet} cannot be read: {e}"))?;
            style.push('\n');
            remove(dir, sheet)?;
            names.remove(sheet);
            continue;
        }
        lines.push(line.to_owned());
        if line.starts_with("<script type=\"module\"") {
            let late = names.iter().filter(|name| name.ends_with(".js") && !apart.contains(&name.as_str()) && !asked(name));
            lines.extend(late.map(|name| format!("{MODULE}{name}{END}")));
        }
    }
    fs::write(dir.join(PAGE), lines.join("\n") + "\n")?;
    fs::write(dir.join(STYLE), style)?;
    names.insert(STYLE.to_owned());
    Ok(names)
}

/// Removes a file of `dir`, and the folders that are empty without it.
pub fn remove(dir: &Path, name: &str) -> Result<(), Trouble> {
    let path = dir.join(name);
    fs::remove_file(&path)?;
    path.ancestors().skip(1).take_while(|folder| *folder != dir && fs::remove_dir(folder).is_ok()).for_each(drop);
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;

    #[test]
    fn one_style_sheet_and_every_script_once() {
        let dir = std::env::temp_dir().join(format!("donorack-gather-{}", std::process::id()));
        fs::create_dir_all(dir.join("deep")).unwrap();
        let page = "<link rel=\"stylesheet\" href=\"b.css\">\n<script type=\"module\" src=\"main.js\"></script>\n<link rel=\"modulepreload\" href=\"known.js\">\n<link rel=\"stylesheet\" href=\"deep/a.css\">\n";
        for (name, text) in [(PAGE, page), ("b.css", "b {}"), ("deep/a.css", "a {}")] {
            fs::write(dir.join(name), text).unwrap();
        }
        let all = [PAGE, "b.css", "deep/a.css", "deep/c.js", "known.js", "main.js", "worker.js"].map(str::to_owned);
        let names = gather(&dir, &BTreeSet::from(all), &["worker.js"]).unwrap();
        assert_eq!(names.iter().collect::<Vec<_>>(), ["deep/c.js", PAGE, "known.js", "main.js", STYLE, "worker.js"]);
        assert_eq!(fs::read_to_string(dir.join(STYLE)).unwrap(), "b {}\na {}\n", "in the page's order, not the alphabet's");
        let made = fs::read_to_string(dir.join(PAGE)).unwrap();
        let wanted = "<link rel=\"stylesheet\" href=\"style.css\">\n<script type=\"module\" src=\"main.js\"></script>\n<link rel=\"modulepreload\" href=\"deep/c.js\">\n<link rel=\"modulepreload\" href=\"known.js\">\n";
        assert_eq!(made, wanted);
        assert!(!dir.join("b.css").exists() && !dir.join("deep").exists());
        fs::remove_dir_all(&dir).unwrap();
    }
}

//! The two documents that list what the catalogue holds say what it says. `DONORACK_WRITE=1 cargo test -p donorack-tests --test documents`
//! writes their tables anew, after a row was added or changed.
#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

use donorack::{FIELDS, Quantity, Section, Spec, result_rows};
use std::path::Path;

/// Holds the table that follows `heading` in a document of the crate against what it should be, or writes it.
fn table(file: &str, heading: &str, head: &str, rows: &[String]) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crate").join(file);
    let text = std::fs::read_to_string(&path).unwrap();
    let from = text.find(heading).unwrap_or_else(|| panic!("{file} has no {heading:?}")) + heading.len();
    let start = from + text[from..].find("\n|").unwrap_or_else(|| panic!("{file} has no table under {heading:?}")) + 1;
    let end = text[start..].find("\n\n").map_or(text.trim_end().len(), |at| start + at);
    let wanted = format!("{head}\n{}", rows.join("\n"));
    if text[start..end] == wanted {
        return;
    }
    if std::env::var_os("DONORACK_WRITE").is_some() {
        return std::fs::write(&path, format!("{}{wanted}{}", &text[..start], &text[end..])).unwrap();
    }
    let differs = text[start..end].lines().zip(wanted.lines()).find(|(a, b)| a != b);
    panic!("{file} is not what the catalogue says (DONORACK_WRITE=1 writes it anew): {differs:?}");
}

fn field(spec: &Spec) -> String {
    let (quantity, unit) = match spec.scale.quantity {
        Quantity::Length => ("length", " mm"),
        Quantity::Circle => ("circle", " mm"),
        Quantity::Angle => ("angle", "°"),
        Quantity::Turns => ("turns", ""),
        Quantity::Number => ("number", ""),
        Quantity::Percent => ("per cent", " %"),
        Quantity::Choice => ("choice", ""),
    };
    let sides = spec.scale.sides.map_or(String::new(), |(plus, minus)| format!("{plus} / {minus}"));
    let (lo, hi) = spec.scale.range;
    let plausible = if spec.scale.quantity == Quantity::Choice { String::new() } else { format!("{lo} to {hi}{unit}") };
    // A row that speaks of another one does so by its name in the code.
    let other = FIELDS.iter().map(|s| (format!("`{:?}`", s.field), format!("`{}`", s.name)));
    let meaning = other.fold(spec.field.meaning().trim_end_matches('.').to_owned(), |text, (code, name)| text.replace(&code, &name));
    format!("| {} | `{}` | {quantity} | {sides} | {plausible} | {meaning} |", spec.key, spec.name)
}

#[test]
fn the_format_describes_every_measurement() {
    let head = "| key | name | quantity | sides | plausible | what |\n| --- | --- | --- | --- | --- | --- |";
    for (section, heading) in [(Section::Car, "### Car"), (Section::Rack, "### Racks"), (Section::Limits, "### Limits")] {
        let rows: Vec<String> = FIELDS.iter().filter(|s| s.section == section).map(field).collect();
        table("PLAN_FORMAT.md", heading, head, &rows);
    }
}

#[test]
fn the_list_of_results_is_whole() {
    let row = |r: &donorack::ResultRow| {
        let sides = if r.sides.is_empty() { "–".to_owned() } else { r.sides.join(" / ") };
        format!("| `{}` | {sides} | {} | {}. {} |", r.name, r.unit, r.label, r.explain)
    };
    let rows: Vec<String> = result_rows().iter().map(row).collect();
    table("RESULTS.md", "# Every result", "| name | sides | unit | what it is |\n| --- | --- | --- | --- |", &rows);
}

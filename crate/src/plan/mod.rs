//! The plan: one car, the racks found for it, and what the builder demands. Any value may be absent.

mod base64url;
mod bounds;
pub mod inputs;
pub mod json;
pub mod keys;
pub mod link;

use crate::catalogue::field::{Field, Section};
use crate::measurement::entry::Entry;
use litemap::LiteMap;
use std::fmt::{self, Write};

/// The format number that this program writes.
pub const FORMAT: u32 = 1;
/// The longest plan file that is read, in bytes; no plan that is read writes a longer one.
pub const LONGEST_TEXT: usize = 1_000_000;
/// The most racks in a plan.
pub const MOST_RACKS: usize = 64;
/// The most entries in a plan, those of newer programs included. Our own limit: four times what fills every field of every rack.
pub const MOST_ENTRIES: usize = 4096;
/// The longest name of a plan or a rack, in characters.
pub const LONGEST_NAME: usize = 200;
/// The longest note, in characters.
pub const LONGEST_NOTE: usize = 2000;

/// What was typed, by measurement.
pub type Entries = LiteMap<Field, Entry>;

/// Entries of a link that this program does not know, as they came: key and CBOR bytes. They are passed on.
pub type Newer = LiteMap<u64, Vec<u8>>;

/// A plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Format number of the link it came from; [`FORMAT`] unless a newer program wrote that.
    pub format: u32,
    /// Forty-eight random bits that tell its copies apart from other plans, wherever it travels; a plan need not have them.
    pub id: Option<u64>,
    /// Its name.
    pub name: String,
    /// An example with invented figures.
    pub invented: bool,
    /// The car.
    pub car: Entries,
    /// The racks.
    pub racks: Vec<Rack>,
    /// What the builder demands.
    pub limits: Entries,
    /// The chosen rack, counted from 0. May point past the last rack: then none is chosen.
    pub chosen: usize,
    /// Unknown parts of the plan.
    pub newer: Newer,
    /// Unknown entries of the car.
    pub car_newer: Newer,
    /// Unknown entries of the limits.
    pub limits_newer: Newer,
}

/// One donor rack and how it is fitted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rack {
    /// Its name.
    pub name: String,
    /// Row in the yard, price, whose.
    pub note: String,
    /// What its builder means to do with it, where that was said.
    pub mark: Option<Mark>,
    /// What was measured.
    pub entries: Entries,
    /// Unknown entries.
    pub newer: Newer,
}

/// What the builder means to do with a rack. It says nothing of what was computed; a new rack has none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// To be bought.
    Buy,
    /// To be left where it lies.
    Leave,
    /// Sold, or crushed.
    Gone,
}

impl Mark {
    /// Every mark, in the order of their numbers in a link.
    pub const ALL: [Mark; 3] = [Mark::Buy, Mark::Leave, Mark::Gone];

    /// Its word in a file.
    pub fn word(self) -> &'static str {
        match self {
            Mark::Buy => "buy",
            Mark::Leave => "leave",
            Mark::Gone => "gone",
        }
    }

    /// The mark of that word.
    pub fn named(word: &str) -> Option<Mark> {
        Mark::ALL.into_iter().find(|mark| mark.word() == word)
    }
}

impl Default for Plan {
    fn default() -> Plan {
        Plan {
            format: FORMAT,
            id: None,
            name: String::new(),
            invented: false,
            car: Entries::new(),
            racks: Vec::new(),
            limits: Entries::new(),
            chosen: 0,
            newer: Newer::new(),
            car_newer: Newer::new(),
            limits_newer: Newer::new(),
        }
    }
}

impl Plan {
    /// How many entries came from a newer program and are not shown.
    pub fn unshown(&self) -> usize {
        let racks: usize = self.racks.iter().map(|r| r.newer.len()).sum();
        self.newer.len() + self.car_newer.len() + self.limits_newer.len() + racks
    }

    /// The entry of a measurement; a rack's is looked for in the rack of that number, counted from 0.
    pub fn entry(&self, field: Field, rack: usize) -> Option<&Entry> {
        match field.spec().section {
            Section::Car => self.car.get(&field),
            Section::Rack => self.racks.get(rack)?.entries.get(&field),
            Section::Limits => self.limits.get(&field),
        }
    }
}

/// Why a plan file cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum PlanError {
    /// Not JSON.
    NotJson {
        /// Line and column, from 1.
        place: [usize; 2],
    },
    /// JSON, but no plan: its format number is missing.
    NoFormat,
    /// Written by a newer program.
    NewerFormat {
        /// Its format number.
        format: u64,
    },
    /// A key that this format does not have.
    UnknownKey {
        /// The key.
        key: String,
        /// Where it stands: `car`, `rack 2`, `the plan`.
        place: String,
    },
    /// The same key twice.
    DuplicateKey {
        /// The key.
        key: String,
        /// Where it stands.
        place: String,
    },
    /// A value of the wrong kind.
    WrongKind {
        /// Its key.
        key: String,
        /// Where it stands.
        place: String,
        /// What it should be.
        wanted: &'static str,
    },
    /// More than a plan may hold.
    TooMuch {
        /// Of what.
        what: &'static str,
        /// The most.
        most: usize,
    },
}

impl std::error::Error for PlanError {}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PlanError::NotJson { place: [line, column] } => {
                write!(f, "This is not a plan: the JSON breaks off or goes wrong at line {line}, column {column}.")
            }
            PlanError::NoFormat => write!(f, "This is not a plan: it lacks the format number, \"donorack\": {FORMAT}."),
            PlanError::NewerFormat { format } => {
                write!(f, "This plan was written by a newer Donorack (format {format}); this one reads format {FORMAT}.")
            }
            PlanError::UnknownKey { key, place } => write!(f, "This plan cannot be read: unknown key {} in {place}.", Quoted(key)),
            PlanError::DuplicateKey { key, place } => write!(f, "This plan cannot be read: key {} stands twice in {place}.", Quoted(key)),
            PlanError::WrongKind { key, place, wanted } => {
                write!(f, "This plan cannot be read: {} in {place} should be {wanted}.", Quoted(key))
            }
            PlanError::TooMuch { what, most } => write!(f, "This plan is too large: at most {most} {what}."),
        }
    }
}

/// A key in quotation marks, with what would not be seen, or would change how the rest is read, spelled out. The library's own `{:?}` knows
/// every character that cannot be printed, which is some kB.
struct Quoted<'a>(&'a str);

impl fmt::Display for Quoted<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_char('"')?;
        for c in self.0.chars() {
            match c {
                '"' | '\\' => write!(f, "\\{c}")?,
                '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' => {
                    write!(f, "{}", c.escape_unicode())?;
                }
                c if c.is_control() => write!(f, "{}", c.escape_default())?,
                c => f.write_char(c)?,
            }
        }
        f.write_char('"')
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_quoted_as_a_text_is() {
        for key in ["", "weelbase", "Länge", "a\"b\\c", "\n\t\r\u{1}\u{7f}", "\u{202e}abc\u{200b}\u{feff}\u{2066}", "\u{1f527}", "'"] {
            assert_eq!(Quoted(key).to_string(), format!("{key:?}"));
        }
    }
}

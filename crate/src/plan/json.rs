//! The plan as a JSON file. `PLAN_FORMAT.md` describes it.

use crate::catalogue::field::{FIELDS, Field, Section};
use crate::measurement::decimal::plain;

use crate::measurement::entry::Entry;
use crate::measurement::quantity::Quantity;
use crate::plan::keys::{Part, RACK_MARK, RACK_NAME};
use crate::plan::{Entries, FORMAT, LONGEST_TEXT, MOST_ENTRIES, MOST_RACKS, Mark, Newer, Plan, PlanError, Rack};
use litemap::LiteMap;
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde::ser::{Serialize, SerializeMap, Serializer};
use std::fmt;

/// A JSON value that forgets nothing: an object keeps its keys in order, twice the same one included.
enum Tree {
    /// `null`.
    Nothing,
    /// `true` or `false`.
    Truth(bool),
    /// A number, in digits.
    Number(String),
    /// A string.
    Text(String),
    /// An array.
    List(Vec<Tree>),
    /// An object.
    Object(Vec<(String, Tree)>),
}

struct TreeVisitor;

impl<'de> Visitor<'de> for TreeVisitor {
    type Value = Tree;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_unit<E>(self) -> Result<Tree, E> {
        Ok(Tree::Nothing)
    }

    fn visit_bool<E>(self, v: bool) -> Result<Tree, E> {
        Ok(Tree::Truth(v))
    }

    fn visit_i64<E>(self, v: i64) -> Result<Tree, E> {
        Ok(Tree::Number(v.to_string()))
    }

    fn visit_u64<E>(self, v: u64) -> Result<Tree, E> {
        Ok(Tree::Number(v.to_string()))
    }

    fn visit_f64<E>(self, v: f64) -> Result<Tree, E> {
        Ok(Tree::Number(plain(v)))
    }

    fn visit_str<E>(self, v: &str) -> Result<Tree, E> {
        Ok(Tree::Text(v.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Tree, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = seq.next_element()? {
            list.push(item);
        }
        Ok(Tree::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Tree, A::Error> {
        let mut object = Vec::new();
        while let Some(pair) = map.next_entry()? {
            object.push(pair);
        }
        Ok(Tree::Object(object))
    }
}

impl<'de> Deserialize<'de> for Tree {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Tree, D::Error> {
        d.deserialize_any(TreeVisitor)
    }
}

/// Where in the file one is, for the sentence of an error.
#[derive(Clone)]
struct Place(String);

impl Place {
    fn unknown(&self, key: String) -> PlanError {
        PlanError::UnknownKey { key, place: self.0.clone() }
    }

    fn wanted(&self, key: &str, wanted: &'static str) -> PlanError {
        PlanError::WrongKind { key: key.to_owned(), place: self.0.clone(), wanted }
    }

    /// The pairs of an object, none of them twice.
    fn pairs(&self, tree: Tree, above: &Place, key: &str) -> Result<Vec<(String, Tree)>, PlanError> {
        let Tree::Object(pairs) = tree else { return Err(above.wanted(key, "an object in braces")) };
        if pairs.len() > MOST_ENTRIES {
            return Err(PlanError::TooMuch { what: "entries", most: MOST_ENTRIES });
        }
        let mut keys = LiteMap::new_vec();
        match pairs.iter().map(|(key, _)| key.as_str()).filter(|key| keys.insert(*key, ()).is_some()).min() {
            Some(key) => Err(PlanError::DuplicateKey { key: key.to_owned(), place: self.0.clone() }),
            None => Ok(pairs),
        }
    }

    fn text(&self, key: &str, tree: Tree) -> Result<String, PlanError> {
        if let Tree::Text(text) = tree { Ok(text) } else { Err(self.wanted(key, "a text in quotes")) }
    }

    fn count(&self, key: &str, tree: Tree) -> Result<u32, PlanError> {
        let Tree::Number(number) = tree else { return Err(self.wanted(key, "a whole number")) };
        number.parse().map_err(|_| self.wanted(key, "a whole number"))
    }

    /// Puts an entry in its place, unless nothing is written in it.
    fn entry(&self, entries: &mut Entries, field: Field, key: &str, tree: Tree) -> Result<(), PlanError> {
        let scale = &field.spec().scale;
        let entry = match tree {
            Tree::Text(text) => Entry::parse_form(&text, scale),
            Tree::Number(number) if scale.quantity != Quantity::Choice => Entry::from_number(&number, scale),
            _ if scale.quantity == Quantity::Choice => return Err(self.wanted(key, "one of its two words in quotes")),
            _ => return Err(self.wanted(key, "a number, or a text in quotes such as \"5 3/16 in\"")),
        };
        if !entry.is_blank(scale) {
            entries.insert(field, entry);
        }
        Ok(())
    }

    /// Unknown entries of a link: decimal key, hexadecimal CBOR.
    fn newer(&self, tree: Tree, section: Part, format: u32) -> Result<Newer, PlanError> {
        let here = Place(format!("newer of {}", self.0));
        let mut newer = Newer::new();
        for (key, value) in here.pairs(tree, self, "newer")? {
            let number: u64 = key.parse().map_err(|_| here.unknown(key.clone()))?;
            // What an earlier version passed on unknown is taken in by `adopt`, a mark by `rack`.
            let passed_on = matches!(section, Part::Fields(_)) && (number < RACK_NAME || number == RACK_MARK);
            if number.to_string() != key || (section.knows(number) && format == FORMAT && !passed_on) {
                return Err(here.unknown(key));
            }
            let bytes = unhex(&here.text(&key, value)?).filter(|b| crate::plan::link::is_one_item(b));
            newer.insert(number, bytes.ok_or_else(|| here.wanted(&key, "one item of CBOR in hexadecimal, in its shortest form"))?);
        }
        Ok(newer)
    }
}

/// Takes in what an earlier version passed on without knowing it, and what this version knows as a measurement.
fn adopt(here: &Place, section: Section, entries: &mut Entries, newer: &mut Newer, format: u32) -> Result<(), PlanError> {
    let keys: Vec<u64> = newer.keys().copied().filter(|key| *key < RACK_NAME && Part::Fields(section).knows(*key)).collect();
    for key in keys.into_iter().filter(|_| format == FORMAT) {
        let raw = newer.remove(&key).unwrap_or_default();
        let read = crate::plan::link::passed_on(section, key, &raw).filter(|(field, _)| !entries.contains_key(field));
        let (field, entry) = read.ok_or_else(|| Place(format!("newer of {}", here.0)).unknown(key.to_string()))?;
        entries.insert(field, entry);
    }
    Ok(())
}

/// Car or limits.
fn section(tree: Tree, above: &Place, name: &str, section: Section, format: u32) -> Result<(Entries, Newer), PlanError> {
    let here = Place(name.to_owned());
    let (mut entries, mut newer) = (Entries::new(), Newer::new());
    for (key, value) in here.pairs(tree, above, name)? {
        match Field::named(section, &key) {
            Some(field) => here.entry(&mut entries, field, &key, value)?,
            None if key == "newer" => newer = here.newer(value, Part::Fields(section), format)?,
            None => return Err(here.unknown(key)),
        }
    }
    adopt(&here, section, &mut entries, &mut newer, format)?;
    Ok((entries, newer))
}

/// Twelve hexadecimal digits, in one spelling.
fn id(here: &Place, key: &str, tree: Tree) -> Result<u64, PlanError> {
    let text = here.text(key, tree)?;
    let digits = |t: &str| t.len() == 12 && t.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
    let number = Some(text).filter(|t| digits(t)).and_then(|t| u64::from_str_radix(&t, 16).ok());
    number.ok_or_else(|| here.wanted(key, "twelve hexadecimal digits in quotes"))
}

fn rack(tree: Tree, above: &Place, number: usize, format: u32) -> Result<Rack, PlanError> {
    let here = Place(format!("rack {number}"));
    let mut rack = Rack::default();
    for (key, value) in here.pairs(tree, above, "racks")? {
        match (Field::named(Section::Rack, &key), key.as_str()) {
            (Some(field), _) => here.entry(&mut rack.entries, field, &key, value)?,
            (_, "name") => rack.name = here.text(&key, value)?,
            (_, "note") => rack.note = here.text(&key, value)?,
            (_, "mark") => {
                let mark = if let Tree::Text(word) = &value { Mark::named(word) } else { None };
                rack.mark = Some(mark.ok_or_else(|| here.wanted(&key, "\"buy\", \"leave\" or \"gone\""))?);
            }
            (_, "newer") => rack.newer = here.newer(value, Part::Fields(Section::Rack), format)?,
            _ => return Err(here.unknown(key)),
        }
    }
    adopt(&here, Section::Rack, &mut rack.entries, &mut rack.newer, format)?;
    if format == FORMAT
        && let Some(bytes) = rack.newer.remove(&RACK_MARK)
    {
        let mark = crate::plan::link::mark_of(&bytes).filter(|_| rack.mark.is_none());
        rack.mark = Some(mark.ok_or_else(|| here.unknown(RACK_MARK.to_string()))?);
    }
    Ok(rack)
}

impl Plan {
    /// Reads a plan file.
    pub fn from_json(text: &str) -> Result<Plan, PlanError> {
        if text.len() > LONGEST_TEXT {
            return Err(PlanError::TooMuch { what: "bytes", most: LONGEST_TEXT });
        }
        let tree: Tree =
            serde_json::from_str(text.trim_start_matches('\u{feff}')).map_err(|e| PlanError::NotJson { place: [e.line(), e.column()] })?;
        let here = Place("the plan".to_owned());
        if !matches!(tree, Tree::Object(_)) {
            return Err(PlanError::NoFormat);
        }
        let mut pairs = here.pairs(tree, &here, "")?;
        let mut take = |key: &str| pairs.iter().position(|(k, _)| k == key).map(|i| pairs.swap_remove(i).1);
        let format = here.count("donorack", take("donorack").ok_or(PlanError::NoFormat)?)?;
        if format > FORMAT {
            return Err(PlanError::NewerFormat { format: format.into() });
        }
        if format < FORMAT {
            return Err(PlanError::NoFormat);
        }
        let mut plan = Plan::default();
        if let Some(tree) = take("link_format") {
            plan.format = here.count("link_format", tree)?;
            if plan.format <= FORMAT {
                return Err(here.wanted("link_format", "a format number above this one"));
            }
        }
        for (key, value) in pairs {
            match key.as_str() {
                "id" => plan.id = Some(id(&here, &key, value)?),
                "name" => plan.name = here.text(&key, value)?,
                "invented" => {
                    let Tree::Truth(invented) = value else { return Err(here.wanted(&key, "true or false")) };
                    plan.invented = invented;
                }
                "car" => (plan.car, plan.car_newer) = section(value, &here, "car", Section::Car, plan.format)?,
                "limits" => (plan.limits, plan.limits_newer) = section(value, &here, "limits", Section::Limits, plan.format)?,
                "racks" => {
                    let Tree::List(list) = value else { return Err(here.wanted(&key, "a list in brackets")) };
                    if list.len() > MOST_RACKS {
                        return Err(PlanError::TooMuch { what: "racks", most: MOST_RACKS });
                    }
                    let numbered = list.into_iter().enumerate();
                    plan.racks = numbered.map(|(i, tree)| rack(tree, &here, i + 1, plan.format)).collect::<Result<_, _>>()?;
                }
                "chosen" => plan.chosen = here.count(&key, value)? as usize,
                "newer" => plan.newer = here.newer(value, Part::Plan, plan.format)?,
                _ => return Err(here.unknown(key)),
            }
        }
        plan.within_bounds()?;
        match crate::plan::link::lost(&plan) {
            None => Ok(plan),
            Some((part, key)) => {
                Err(Place(format!("newer of {part}")).wanted(&key.to_string(), "something that only a newer Donorack understands"))
            }
        }
    }

    /// Writes a plan file, the measurements in the order of the table.
    pub fn to_json(&self) -> String {
        serde_json::to_string_pretty(self).unwrap_or_default()
    }
}

// Serializers of the parts, which leave out what is empty.
struct Measured<'a>(Option<&'a Rack>, &'a Entries, &'a Newer);
struct Hexed<'a>(&'a Newer);

/// As its file.
impl Serialize for Plan {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let plan = self;
        let mut map = s.serialize_map(None)?;
        map.serialize_entry("donorack", &FORMAT)?;
        if plan.format > FORMAT {
            map.serialize_entry("link_format", &plan.format)?;
        }
        if let Some(id) = plan.id {
            map.serialize_entry("id", &format!("{id:012x}"))?;
        }
        if !plan.name.is_empty() {
            map.serialize_entry("name", &plan.name)?;
        }
        if plan.invented {
            map.serialize_entry("invented", &true)?;
        }
        if !(plan.car.is_empty() && plan.car_newer.is_empty()) {
            map.serialize_entry("car", &Measured(None, &plan.car, &plan.car_newer))?;
        }
        if !plan.racks.is_empty() {
            let racks: Vec<_> = plan.racks.iter().map(|r| Measured(Some(r), &r.entries, &r.newer)).collect();
            map.serialize_entry("racks", &racks)?;
        }
        if !(plan.limits.is_empty() && plan.limits_newer.is_empty()) {
            map.serialize_entry("limits", &Measured(None, &plan.limits, &plan.limits_newer))?;
        }
        if plan.chosen > 0 {
            map.serialize_entry("chosen", &plan.chosen)?;
        }
        if !plan.newer.is_empty() {
            map.serialize_entry("newer", &Hexed(&plan.newer))?;
        }
        map.end()
    }
}

impl Serialize for Measured<'_> {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let mut map = s.serialize_map(None)?;
        if let Some(rack) = self.0 {
            for (key, text) in [("name", &rack.name), ("note", &rack.note)] {
                if !text.is_empty() {
                    map.serialize_entry(key, text)?;
                }
            }
            if let Some(mark) = rack.mark {
                map.serialize_entry("mark", mark.word())?;
            }
        }
        for spec in FIELDS {
            if let Some(entry) = self.1.get(&spec.field) {
                map.serialize_entry(spec.name, &entry.form(&spec.scale))?;
            }
        }
        if !self.2.is_empty() {
            map.serialize_entry("newer", &Hexed(self.2))?;
        }
        map.end()
    }
}

impl Serialize for Hexed<'_> {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_map(self.0.iter().map(|(key, bytes)| (key.to_string(), hex(bytes))))
    }
}

fn hex(bytes: &[u8]) -> String {
    let digit = |n: u8| char::from_digit(n.into(), 16).unwrap_or('0');
    bytes.iter().flat_map(|b| [digit(b >> 4), digit(b & 15)]).collect()
}

fn unhex(text: &str) -> Option<Vec<u8>> {
    let digits: Vec<u32> = text.chars().map(|c| c.to_digit(16)).collect::<Option<_>>()?;
    let bytes = digits.chunks(2).map(|two| u8::try_from(two.first()? * 16 + two.get(1)?).ok());
    bytes.collect()
}

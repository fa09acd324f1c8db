//! The plan as a link's fragment: base64url of CBOR and a CRC-24, then a `k`. `PLAN_FORMAT.md` describes it.

use crate::catalogue::field::{Field, Section};

use crate::math::ratio::Ratio;
use crate::measurement::entry::{Entry, Side};
use crate::measurement::grammar;
use crate::measurement::quantity::{Quantity, Scale};
use crate::measurement::unit::{Unit, mixed};
use crate::plan::base64url;
use crate::plan::keys::{
    K_CAR, K_CHOSEN, K_FORMAT, K_ID, K_INVENTED, K_LIMITS, K_NAME, K_RACKS, LONGEST_LINK, PARTS, Part, RACK_MARK, RACK_NAME, RACK_NOTE,
};
use crate::plan::{Entries, FORMAT, MOST_ENTRIES, Mark, Newer, Plan, PlanError, Rack};
use minicbor::data::Type;
use minicbor::{Decoder, Encoder};
use std::fmt;

/// Bytes of a plan's id.
const ID_BYTES: usize = 6;

/// The letter that ends every link, so that punctuation after it is seen to be none of it.
const END: char = 'k';

/// CRC-24 of OpenPGP (RFC 9580, section 6.1.1), three bytes that fill four characters of base64.
const CRC: crc::Crc<u32, crc::NoTable> = crc::Crc::<u32, crc::NoTable>::new(&crc::CRC_24_OPENPGP);

/// Why a link cannot be opened.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum LinkError {
    /// There is nothing after the `#`.
    Empty,
    /// Something was lost or changed on the way.
    Damaged,
    /// Larger than a plan may be.
    TooLarge,
    /// Whole, but no plan may hold so much.
    Refused(PlanError),
}

impl std::error::Error for LinkError {}

impl fmt::Display for LinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LinkError::Empty => f.write_str("This address carries no plan."),
            LinkError::Damaged => f.write_str("This link is damaged: a part of it was lost or changed on the way. Ask for it again."),
            LinkError::TooLarge => write!(f, "This link is too long: at most {LONGEST_LINK} characters are read."),
            LinkError::Refused(error) => error.fmt(f),
        }
    }
}

impl Plan {
    /// The fragment of a link, without the `#`. Fields in which nothing is written are left out.
    pub fn to_link(&self) -> String {
        let mut bytes = plan_bytes(self);
        bytes.extend(&CRC.checksum(&bytes).to_be_bytes()[1..]);
        let mut link = base64url::encode(&bytes);
        link.push(END);
        link
    }

    /// Opens a link: a fragment, with or without its `#`, or the whole address; what a chat program put behind it is ignored, and so is
    /// what stands before the last slash of the fragment: the part of the page that it opens at. A part alone carries no plan.
    ///
    /// A link of this format has one spelling only, any other is damaged. Of a newer format everything that is not understood is kept.
    pub fn from_link(link: &str) -> Result<Plan, LinkError> {
        if link.len() > LONGEST_LINK {
            return Err(LinkError::TooLarge);
        }
        let fragment = link.split_once('#').map_or(link, |(_, fragment)| fragment);
        let fragment = fragment.trim_start().trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
        let fragment = fragment.rsplit_once('/').map_or(fragment, |(_, plan)| plan);
        if fragment.is_empty() || PARTS.contains(&fragment) {
            return Err(LinkError::Empty);
        }
        let plan = fragment.strip_suffix(END).and_then(base64url::decode).and_then(|b| open(checked(&b)?));
        let plan = plan.ok_or(LinkError::Damaged)?;
        plan.within_bounds().map_err(LinkError::Refused)?;
        Ok(plan)
    }
}

/// Is this exactly one CBOR item, as [`item`] takes it?
pub(crate) fn is_one_item(bytes: &[u8]) -> bool {
    item(bytes) == Some(bytes.len())
}

/// Where the CBOR item that `bytes` begins with ends. `None` where it is not well-formed (RFC 8949, section 5.3 and appendix C), or its
/// lengths and integers are not in their shortest form (section 4.2.1); floats are taken as they are.
fn item(bytes: &[u8]) -> Option<usize> {
    // Items still to come: those of a list are counted together, so that deep ones need no stack.
    let (mut at, mut more) = (0, 1_u64);
    while more > 0 {
        more -= 1;
        let head = *bytes.get(at)?;
        at += 1;
        let (kind, short) = (head >> 5, u64::from(head & 31));
        let (size, least) = match short {
            0..=23 => (0, 0),
            24 => (1, 24),
            25 => (2, 1 << 8),
            26 => (4, 1 << 16),
            27 => (8, 1 << 32),
            // Reserved, or without a length.
            _ => return None,
        };
        let long = bytes.get(at..at + size)?.iter().fold(0, |n, byte| n << 8 | u64::from(*byte));
        at += size;
        let count = if size == 0 { short } else { long };
        match kind {
            7 if size == 1 && count < 32 => return None,
            7 => continue,
            _ if count < least => return None,
            2 | 3 => {
                let end = at.checked_add(usize::try_from(count).ok()?)?;
                let text = bytes.get(at..end)?;
                if kind == 3 {
                    std::str::from_utf8(text).ok()?;
                }
                at = end;
            }
            4 => more = more.checked_add(count)?,
            5 => more = more.checked_add(count.checked_mul(2)?)?,
            6 => more = more.checked_add(1)?,
            _ => {}
        }
    }
    Some(at)
}

/// An entry of what is newer that a link of the plan would not bring back: the part in which it stands, and its key.
pub(crate) fn lost(plan: &Plan) -> Option<(String, u64)> {
    if plan.unshown() == 0 {
        return None;
    }
    let again = open(&plan_bytes(plan)).unwrap_or_default();
    let rack = |i: usize| again.racks.get(i).map_or(Newer::new(), |rack| rack.newer.clone());
    let parts = [
        ("the plan", &plan.newer, &again.newer),
        ("car", &plan.car_newer, &again.car_newer),
        ("limits", &plan.limits_newer, &again.limits_newer),
    ];
    let missing = |of: &Newer, from: &Newer| of.iter().find(|(key, value)| from.get(key) != Some(value)).map(|(key, _)| *key);
    let in_parts = parts.into_iter().find_map(|(name, of, from)| Some((name.to_owned(), missing(of, from)?)));
    let in_racks = || plan.racks.iter().enumerate().find_map(|(i, r)| Some((format!("rack {}", i + 1), missing(&r.newer, &rack(i))?)));
    in_parts.or_else(in_racks)
}

// Writing: a map is a list of pairs of key and bytes, put in order at the end.

type Pairs = Vec<(u64, Vec<u8>)>;

fn cbor(write: impl FnOnce(&mut Encoder<Vec<u8>>) -> Result<(), minicbor::encode::Error<core::convert::Infallible>>) -> Vec<u8> {
    let mut e = Encoder::new(Vec::new());
    // Writing into memory does not fail.
    let _ = write(&mut e);
    e.into_writer()
}

fn int(n: u64) -> Vec<u8> {
    cbor(|e| e.u64(n)?.ok())
}

fn text(t: &str) -> Vec<u8> {
    cbor(|e| e.str(t)?.ok())
}

/// A map of the known pairs and the unknown ones; a key that is both is the known one.
fn map(pairs: Pairs, newer: &Newer) -> Vec<u8> {
    let mut all = newer.clone();
    // One by one: `extend` brings along a sort, which is heavy.
    for (key, value) in pairs {
        all.insert(key, value);
    }
    let mut out = cbor(|e| e.map(all.len() as u64)?.ok());
    for (key, value) in all {
        out.extend(int(key));
        out.extend(value);
    }
    out
}

fn plan_bytes(plan: &Plan) -> Vec<u8> {
    let mut pairs = vec![(K_FORMAT, int(plan.format.into()))];
    let parts = [
        (K_NAME, name_bytes(&plan.name)),
        (K_INVENTED, plan.invented.then(|| cbor(|e| e.bool(true)?.ok()))),
        (K_CAR, section_bytes(&plan.car, &plan.car_newer)),
        (K_RACKS, racks_bytes(&plan.racks)),
        (K_LIMITS, section_bytes(&plan.limits, &plan.limits_newer)),
        (K_CHOSEN, (plan.chosen > 0).then(|| int(plan.chosen as u64))),
        (K_ID, plan.id.map(id_bytes)),
    ];
    pairs.extend(parts.into_iter().filter_map(|(key, bytes)| Some((key, bytes?))));
    map(pairs, &plan.newer)
}

/// The id as a byte string.
fn id_bytes(id: u64) -> Vec<u8> {
    cbor(|e| e.bytes(&id.to_be_bytes()[8 - ID_BYTES..])?.ok())
}

fn id_of(bytes: &[u8]) -> Option<u64> {
    let six: [u8; ID_BYTES] = bytes.try_into().ok()?;
    Some(six.iter().fold(0, |id, byte| id << 8 | u64::from(*byte)))
}

fn name_bytes(name: &str) -> Option<Vec<u8>> {
    (!name.is_empty()).then(|| text(name))
}

fn entry_pairs(entries: &Entries) -> Pairs {
    let filled = entries.iter().filter_map(|(field, entry)| Some((field.spec().key.into(), entry_bytes(entry, &field.spec().scale)?)));
    filled.collect()
}

fn section_bytes(entries: &Entries, newer: &Newer) -> Option<Vec<u8>> {
    let pairs = entry_pairs(entries);
    (!pairs.is_empty() || !newer.is_empty()).then(|| map(pairs, newer))
}

/// The builder's mark as its place among them.
fn mark_bytes(mark: Mark) -> Vec<u8> {
    int(mark as u64)
}

pub(crate) fn mark_of(bytes: &[u8]) -> Option<Mark> {
    Mark::ALL.into_iter().find(|mark| mark_bytes(*mark) == bytes)
}

fn rack_bytes(rack: &Rack) -> Vec<u8> {
    let mut pairs = entry_pairs(&rack.entries);
    for (key, name) in [(RACK_NAME, &rack.name), (RACK_NOTE, &rack.note)] {
        pairs.extend(name_bytes(name).map(|bytes| (key, bytes)));
    }
    pairs.extend(rack.mark.map(|mark| (RACK_MARK, mark_bytes(mark))));
    map(pairs, &rack.newer)
}

fn racks_bytes(racks: &[Rack]) -> Option<Vec<u8>> {
    (!racks.is_empty()).then(|| {
        let mut out = cbor(|e| e.array(racks.len() as u64)?.ok());
        racks.iter().for_each(|rack| out.extend(rack_bytes(rack)));
        out
    })
}

// A measurement: one integer that folds a count and the unit that is counted.

/// What can be counted: a unit, and how many steps to one of it. The place in the list is the kind; an earlier one is preferred.
fn kinds(quantity: Quantity) -> &'static [(Unit, u64)] {
    match quantity {
        Quantity::Length => &[(Unit::In, 64), (Unit::In, 1000), (Unit::Mm, 100)],
        Quantity::Circle => &[(Unit::Ft, 12), (Unit::M, 100), (Unit::Mm, 1)],
        Quantity::Angle => &[(Unit::Deg, 100), (Unit::Deg, 60)],
        Quantity::Turns => &[(Unit::Turns, 100), (Unit::Turns, 72)],
        Quantity::Number => &[(Unit::Plain, 100)],
        Quantity::Percent => &[(Unit::Percent, 100)],
        Quantity::Choice => &[],
    }
}

/// Kinds whose text is of two units (feet and inches, degrees and minutes): they take no tolerance.
fn two_units(kind: (Unit, u64)) -> bool {
    matches!(kind, (Unit::Ft, 12) | (Unit::Deg, 60))
}

/// Folds a size (in the base unit, not negative) if a count reaches it exactly.
fn fold(size: Ratio, quantity: Quantity, take: impl Fn(&(Unit, u64)) -> bool) -> Option<(u64, usize)> {
    let kinds = kinds(quantity);
    let (kind, count) = kinds.iter().enumerate().filter(|(_, kind)| take(kind)).find_map(|(i, (unit, steps))| {
        let count = size.times(Ratio::new((*steps).into(), 1)?)?.over(unit.size())?.integer()?;
        Some((i, u64::try_from(count).ok().filter(|c| *c < 1 << 40)?))
    })?;
    Some((count * kinds.len() as u64 + kind as u64, kind))
}

/// The spelling of a count.
fn unfold(n: u64, quantity: Quantity) -> Option<(String, (Unit, u64))> {
    let kinds = kinds(quantity);
    let share = u64::try_from(kinds.len()).ok().filter(|k| *k > 0)?;
    let (count, kind) = (n / share, *kinds.get((n % share) as usize)?);
    let spelled = match kind {
        (Unit::Ft, 12) if count % 12 != 0 => format!("{} ft {} in", count / 12, count % 12),
        (Unit::Deg, 60) => format!("{}° {}'", count / 60, count % 60),
        (_, 64 | 72 | 12) => mixed(count, kind.1),
        (_, steps) => {
            let (whole, part) = (count / steps, count % steps);
            let digits = steps.checked_ilog10()? as usize;
            let part = format!("{part:0digits$}");
            let part = if digits == 0 { "" } else { part.trim_end_matches('0') };
            if part.is_empty() { whole.to_string() } else { format!("{whole}.{part}") }
        }
    };
    Some((spelled, kind))
}

/// The integers of an entry: value (negative on the minus side) and typed tolerance, where both can be counted.
fn folded(entry: &Entry, scale: &Scale) -> Option<(i64, Option<u64>)> {
    let written = grammar::parse(&entry.text, scale.quantity).ok()?;
    let unit = written.own.or(entry.unit.fits(scale.quantity).then_some(entry.unit))?;
    let (value, pm) = written.exact(entry.unit)?;
    let minus = match scale.sides {
        Some(_) => entry.side? == Side::Minus,
        None => value.negative(),
    };
    let (n, kind) = fold(value.size(), scale.quantity, |k| k.0 == unit && (pm.is_none() || !two_units(*k)))?;
    let m = match pm {
        Some(pm) => {
            let own = fold(pm, scale.quantity, |k| k.0 == kinds(scale.quantity)[kind].0 && !two_units(*k));
            Some(own.or_else(|| fold(pm, scale.quantity, |k| !two_units(*k)))?.0)
        }
        None => None,
    };
    let n = i64::try_from(n).ok()?;
    Some((if minus { -1 - n } else { n }, m))
}

/// A measurement; `None` where nothing is written.
fn entry_bytes(entry: &Entry, scale: &Scale) -> Option<Vec<u8>> {
    // As a file would hand it on, so that a text has one encoding.
    let entry = &Entry::parse_form(&entry.form(scale), scale);
    if entry.is_blank(scale) {
        return None;
    }
    if scale.quantity == Quantity::Choice
        && let (Some(side), "") = (entry.side, entry.text.as_str())
    {
        return Some(int((side == Side::Minus).into()));
    }
    Some(match folded(entry, scale) {
        Some((n, None)) => cbor(|e| e.i64(n)?.ok()),
        Some((n, Some(m))) => cbor(|e| e.array(2)?.i64(n)?.u64(m)?.ok()),
        None => text(&entry.form(scale)),
    })
}

fn entry_of(bytes: &[u8], scale: &Scale) -> Option<Entry> {
    let mut d = Decoder::new(bytes);
    let kind = d.datatype().ok()?;
    if kind == Type::String {
        return Some(Entry::parse_form(d.str().ok()?, scale));
    }
    let pair = kind == Type::Array && d.array().ok()? == Some(2);
    let n = d.i64().ok()?;
    let side = scale.sides.map(|_| if n < 0 { Side::Minus } else { Side::Plus });
    let size = u64::try_from(if n < 0 { -1 - n } else { n }).ok()?;
    if scale.quantity == Quantity::Choice {
        let side = if size == 0 { Side::Plus } else { Side::Minus };
        return Some(Entry::new("", Unit::Plain, Some(side)));
    }
    let (mut spelled, (unit, _)) = unfold(size, scale.quantity)?;
    if scale.sides.is_none() && n < 0 {
        spelled.insert(0, '-');
    }
    if pair {
        let (pm, (pm_unit, _)) = unfold(d.u64().ok()?, scale.quantity)?;
        spelled.push_str(" ± ");
        spelled.push_str(&pm);
        if pm_unit != unit {
            spelled.push(' ');
            spelled.push_str(pm_unit.name());
        }
    }
    Some(Entry::new(spelled, unit, side))
}

/// A measurement that an earlier version, which did not know its key, passed on as raw bytes; `None` unless this version would write
/// the same.
pub(crate) fn passed_on(section: Section, key: u64, raw: &[u8]) -> Option<(Field, Entry)> {
    let field = Field::keyed(section, u32::try_from(key).ok()?)?;
    let scale = &field.spec().scale;
    let entry = entry_of(raw, scale)?;
    (entry_bytes(&entry, scale).as_deref() == Some(raw)).then_some((field, entry))
}

// Reading.

/// The pairs of a map: key and raw value. Their order, and what follows them, shows when they are written again.
fn pairs(bytes: &[u8]) -> Option<Vec<(u64, &[u8])>> {
    let mut d = Decoder::new(bytes);
    let mut out: Vec<(u64, &[u8])> = Vec::new();
    let count = d.map().ok()??;
    if count > MOST_ENTRIES as u64 {
        return None;
    }
    for _ in 0..count {
        let key = d.u64().ok()?;
        let start = d.position();
        let end = start + item(bytes.get(start..)?)?;
        d.set_position(end);
        out.push((key, bytes.get(start..end)?));
    }
    Some(out)
}

/// Puts a raw value where it belongs: what this program would write in the same way is understood, an unknown key is kept raw, and so is
/// what a newer format wrote in another way.
fn sort(newer: &mut Newer, key: u64, raw: &[u8], known: bool, same: bool, format: u32) -> Option<bool> {
    match (known, same) {
        (true, true) => Some(true),
        (true, false) if format <= FORMAT => None,
        _ => {
            newer.insert(key, raw.to_vec());
            Some(false)
        }
    }
}

/// A whole number of 32 bits.
fn number(d: &mut Decoder) -> Option<u32> {
    d.u64().ok()?.try_into().ok()
}

fn section_of(bytes: &[u8], section: Section, format: u32) -> Option<Rack> {
    let mut out = Rack::default();
    for (key, raw) in pairs(bytes)? {
        let known = Part::Fields(section).knows(key);
        if known && key == RACK_MARK {
            let mark = mark_of(raw);
            if sort(&mut out.newer, key, raw, true, mark.is_some(), format)? {
                out.mark = mark;
            }
            continue;
        }
        if known && key >= RACK_NAME {
            let name = Decoder::new(raw).str().unwrap_or_default();
            if sort(&mut out.newer, key, raw, true, name_bytes(name).as_deref() == Some(raw), format)? {
                *(if key == RACK_NAME { &mut out.name } else { &mut out.note }) = name.to_owned();
            }
            continue;
        }
        let entry = passed_on(section, key, raw);
        if sort(&mut out.newer, key, raw, known, entry.is_some(), format)?
            && let Some((field, entry)) = entry
        {
            out.entries.insert(field, entry);
        }
    }
    Some(out)
}

fn racks_of(bytes: &[u8], format: u32) -> Option<Vec<Rack>> {
    let mut d = Decoder::new(bytes);
    let count = d.array().ok()??;
    if count > MOST_ENTRIES as u64 {
        return None;
    }
    let mut racks = Vec::new();
    for _ in 0..count {
        let start = d.position();
        let end = start + item(bytes.get(start..)?)?;
        d.set_position(end);
        racks.push(section_of(bytes.get(start..end)?, Section::Rack, format)?);
    }
    Some(racks)
}

/// Bytes with their checksum to the bytes of the plan.
fn checked(bytes: &[u8]) -> Option<&[u8]> {
    let (bytes, sum) = bytes.split_last_chunk::<3>()?;
    (CRC.checksum(bytes).to_be_bytes()[1..] == *sum).then_some(bytes)
}

/// The plan of its bytes; `None` when anything at all is amiss.
fn open(bytes: &[u8]) -> Option<Plan> {
    let pairs = pairs(bytes)?;
    let (K_FORMAT, format) = *pairs.first()? else { return None };
    let format = number(&mut Decoder::new(format)).filter(|f| *f >= FORMAT)?;
    let mut plan = Plan { format, ..Plan::default() };
    for (key, raw) in pairs.into_iter().skip(1) {
        let mut d = Decoder::new(raw);
        // One part alone: a copy of all the others for every key took seconds where there are thousands of keys.
        let mut part = Plan::default();
        let written = match key {
            K_NAME => {
                part.name = d.str().unwrap_or_default().to_owned();
                name_bytes(&part.name)
            }
            K_INVENTED => {
                part.invented = d.bool().unwrap_or_default();
                part.invented.then(|| cbor(|e| e.bool(true)?.ok()))
            }
            K_CAR => {
                let read = section_of(raw, Section::Car, format).unwrap_or_default();
                (part.car, part.car_newer) = (read.entries, read.newer);
                section_bytes(&part.car, &part.car_newer)
            }
            K_LIMITS => {
                let read = section_of(raw, Section::Limits, format).unwrap_or_default();
                (part.limits, part.limits_newer) = (read.entries, read.newer);
                section_bytes(&part.limits, &part.limits_newer)
            }
            K_RACKS => {
                part.racks = racks_of(raw, format).unwrap_or_default();
                racks_bytes(&part.racks)
            }
            K_CHOSEN => {
                part.chosen = number(&mut d).unwrap_or_default() as usize;
                (part.chosen > 0).then(|| int(part.chosen as u64))
            }
            K_ID => {
                part.id = d.bytes().ok().and_then(id_of);
                part.id.map(id_bytes)
            }
            _ => None,
        };
        let same = written.as_deref() == Some(raw);
        if !sort(&mut plan.newer, key, raw, Part::Plan.knows(key), same, format)? {
            continue;
        }
        match key {
            K_NAME => plan.name = part.name,
            K_INVENTED => plan.invented = part.invented,
            K_CAR => (plan.car, plan.car_newer) = (part.car, part.car_newer),
            K_RACKS => plan.racks = part.racks,
            K_LIMITS => (plan.limits, plan.limits_newer) = (part.limits, part.limits_newer),
            K_CHOSEN => plan.chosen = part.chosen,
            K_ID => plan.id = part.id,
            _ => {}
        }
    }
    (plan_bytes(&plan) == bytes).then_some(plan)
}

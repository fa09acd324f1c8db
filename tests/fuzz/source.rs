//! Choices made by the bytes that an engine hands out, and what is made of them: texts, measurements, plans.

use donorack::{Entries, Entry, FIELDS, Plan, Quantity, Rack, Section, Spec};

/// Bytes to choose by. Where they end others follow that depend on all of them, so that a short input makes a whole plan too.
pub struct Source<'a> {
    bytes: &'a [u8],
    after: u64,
}

impl<'a> Source<'a> {
    pub fn new(bytes: &'a [u8]) -> Source<'a> {
        // FNV-1a, 64 bits; then xorshift64.
        let after = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3));
        Source { bytes, after: after | 1 }
    }

    pub fn byte(&mut self) -> u8 {
        if let Some((first, rest)) = self.bytes.split_first() {
            self.bytes = rest;
            return *first;
        }
        self.after ^= self.after << 13;
        self.after ^= self.after >> 7;
        self.after ^= self.after << 17;
        (self.after >> 32) as u8
    }

    /// A number below `n`.
    pub fn below(&mut self, n: usize) -> usize {
        let wide = usize::from(self.byte()) << 8 | usize::from(self.byte());
        wide % n.max(1)
    }

    /// Between two numbers, both included.
    pub fn between(&mut self, a: f64, b: f64) -> f64 {
        let part = (u32::from(self.byte()) << 16 | u32::from(self.byte()) << 8 | u32::from(self.byte())) as f64 / f64::from(0x00ff_ffff);
        a + (b - a) * part
    }

    pub fn pick<'b, T: ?Sized>(&mut self, from: &[&'b T]) -> &'b T {
        from[self.below(from.len())]
    }

    /// Once in so many times.
    pub fn once_in(&mut self, n: u8) -> bool {
        self.byte() % n.max(1) == 1 % n.max(1)
    }

    /// All that is left of the input itself.
    pub fn rest(&mut self) -> Vec<u8> {
        std::mem::take(&mut self.bytes).to_vec()
    }
}

/// What people and machines have written into fields, in pieces.
const PIECES: [&str; 64] = [
    "0",
    "1",
    "2",
    "5",
    "7",
    "9",
    "12",
    "64",
    "100",
    "1234",
    "999999999999999999999",
    ".",
    ",",
    "/",
    "-",
    " ",
    "  ",
    "'",
    "\"",
    "′",
    "″",
    "’",
    "”",
    "°",
    "½",
    "⅞",
    "⁄",
    "±",
    "+-",
    "+/-",
    "mm",
    "cm",
    "m",
    "in",
    "ft",
    "inch",
    "deg",
    "turns",
    "%",
    "off",
    "ahead",
    "behind",
    "left",
    "inboard",
    "above",
    "e",
    "E5",
    "+",
    "−",
    "–",
    "\u{a0}",
    "\u{2009}",
    "\0",
    "\u{202e}",
    "\u{1f527}",
    "ü",
    "x",
    "NaN",
    "inf",
    "0x1",
    "1/0",
    "3/64",
    "½½",
    "\t",
];

/// A text made of pieces, now and then of any letters at all.
pub fn text(from: &mut Source) -> String {
    if from.once_in(8) {
        let bytes: Vec<u8> = (0..from.below(24)).map(|_| from.byte()).collect();
        return String::from_utf8_lossy(&bytes).into_owned();
    }
    (0..1 + from.below(9)).map(|_| from.pick(&PIECES)).collect()
}

/// A measurement as somebody could have taken it: within the range of its row, in one of its units, with or without its ± and its side.
pub fn measured(from: &mut Source, spec: &Spec) -> String {
    let (lo, hi) = spec.scale.range;
    let value = match from.below(8) {
        0 => lo,
        1 => hi,
        2 => from.between(lo, hi),
        // Where cars are rather than lorries.
        _ => from.between(lo, lo + (hi - lo) / 4.0),
    };
    sided(from, spec, value)
}

/// That value in the row's words.
pub fn sided(from: &mut Source, spec: &Spec, value: f64) -> String {
    let side = spec.scale.sides.map_or("", |(plus, minus)| if value < 0.0 || from.once_in(3) { minus } else { plus });
    let size = value.abs();
    let pm = match from.below(4) {
        0 => " ± 0".to_owned(),
        1 => format!(" ± {:.2}", from.between(0.0, 5.0)),
        _ => String::new(),
    };
    let number = match spec.scale.quantity {
        Quantity::Choice => return side.to_owned(),
        Quantity::Length if from.once_in(3) => format!("{} {}/64{} in", (size / 25.4) as u64, from.below(64), pm),
        Quantity::Length => format!("{size:.2}{pm} mm"),
        Quantity::Circle if from.once_in(2) => format!("{} ft {} in", (size / 304.8) as u64, from.below(12)),
        Quantity::Circle => format!("{:.2}{pm} m", size / 1000.0),
        Quantity::Angle => format!("{size:.2}{pm} deg"),
        Quantity::Turns => format!("{size:.2}{pm} turns"),
        Quantity::Number => format!("{size:.2}{pm}"),
        Quantity::Percent => format!("{value:.1} %"),
    };
    format!("{number} {side}").trim().to_owned()
}

/// The row of that name.
fn row(section: Section, name: &str) -> &'static Spec {
    FIELDS.iter().find(|s| s.section == section && s.name == name).expect("a row of the table")
}

pub fn put(entries: &mut Entries, spec: &Spec, form: &str) {
    let entry = Entry::parse_form(form, &spec.scale);
    if !entry.is_blank(&spec.scale) {
        entries.insert(spec.field, entry);
    }
}

/// Where the figures of real cars and racks lie, mm and turns.
const CAR: [(&str, f64, f64); 6] = [
    ("wheelbase", 2000.0, 3200.0),
    ("front_track", 1250.0, 1600.0),
    ("rod_end_spacing", 1000.0, 1400.0),
    ("axis_spacing_at_ground", 1150.0, 1450.0),
    ("arm_fore_aft", -180.0, 180.0),
    ("arm_inboard", -40.0, 80.0),
];
const RACK: [(&str, f64, f64); 7] = [
    ("travel_per_turn", 35.0, 60.0),
    ("travel", 110.0, 190.0),
    ("inner_joint_spacing", 350.0, 800.0),
    ("bar_moves", -1.0, 1.0),
    ("rack_line", -150.0, 150.0),
    ("offset", -40.0, 40.0),
    ("height", -60.0, 60.0),
];

/// A plan whose car is like real ones, with limits of any kind; `wild` also puts in anything else.
pub fn plan(from: &mut Source, wild: bool) -> Plan {
    let mut plan = Plan::default();
    for (name, lo, hi) in CAR {
        if !from.once_in(24) {
            let value = from.between(lo, hi);
            let form = sided(from, row(Section::Car, name), value);
            put(&mut plan.car, row(Section::Car, name), &form);
        }
    }
    for spec in FIELDS.iter().filter(|s| s.section == Section::Limits) {
        let form = match from.below(6) {
            0 => "off".to_owned(),
            1 | 2 => measured(from, spec),
            _ => continue,
        };
        put(&mut plan.limits, spec, &form);
    }
    for _ in 0..from.below(4) {
        let mut rack = Rack::default();
        for (name, lo, hi) in RACK {
            if !from.once_in(6) {
                let value = from.between(lo, hi);
                let form = sided(from, row(Section::Rack, name), value);
                put(&mut rack.entries, row(Section::Rack, name), &form);
            }
        }
        plan.racks.push(rack);
    }
    plan.chosen = from.below(4);
    for _ in 0..if wild { from.below(24) } else { from.below(4) } {
        let spec = &FIELDS[from.below(FIELDS.len())];
        let form = if wild && from.once_in(2) { text(from) } else { measured(from, spec) };
        let racks = plan.racks.len();
        match spec.section {
            Section::Car => put(&mut plan.car, spec, &form),
            Section::Limits => put(&mut plan.limits, spec, &form),
            Section::Rack if racks > 0 => put(&mut plan.racks[from.below(racks)].entries, spec, &form),
            Section::Rack => {}
        }
    }
    if wild && from.once_in(2) {
        plan.name = text(from);
        plan.invented = from.once_in(2);
        plan.id = from.once_in(2).then(|| from.byte().into());
        let (key, value) = (100 + from.byte() as u64, vec![0x82, 0x18, 0x20 | from.byte(), 0xf6]);
        plan.car_newer.insert(key, value);
        plan.racks.iter_mut().for_each(|rack| rack.note = text(from));
    }
    plan
}

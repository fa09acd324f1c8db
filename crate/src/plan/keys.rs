//! Numbers by which the parts of a plan are known in its link, and which of them this format knows.

use crate::catalogue::field::{Field, Section};

// Keys of the plan; 8–9 are kept free for parts of its own, 10–29 for readings as built.

/// Number of the format.
pub const K_FORMAT: u64 = 0;
/// Name of the plan.
pub const K_NAME: u64 = 1;
/// Whether its figures are invented.
pub const K_INVENTED: u64 = 2;
/// The car.
pub const K_CAR: u64 = 3;
/// The racks.
pub const K_RACKS: u64 = 4;
/// The limits.
pub const K_LIMITS: u64 = 5;
/// The chosen rack.
pub const K_CHOSEN: u64 = 6;
/// Its id.
pub const K_ID: u64 = 7;
/// All of them.
const PLAN_KEYS: [u64; 8] = [K_FORMAT, K_NAME, K_INVENTED, K_CAR, K_RACKS, K_LIMITS, K_CHOSEN, K_ID];

// Keys of a rack beside those of its fields.

/// Name of a rack.
pub const RACK_NAME: u64 = 128;
/// Note of a rack.
pub const RACK_NOTE: u64 = 129;
/// The builder's mark.
pub const RACK_MARK: u64 = 130;

/// The longest link that is read, in characters; no plan has a longer one. Firefox takes addresses up to 1 048 576 characters, the
/// others longer ones.
pub const LONGEST_LINK: usize = 1_000_000;

/// The words by which an address names a part of the job, in the order of the work: first what is typed, then what follows from it.
pub const PARTS: [&str; 7] = ["car", "racks", "points", "side", "turning", "bump", "place"];

/// A part of the plan with keys of its own in a link.
#[derive(Clone, Copy)]
pub enum Part {
    /// The plan itself.
    Plan,
    /// One of its sections.
    Fields(Section),
}

impl Part {
    /// Is that a key of this format?
    pub fn knows(self, key: u64) -> bool {
        match self {
            Part::Plan => PLAN_KEYS.contains(&key),
            Part::Fields(Section::Rack) if (RACK_NAME..=RACK_MARK).contains(&key) => true,
            Part::Fields(section) => u32::try_from(key).is_ok_and(|k| Field::keyed(section, k).is_some()),
        }
    }
}

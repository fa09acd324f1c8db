//! How large a plan may be: so that its file and its link can always be read again.

use crate::plan::keys::LONGEST_LINK;
use crate::plan::{LONGEST_NAME, LONGEST_NOTE, LONGEST_TEXT, MOST_ENTRIES, MOST_RACKS, Plan, PlanError};

impl Plan {
    /// Is it no larger than a plan may be, and no larger than its file and its link may be?
    pub(crate) fn within_bounds(&self) -> Result<(), PlanError> {
        let too_long = |text: &str, most: usize| text.chars().count() > most;
        let known = [&self.car, &self.limits].into_iter().chain(self.racks.iter().map(|r| &r.entries));
        let texts: Vec<usize> = known.flat_map(|entries| entries.iter()).map(|(_, entry)| entry.text.len()).collect();
        if texts.len() + self.unshown() > MOST_ENTRIES {
            return Err(PlanError::TooMuch { what: "entries", most: MOST_ENTRIES });
        }
        if self.racks.len() > MOST_RACKS {
            Err(PlanError::TooMuch { what: "racks", most: MOST_RACKS })
        } else if too_long(&self.name, LONGEST_NAME) || self.racks.iter().any(|r| too_long(&r.name, LONGEST_NAME)) {
            Err(PlanError::TooMuch { what: "characters in a name", most: LONGEST_NAME })
        } else if self.racks.iter().any(|r| too_long(&r.note, LONGEST_NOTE)) {
            Err(PlanError::TooMuch { what: "characters in a note", most: LONGEST_NOTE })
        } else {
            self.fits(texts.iter().sum::<usize>() + 64 * texts.len())
        }
    }

    /// Are file and link no longer than is read? `entries`: what the measurements take at most, letters of a byte taken as one.
    fn fits(&self, entries: usize) -> Result<(), PlanError> {
        let racks = self.racks.iter().map(|r| 64 + r.name.len() + r.note.len());
        let newer = [&self.newer, &self.car_newer, &self.limits_newer].into_iter().chain(self.racks.iter().map(|r| &r.newer));
        let newer = newer.flat_map(|part| part.iter()).map(|(_, bytes)| 64 + 2 * bytes.len());
        // A letter takes at most six bytes of the file, `\u0000`: a plan of usual size need not be written to see that it fits.
        if 6 * (256 + self.name.len() + racks.sum::<usize>() + newer.sum::<usize>() + entries) <= LONGEST_TEXT.min(LONGEST_LINK) {
            return Ok(());
        }
        if self.to_json().len() > LONGEST_TEXT {
            Err(PlanError::TooMuch { what: "bytes", most: LONGEST_TEXT })
        } else if self.to_link().len() > LONGEST_LINK {
            Err(PlanError::TooMuch { what: "characters in its link", most: LONGEST_LINK })
        } else {
            Ok(())
        }
    }
}

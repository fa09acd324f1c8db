//! Limits and lengths in the words of what to look for.

use super::RackSearch;
use crate::catalogue::field::Field;
use crate::catalogue::result::ResultId;
use crate::linkage::steering::Solution;
use crate::linkage::travel::End;
use crate::measurement::decimal::{fixed, plain};
use crate::measurement::figure::{Text, at_least, at_most, figure, length};
use crate::measurement::quantity::ResultUnit;

pub(super) fn same(s: &str) -> Text {
    Text::same(s)
}

/// A figure whose parts stay on one line.
fn tight(text: Text) -> Text {
    let whole = |s: String| s.replace(' ', "\u{a0}");
    Text { mm: whole(text.mm), inch: whole(text.inch) }
}

const SIXTEENTH: f64 = 25.4 / 16.0;

/// A whole number of millimetres, or of sixteenths of an inch: never less than what is needed (`up`), never more than what is allowed.
pub(super) fn inward(mm: f64, up: bool) -> Text {
    let to = |x: f64| if up { (x - 1e-6).ceil() } else { (x + 1e-6).floor() };
    tight(Text { mm: format!("{} mm", fixed(to(mm), 0)), inch: length(to(mm / SIXTEENTH) * SIXTEENTH).inch })
}

/// The same to a tenth of a millimetre.
pub(super) fn tenth(mm: f64, up: bool) -> Text {
    let x = if up { (mm * 10.0 - 1e-6).ceil() / 10.0 } else { (mm * 10.0 + 1e-6).floor() / 10.0 };
    Text { mm: format!("{}\u{a0}mm", fixed(x, 1)), inch: inward(mm, up).inch }
}

pub(super) fn near(mm: f64) -> Text {
    tight(Text { mm: format!("{} mm", fixed(mm, 0)), inch: length((mm / SIXTEENTH).round() * SIXTEENTH).inch })
}

/// "560 to 735 mm": two lengths that already stand on the grid of what is shown.
pub(super) fn between(a: &Text, b: &Text) -> Text {
    let to = |a: &str, b: &str, unit: &str| {
        if a == b { a.to_owned() } else { format!("{} to {b}", a.strip_suffix(unit).unwrap_or(a)) }
    };
    Text { mm: to(&a.mm, &b.mm, "\u{a0}mm"), inch: to(&a.inch, &b.inch, "\u{a0}in") }
}

/// A limit as it stands in the range, with its ± where there is one.
pub(super) fn edge_text(edge: Text, pm: Option<f64>) -> Text {
    match pm.filter(|p| *p > 0.05) {
        Some(p) => {
            let wide = Text { mm: format!("{} mm", fixed(p.ceil(), 0)), inch: inward(p, true).inch };
            Text::fill("{} (± {})", &[&edge, &tight(wide)])
        }
        None => edge,
    }
}

impl RackSearch {
    /// A limit as it was set, without figures that say nothing.
    pub(super) fn bound(&self, field: Field) -> Text {
        self.bound_of(field, self.limit(field).unwrap_or(0.0))
    }

    pub(super) fn bound_of(&self, field: Field, x: f64) -> Text {
        use Field::*;
        let plain = |scale: f64| plain((x / scale * 1e3).round() / 1e3);
        tight(match field {
            ReserveWanted | UsualRodMin => Text { mm: format!("{} mm", plain(1.0)), inch: at_least(x).inch },
            UsualRodMax => Text { mm: format!("{} mm", plain(1.0)), inch: at_most(x).inch },
            LockWanted | TransmissionWanted | InnerJointLimit => same(&format!("{}°", plain(1.0))),
            TurnsMin | TurnsMax | UsualTurnsMin | UsualTurnsMax => same(&format!("{} turns", plain(1.0))),
            RatioMin | RatioMax | UsualRatioMin | UsualRatioMax => same(&format!("{} : 1", plain(1.0))),
            AckermannMin | AckermannMax => same(&format!("{} %", plain(1.0))),
            _ => Text { mm: format!("{} m", plain(1000.0)), inch: figure(ResultUnit::Circle, x, None).inch },
        })
    }

    /// What it costs not to meet a limit, in a sentence part.
    pub(super) fn unmet(&self, field: Field, dead: End) -> Text {
        use Field::*;
        let end = if matches!(dead, End::FoldBack(_)) { "fold-back" } else { "toggle" };
        let pattern = match field {
            LockWanted => "the inner wheel stays under {}",
            ReserveWanted if self.limit(field) == Some(0.0) => return Text::fill("the rack goes past the {}", &[&end]),
            ReserveWanted => "less than {} of travel is kept before the {}",
            TransmissionWanted => "rod and arm come closer than {} to one line",
            CircleMax => "the circle stays over {}",
            CircleEdgeMax => "the circle at the tyre’s edge stays over {}",
            WallToWallMax => "the circle wall to wall stays over {}",
            TurnsMin => "there are under {} lock to lock",
            TurnsMax => "there are over {} lock to lock",
            UsualTurnsMin => "there are under {} lock to lock, or a ratio out of the usual",
            UsualTurnsMax => "there are over {} lock to lock, or a ratio out of the usual",
            AckermannMin => "Ackermann at lock is under {}",
            AckermannMax => "Ackermann at lock is over {}",
            RatioMin | UsualRatioMin => "the ratio on centre is under {}",
            RatioMax | UsualRatioMax => "the ratio on centre is over {}",
            UsualRodMin => "the rods are under {}, which is unusual",
            UsualRodMax => "the rods are over {}, which is unusual",
            _ => "an inner joint swings further than {}, as far as most go",
        };
        Text::fill(pattern, &[&self.bound(field), &end])
    }

    /// A limit that is kept, in a sentence part.
    fn kept(&self, field: Field, dead: End) -> Text {
        use Field::*;
        let end = if matches!(dead, End::FoldBack(_)) { "fold-back" } else { "toggle" };
        let pattern = match field {
            ReserveWanted if self.limit(field) == Some(0.0) => return Text::fill(" before the {}", &[&end]),
            ReserveWanted => " with {} of travel kept before the {}",
            TransmissionWanted => " with {} kept between rod and arm",
            TurnsMax | UsualTurnsMax => " within {} lock to lock",
            AckermannMin => " with Ackermann of at least {}",
            AckermannMax => " with Ackermann of at most {}",
            InnerJointLimit => " with inner joints that swing no further than {}",
            UsualRodMax => " with rods of at most {}",
            _ => return Text::default(),
        };
        Text::fill(pattern, &[&self.bound(field), &end])
    }

    /// Why nothing passes where these limits meet: the first is not met, the last is kept.
    pub(super) fn clash(&self, by: &[Field], dead: End) -> Text {
        match by {
            [] => same("arm and rods make no linkage"),
            [one] => self.unmet(*one, dead),
            [first, .., last] => Text::fill("{}{}", &[&self.unmet(*first, dead), &self.kept(*last, dead)]),
        }
    }
}

/// Which way the rack goes in a left turn, and on which side of the axis the arms are.
pub(super) fn way(rack: &Solution) -> Option<(&'static str, &'static str)> {
    let lever = rack.results.get(ResultId::RackPerDegree, 0).ok()?;
    Some(if lever > 0.0 { ("left", "ahead of") } else { ("right", "behind") })
}

//! What would cure a rack: changes that were solved with the change applied and their ± taken off.
//!
//! A remedy is a claim. Each family of changes (another rack line, more travel, stops, other arms …) goes from the rack as it is to ever
//! larger changes until every judged demand is kept by more than its ±; the amount is then rounded to what a tape can set, the changed rack
//! is solved and judged anew, and only then is it said. Where no change of one kind cures everything, the first failing demand's own cure is
//! said with what still fails beside it.

use crate::analysis::uncertainty::uncertainties;
use crate::catalogue::field::Field;
use crate::catalogue::result::{ResultId, Results};
use crate::judgement::case::Case;
use crate::judgement::demand::{DemandId, Margin, margins};
use crate::judgement::finding::{Cure, Finding, Kind};
use crate::judgement::rack_line::{Line, fit};
use crate::linkage::steering::solve;
use crate::linkage::travel::{ENDS, End};
use crate::math::each::Each;
use crate::measurement::figure::as_read_in_inches;
use crate::plan::inputs::Origin;
use std::cell::OnceCell;

mod changes;
mod told;

use changes::{Family, NEAR_BEST, Outcome, Search, Set};
pub(crate) use changes::{changed, counted_anew, in_a_plan, other_arms};
use told::{demand_of, sentence};

/// A family that was tried, with what cures everything and how that comes out.
type Tried = (Family, Option<(Vec<Set>, Outcome)>);

/// Puts cures, and the sentence that names them, into every failing finding.
pub fn add(case: &Case, findings: &mut [Finding]) {
    for (i, asked, cures) in cures(case, findings) {
        if let Some(f) = findings.get_mut(i) {
            f.remedy = sentence(&f.remedy, &cures, asked);
            f.cures = cures;
        }
    }
}

/// Whether a cure is looked for: where it fails, or where the travel already ends at a stop that nobody made, which is told though the amount is
/// too close to call.
pub(crate) fn is_cured(f: &Finding) -> bool {
    let counts_on_a_stop = f.kind == Kind::Close && f.name == "reserve" && f.margin.is_some_and(|m| m < 0.0);
    f.judged && (f.kind == Kind::Fail || counts_on_a_stop)
}

/// The cures of every failing finding, by its place, and whether any was looked for.
fn cures(case: &Case, findings: &[Finding]) -> Vec<(usize, bool, Vec<Cure>)> {
    let failing: Vec<usize> = (0..findings.len()).filter(|&i| is_cured(&findings[i])).collect();
    let mut out = Vec::new();
    if failing.is_empty() || case.solution.wheels.is_none() || !case.readings.conflicts.is_empty() {
        return out;
    }
    let x = case.x();
    let base = margins(&x, case.readings.off, &case.solution.results);
    let pm = base.iter().map(|m| m.pm(case.uncertainties)).collect();
    let search = Search { case, x, pm, base, raise: OnceCell::new() };
    let mut done: Vec<Tried> = Vec::new();
    let mut first = true;
    for i in failing {
        let mut families = search.families(&findings[i]);
        if findings[i].kind == Kind::Close {
            families.retain(|f| matches!(f, Family::Stop(_)));
        }
        let name = findings[i].name;
        let mut cures = Vec::new();
        for &family in &families {
            let at = done.iter().position(|d| d.0 == family).unwrap_or_else(|| {
                done.push((family, search.cure(family, None)));
                done.len() - 1
            });
            if let Some((sets, outcome)) = &done[at].1 {
                cures.extend(search.told(family, sets, outcome, &findings[i]));
            }
        }
        // Turned end for end is what to do, whatever else fails.
        if cures.is_empty() && (first || name == "direction") {
            for &family in &families {
                if let Some((sets, outcome)) = search.cure(family, Some(name)) {
                    cures.extend(search.told(family, &sets, &outcome, &findings[i]));
                    break;
                }
            }
        }
        if cures.is_empty() && families.contains(&Family::Raise) {
            let unsure = search.raised_unsure();
            cures.extend(unsure.and_then(|(sets, outcome)| search.told(Family::Raise, &sets, &outcome, &findings[i])));
        }
        // Said once: what cures the first may cure the others with it.
        let asked = first && !families.is_empty() && findings[i].kind == Kind::Fail;
        first &= name == "direction";
        out.push((i, asked, cures));
    }
    out
}

impl Search<'_> {
    /// The changes worth trying for a finding.
    fn families(&self, finding: &Finding) -> Vec<Family> {
        // A rack at its best line gains nothing from another one in the same room.
        let lines = match self.case.line {
            Line::Typed => [Family::Line(1), Family::Line(-1)],
            _ => [Family::Room(1), Family::Room(-1)],
        };
        let lines = &lines[..];
        let ends = self.case.solution.ends.each(|e| e.map(|k| ENDS[k]));
        let stop = self.stops();
        let mut out = Vec::new();
        use DemandId::*;
        // What a finding without a demand speaks of nothing cures but, where it goes the wrong way, turning the rack.
        let Some(demand) = demand_of(finding) else {
            out.extend((finding.name == "direction").then_some(Family::Turned));
            return out;
        };
        match demand.id {
            Lock => {
                // Rods that toe the wheels take away lock on one side.
                if self.x.get(Field::RodLength).is_some() {
                    out.push(Family::Rods);
                }
                if ends.contains(&Some(End::Stop)) {
                    out.push(Family::StopOut);
                }
                if ends.contains(&Some(End::Rack)) {
                    out.push(Family::Travel);
                }
                if ends.iter().any(|e| matches!(e, Some(End::OuterJoint(_)))) {
                    out.extend([Family::Height, Family::Raise]);
                }
                out.extend_from_slice(lines);
                out.extend([Family::Arms(-1), Family::Arms(1), Family::Accept]);
            }
            Reserve | Transmission | TransmissionBumps | InnerJoint | InnerJointBumps | OuterJoint | OuterJointBumps => {
                // Of all heights at which the joint goes far enough, few may keep the toe.
                if matches!(demand.id, OuterJoint | OuterJointBumps) {
                    out.extend([Family::Height, Family::Raise]);
                }
                out.extend_from_slice(lines);
                out.extend(stop);
                out.extend([Family::Arms(1), Family::Arms(-1)]);
            }
            TyreRoom => out.extend(stop),
            RodShortest | RodLongest | HousingRoom => out.extend_from_slice(lines),
            Toe => out.push(Family::Rods),
            CircleMax | CircleEdgeMax | WallToWallMax => {
                out.push(Family::Travel);
                out.extend_from_slice(lines);
                out.push(Family::Arms(-1));
            }
            BumpSteer => {
                out.push(Family::Raise);
                out.extend_from_slice(lines);
            }
            Opposed => {}
            RatioMin | RatioMax | TurnsMin | TurnsMax | AckermannMin | AckermannMax => {
                out.extend_from_slice(lines);
                out.extend([Family::Arms(-1), Family::Arms(1)]);
            }
        }
        out
    }

    /// The ways in which a stop might help: those on which something that a stop cures fails.
    fn stops(&self) -> Option<Family> {
        let direction = self.case.solution.direction?;
        let mut ways = [false; 2];
        for (m, _) in self.base.iter().zip(&self.pm).filter(|(m, pm)| m.margin < **pm) {
            match m.finding() {
                // Side 0 is the rack going left.
                "tyre_room" => ways = [true; 2],
                "reserve" | "inner_joint" | "inner_joint_bumps" | "outer_joint" | "outer_joint_bumps" => ways[1 - m.side] = true,
                "transmission" | "transmission_bumps" => ways[usize::from((m.side == 0) == (direction > 0.0))] = true,
                _ => {}
            }
        }
        (ways != [false; 2]).then_some(Family::Stop(ways))
    }

    /// The rack where the wheels keep their toe best, where nothing else is wrong there and only the ± leaves that open.
    fn raised_unsure(&self) -> Option<(Vec<Set>, Outcome)> {
        (0..3).filter_map(|t| self.sets(Family::Raise, f64::from(t))).find_map(|sets| {
            let outcome = self.outcome(&sets, *self.case.line == Line::Typed)?;
            let open = outcome.still == ["bump_steer"] && outcome.margins.iter().all(|m| m.0.margin >= 0.0);
            open.then_some((sets, outcome))
        })
    }

    /// The smallest margin beyond its ± (as the ± are now, or as `pm` says), over everything or over one finding.
    fn least(&self, sets: &[Set], finding: Option<&str>, pm: &[(Margin, f64)]) -> f64 {
        let readings = changed(self.case.readings, sets);
        let x = readings.inputs();
        let results = solve(&x, [None; 2]).results;
        let known = |m: &Margin| {
            let same = |k: &Margin| k.demand == m.demand && k.side == m.side;
            let now = pm.iter().find(|p| same(&p.0)).map(|p| p.1);
            now.or_else(|| self.base.iter().position(same).map(|i| self.pm[i])).unwrap_or(0.0)
        };
        let all = margins(&x, readings.off, &results);
        let each = all.iter().filter(|m| finding.is_none_or(|f| m.finding() == f)).map(|m| m.margin - known(m));
        each.fold(f64::INFINITY, f64::min)
    }

    /// The smallest change of a family with which everything passes, or with which one finding does.
    fn cure(&self, family: Family, finding: Option<&str>) -> Option<(Vec<Set>, Outcome)> {
        let (step, far) = self.amounts(family);
        let mut pm: Vec<(Margin, f64)> = Vec::new();
        let mut from = if far == 0.0 { 0.0 } else { step };
        // The ± is that of the rack as it is; where the changed rack's own is larger, the search goes on with that.
        for _ in 0..3 {
            let mut t = from;
            let found = loop {
                let sets = if family == Family::Raise { Vec::new() } else { self.sets(family, t)? };
                if matches!(family, Family::Turned | Family::Raise) || self.least(&sets, finding, &pm) >= 0.0 {
                    break sets;
                }
                t += step;
                if t > far {
                    return None;
                }
            };
            // Back towards the last that did not do, then a millimetre on, for the rounding of the other unit.
            let (mut good, mut bad) = (t, t - step);
            let mut candidates = Vec::new();
            if family == Family::Raise {
                let near = (3..=2 * NEAR_BEST).filter_map(|t| self.sets(family, f64::from(t)));
                let near = near.filter(|s| self.least(s, finding, &pm) >= 0.0).take(3);
                candidates.extend((0..3).filter_map(|t| self.sets(family, f64::from(t))).chain(near));
            } else if !matches!(family, Family::Turned | Family::Rods | Family::Accept) {
                for _ in 0..3 {
                    let middle = (good + bad) / 2.0;
                    match self.sets(family, middle) {
                        Some(s) if self.least(&s, finding, &pm) >= 0.0 => good = middle,
                        _ => bad = middle,
                    }
                }
                // A line is written to the nearest fraction of an inch, which may be the nearer side: more of them are tried.
                let further: &[f64] = if matches!(family, Family::Line(_) | Family::Room(_)) { &[1.0, 2.0, 3.0, 0.0] } else { &[1.0, 0.0] };
                let sets = further.iter().filter_map(|f| self.sets(family, good + f));
                candidates.extend(sets.filter(|s| self.least(s, finding, &pm) >= 0.0));
                if !matches!(family, Family::Line(_) | Family::Room(_)) {
                    candidates.truncate(1);
                }
            }
            if candidates.is_empty() && family != Family::Raise {
                candidates.push(found);
            }
            let mut short = None;
            for sets in candidates {
                match self.proved(family, &sets, finding)? {
                    Ok(cure) if self.holds_in_inches(family, &sets, finding) => return Some(cure),
                    Ok((_, outcome)) | Err(outcome) => short = short.or(Some(outcome)),
                }
            }
            pm = short?.margins;
            from = good + step / 2.0;
        }
        None
    }

    /// What is left of a change, with how it comes out, where it cures; else how it comes out.
    fn proved(&self, family: Family, sets: &[Set], finding: Option<&str>) -> Option<Result<(Vec<Set>, Outcome), Outcome>> {
        // What cures one thing and breaks another is no cure.
        let failed = |name: &&str| self.base.iter().zip(&self.pm).any(|(m, pm)| m.finding() == *name && m.margin < *pm);
        let passes = |outcome: &Outcome| match finding {
            None => outcome.still.is_empty(),
            Some(f) => !outcome.still.contains(&f) && outcome.still.iter().all(|name| *name == "direction" || failed(name)),
        };
        // Of more room the rack finds its own best.
        let mut own = sets.to_vec();
        if matches!(family, Family::Room(_)) {
            own.retain(|s| s.0 != Field::RackLine);
        }
        let mut outcome = self.outcome(sets, true)?;
        if passes(&outcome) && *self.case.line != Line::Typed {
            outcome = self.outcome(&own, false)?;
        }
        Some(if passes(&outcome) { Ok((own, outcome)) } else { Err(outcome) })
    }

    /// Whether a line that cures does so too as it is written in inches.
    fn holds_in_inches(&self, family: Family, sets: &[Set], finding: Option<&str>) -> bool {
        if !matches!(family, Family::Line(_) | Family::Room(_) | Family::Raise) {
            return true;
        }
        let sets: Vec<Set> = sets.iter().map(|&(field, v)| (field, v.map(as_read_in_inches))).collect();
        matches!(self.proved(family, &sets, finding), Some(Ok(_)))
    }

    /// The changed rack, solved and judged. `None` where the changed readings contradict each other. A rack whose line was found finds it
    /// again, or, `held`, stays at the one it had: for a search, since the best line is no worse.
    fn outcome(&self, sets: &[Set], held: bool) -> Option<Outcome> {
        let mut readings = changed(self.case.readings, sets);
        if !held && readings.items[Field::RackLine as usize].is_some_and(|i| i.origin == Origin::Found) {
            readings.items[Field::RackLine as usize] = None;
        }
        let readings = fit(readings).readings;
        if !readings.conflicts.is_empty() {
            return None;
        }
        let x = readings.inputs();
        let solution = solve(&x, [None; 2]);
        let uncertainties = uncertainties(&readings, &solution);
        let margins: Vec<(Margin, f64)> =
            margins(&x, readings.off, &solution.results).into_iter().map(|m| (m, m.pm(&uncertainties))).collect();
        let mut still = Vec::new();
        for (m, pm) in &margins {
            if (m.margin < 0.0 || m.margin.abs() < *pm) && !still.contains(&m.finding()) {
                still.push(m.finding());
            }
        }
        let rate = |side| Some((x.get(Field::BarMoves)? * solution.results.get(ResultId::SteerRate, side).ok()?, side));
        for (margin, side) in [rate(0), rate(1)].into_iter().flatten() {
            let pm = uncertainties.pm[Results::index(ResultId::SteerRate, side)].unwrap_or(0.0);
            if (margin < 0.0 || margin.abs() < pm) && !still.contains(&"direction") {
                still.push("direction");
            }
        }
        Some(Outcome { line: x.get(Field::RackLine), still, margins, results: solution.results, pm: uncertainties.pm })
    }
}

//! A plan that is open, and what was worked out for it: a key works out again only what it touches.
//!
//! Evaluation, drawing, guide and explanation share it. Every step is a function of what it is given and of nothing else, and what it was
//! given is what its answer is kept by: a rack solved by its readings, what is shown of a rack by its [`Excerpt`], the guide by what is asked.
//! So an answer is the one that a session without a past gives.

#[cfg(test)]
mod declarations;
mod excerpt;
mod recent;

use crate::analysis::placement::Window;
use crate::judgement::case::{Evaluated, solved};
use crate::judgement::rack_line::{fit, with_any_line};
use crate::judgement::remedy::is_cured;
use crate::plan::Plan;
use crate::plan::inputs::Readings;
use crate::present::axle_drawing::Axle;
use crate::present::explanation::{Explained, explained};
use crate::present::map::{Map, map};
use crate::present::over_bumps::{BumpView, CornerDrawing, corner_drawing, over_bumps};
use crate::present::place::{self, PlaceView, Places, Seen};
use crate::present::points::{PointsView, points};
use crate::present::view::{self, First, Part, RackView, View, rack_view};
use crate::rack_search::{Asked, BuyingGuide, guide};
use excerpt::{Base, Excerpt};
use recent::Recent;
use std::cell::OnceCell;
use std::rc::Rc;

/// A plan, and what was worked out for it and those before it.
#[derive(Debug, Default)]
pub struct Session {
    plan: Plan,
    base: Rc<Base>,
    racks: Recent<Rack>,
    solved: Recent<Solved>,
    guide: Option<(Asked, Rc<BuyingGuide>)>,
    place: Option<(Rc<Evaluated>, Rc<Places>)>,
}

/// A rack by its readings, before it has a rack line.
#[derive(Debug)]
struct Solved {
    readings: Readings,
    evaluated: Rc<Evaluated>,
}

/// A rack by its excerpt of the plan.
#[derive(Debug)]
struct Rack {
    excerpt: Excerpt,
    readings: Readings,
    evaluated: OnceCell<Rc<Evaluated>>,
    /// What is shown of it, without remedies and with them.
    shown: [OnceCell<Rc<RackView>>; 2],
}

impl Session {
    /// With this plan open.
    pub fn new(plan: Plan) -> Session {
        let mut session = Session::default();
        session.open(plan);
        session
    }

    /// Opens another plan, or the same one changed. What was worked out stays as far as it holds.
    pub fn open(&mut self, plan: Plan) {
        if !self.base.is_of(&plan) {
            self.base = Rc::new(Base::of(&plan));
        }
        self.plan = plan;
    }

    /// The plan that is open.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// The rack of that index, or the car alone where there is no such rack.
    fn rack(&mut self, index: usize) -> Rc<Rack> {
        let excerpt = Excerpt::of(&self.base, &self.plan, index);
        self.racks.find(|rack| rack.excerpt == excerpt).unwrap_or_else(|| {
            let readings = self.base.shared.clone().with_rack(&excerpt.plan(), 0);
            self.racks.put(Rack { excerpt, readings, evaluated: OnceCell::new(), shown: Default::default() })
        })
    }

    fn evaluated(&mut self, rack: &Rack) -> Rc<Evaluated> {
        let evaluated = rack.evaluated.get_or_init(|| {
            let known = self.solved.find(|known| known.readings.same_as(&rack.readings));
            let work = || Solved { readings: rack.readings.clone(), evaluated: Rc::new(solved(fit(rack.readings.clone()))) };
            known.unwrap_or_else(|| self.solved.put(work())).evaluated.clone()
        });
        evaluated.clone()
    }

    /// The rack of that index, as a view is put together from it.
    fn part(&mut self, index: usize, remedies: bool) -> Part {
        let rack = self.rack(index);
        let e = self.evaluated(&rack);
        let shown = rack.shown[usize::from(remedies)].get_or_init(|| match rack.shown[0].get() {
            // Where nothing fails, there is nothing to be cured.
            Some(plain) if remedies && !plain.findings.iter().any(is_cured) => plain.clone(),
            _ => Rc::new(rack_view(&rack.excerpt.plan(), 0, &e, remedies)),
        });
        Part { shown: shown.clone(), e }
    }

    fn view(&mut self, remedies: impl Fn(usize) -> bool) -> View {
        let parts: Vec<Part> = (0..self.plan.racks.len()).map(|i| self.part(i, remedies(i))).collect();
        view::view(&self.plan, &self.base.car, &parts)
    }

    /// Everything that follows from the plan.
    pub fn evaluate(&mut self) -> View {
        self.view(|_| true)
    }

    /// The same with remedies for the rack that is shown alone: what a page needs.
    pub fn evaluate_shown(&mut self) -> View {
        let chosen = self.plan.chosen;
        self.view(|rack| rack == chosen)
    }

    /// Works one rack out, so that [`Session::evaluate_shown`] is quick: a plan of many racks is worked out in slices, with pauses between them.
    pub fn prepare(&mut self, rack: usize) {
        if rack < self.plan.racks.len() {
            self.part(rack, rack == self.plan.chosen);
        }
    }

    /// As much of [`Session::evaluate_shown`] as does not depend on the racks that are not shown, and takes no search for remedies: what a
    /// key changes at once.
    pub fn evaluate_first(&mut self) -> First {
        let shown = (self.plan.chosen < self.plan.racks.len()).then(|| self.part(self.plan.chosen, false));
        let readings: Vec<Readings> = (0..self.plan.racks.len()).map(|i| with_any_line(self.rack(i).readings.clone())).collect();
        view::first(&self.plan, &self.base.car, &readings.iter().collect::<Vec<_>>(), shown)
    }

    /// What to look for, from the car alone.
    pub fn look_for(&mut self) -> Rc<BuyingGuide> {
        let racks: Vec<Rc<Evaluated>> = (0..self.plan.racks.len())
            .map(|i| {
                let rack = self.rack(i);
                self.evaluated(&rack)
            })
            .collect();
        let asked = Asked::of(&self.plan, racks.iter().map(|e| (e.readings.inputs(), &e.solution)));
        match &self.guide {
            Some((known, guide)) if known.same_as(&asked) => guide.clone(),
            _ => {
                let guide = Rc::new(guide(&asked));
                self.guide = Some((asked, guide.clone()));
                guide
            }
        }
    }

    /// What the result `name` of a rack rests on, `side` 0 the only or the left one; `None` where there is no such figure.
    pub fn explain(&mut self, rack: usize, name: &str, side: usize) -> Option<Explained> {
        let known = self.rack(rack);
        let e = self.evaluated(&known);
        explained(&self.plan, rack, &e, name, side)
    }

    /// How the points of the suspension stand, with the rack of that index.
    pub fn points(&mut self, rack: usize) -> PointsView {
        let known = self.rack(rack);
        let e = self.evaluated(&known);
        points(&e.readings, &e.solution, rack)
    }

    /// Both wheels of a rack over bumps, at a share of the rack's usable travel: 1 bar hard to the left, −1 hard to the right.
    pub fn over_bumps(&mut self, rack: usize, share: f64) -> BumpView {
        let known = self.rack(rack);
        over_bumps(&self.evaluated(&known), share)
    }

    /// One corner (0 left, 1 right) of a rack at a wheel travel, mm, and a share of the rack's usable travel. The error is a sentence.
    pub fn corner(&mut self, rack: usize, side: usize, travel: f64, share: f64) -> Result<CornerDrawing, String> {
        let known = self.rack(rack);
        corner_drawing(&self.evaluated(&known), side, travel, share)
    }

    /// Where a rack may go: [`map`].
    pub fn map(&mut self, rack: usize, window: Window) -> Result<Map, String> {
        let known = self.rack(rack);
        map(&self.evaluated(&known), window)
    }

    /// Where the rack of that index may go, as it is shown; the same map is solved once.
    pub fn place(&mut self, rack: usize, seen: Seen) -> PlaceView {
        let part = self.part(rack, true);
        let place = match &self.place {
            Some((of, known)) if Rc::ptr_eq(of, &part.e) && known.shows(&seen) => known.clone(),
            _ => Rc::new(Places::of(&part.e, seen)),
        };
        self.place = Some((part.e.clone(), place.clone()));
        let then = place.best.map(|to| self.moved_rack(rack, to).part(rack, false));
        place::view(&place, &part, then.as_ref())
    }

    /// The map that was shown last.
    pub fn seen_place(&self) -> Option<&Places> {
        self.place.as_ref().map(|(_, place)| &**place)
    }

    /// Where each rack of the plan is said to be.
    pub fn stands(&mut self) -> Vec<Option<[f64; 2]>> {
        (0..self.plan.racks.len()).map(|i| place::stands(&self.rack(i).readings.inputs())).collect()
    }

    /// The plan with a rack's inner joints elsewhere: ahead of the tie-rod ends and above them, mm.
    fn moved_rack(&self, rack: usize, to: [f64; 2]) -> Session {
        let mut plan = self.plan.clone();
        if let Some(rack) = plan.racks.get_mut(rack) {
            for (field, entry) in place::entries(to) {
                rack.entries.insert(field, entry);
            }
        }
        Session::new(plan)
    }

    /// A rack ready to be put at any place of its travel. The error, where there is no linkage, is a sentence.
    pub fn axle(&mut self, rack: usize) -> Result<Axle, String> {
        let known = self.rack(rack);
        let e = self.evaluated(&known);
        Axle::of(e.readings.clone(), e.solution.clone())
    }
}

/// Evaluates a plan.
pub fn evaluate(plan: &Plan) -> View {
    Session::new(plan.clone()).evaluate()
}

/// The same with remedies for the rack that is shown alone.
pub fn evaluate_shown(plan: &Plan) -> View {
    Session::new(plan.clone()).evaluate_shown()
}

/// What a key in the plan changes at once: see [`Session::evaluate_first`].
pub fn evaluate_first(plan: &Plan) -> First {
    Session::new(plan.clone()).evaluate_first()
}

/// What a result of a plan rests on: see [`Session::explain`].
pub fn explain(plan: &Plan, rack: usize, name: &str, side: usize) -> Option<Explained> {
    Session::new(plan.clone()).explain(rack, name, side)
}

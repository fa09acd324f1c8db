//! The part of a plan that the answers for one rack depend on.

use crate::plan::inputs::{CARRIED, Readings, carrier};
use crate::plan::{Entries, Plan, Rack};
use std::rc::Rc;

/// What all racks of a plan have in common.
#[derive(Debug, Clone, PartialEq)]
pub struct Base {
    /// What was typed for the car.
    typed_car: Entries,
    /// What was typed for the limits.
    typed_limits: Entries,
    /// What is read of both, not yet held against each other.
    pub shared: Readings,
    /// What is known of the car without any rack.
    pub car: Readings,
}

impl Default for Base {
    fn default() -> Base {
        Base::of(&Plan::default())
    }
}

impl Base {
    /// Of this plan.
    pub fn of(plan: &Plan) -> Base {
        let shared = Readings::shared(plan);
        let car = shared.clone().with_rack(plan, usize::MAX);
        Base { typed_car: plan.car.clone(), typed_limits: plan.limits.clone(), shared, car }
    }

    /// Whether it is that of this plan.
    pub fn is_of(&self, plan: &Plan) -> bool {
        self.typed_car == plan.car && self.typed_limits == plan.limits
    }
}

/// A plan of one rack and, behind it, the racks from which something is carried over to it, with that alone.
#[derive(Debug, Clone)]
pub struct Excerpt {
    base: Rc<Base>,
    racks: Vec<Rack>,
}

/// Those of one and the same base are compared by their racks; another base is another excerpt, though it may say the same.
impl PartialEq for Excerpt {
    fn eq(&self, other: &Excerpt) -> bool {
        Rc::ptr_eq(&self.base, &other.base) && self.racks == other.racks
    }
}

impl Excerpt {
    /// For the rack of that index; without racks where there is no such one.
    pub fn of(base: &Rc<Base>, plan: &Plan, index: usize) -> Excerpt {
        let own = plan.racks.get(index).map(|rack| Rack {
            name: rack.name.clone(),
            note: rack.note.clone(),
            entries: rack.entries.clone(),
            ..Rack::default()
        });
        let lacks = |field| own.as_ref().is_some_and(|own| !own.entries.contains_key(field));
        let carried = CARRIED.iter().filter(|field| lacks(field)).filter_map(|field| {
            let from = &plan.racks[carrier(plan, index, *field)?];
            let mut rack = Rack { name: from.name.clone(), ..Rack::default() };
            // One by one: to collect them brings along a sort, which is heavy.
            rack.entries.insert(*field, from.entries.get(field)?.clone());
            Some(rack)
        });
        let racks = own.iter().cloned().chain(carried).collect();
        Excerpt { base: base.clone(), racks }
    }

    /// The plan that it is; its first rack is the one that was asked for.
    pub fn plan(&self) -> Plan {
        let Base { typed_car, typed_limits, .. } = &*self.base;
        Plan { car: typed_car.clone(), limits: typed_limits.clone(), racks: self.racks.clone(), ..Plan::default() }
    }
}

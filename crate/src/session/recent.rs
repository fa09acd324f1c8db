//! What was made of late, to be found again.

use crate::plan::MOST_RACKS;
use std::rc::Rc;

/// How many are kept: the racks of the largest plan, and as many of what it was before.
const KEPT: usize = 2 * MOST_RACKS;

/// The latest made or found, the longest ago first.
#[derive(Debug)]
pub struct Recent<T>(Vec<Rc<T>>);

impl<T> Default for Recent<T> {
    fn default() -> Recent<T> {
        Recent(Vec::new())
    }
}

impl<T> Recent<T> {
    /// The one that is meant, if it is kept.
    pub fn find(&mut self, meant: impl Fn(&T) -> bool) -> Option<Rc<T>> {
        let at = self.0.iter().position(|one| meant(one))?;
        self.0[at..].rotate_left(1);
        self.0.last().cloned()
    }

    /// Keeps another one; the one not asked for longest gives way.
    pub fn put(&mut self, one: T) -> Rc<T> {
        if self.0.len() >= KEPT {
            self.0.remove(0);
        }
        self.0.push(Rc::new(one));
        self.0[self.0.len() - 1].clone()
    }
}

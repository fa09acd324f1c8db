//! What was worked out before for the same readings is not worked out again.
//!
//! The answer is the same either way: nothing else goes into it. So a key in one rack costs that rack, not its neighbours.

use crate::catalogue::field::FIELD_COUNT;
use crate::catalogue::field_set::FieldSet;
use crate::plan::inputs::{Item, Readings};
use std::cell::RefCell;
use std::thread::LocalKey;

/// All that an answer depends on: every reading with its ±, what contradicts what, what was turned off.
pub type Key = ([Option<Item>; FIELD_COUNT], FieldSet, FieldSet);

/// Answers by what they depend on, the oldest first.
pub type Memo<V> = RefCell<Vec<(Key, V)>>;

/// How many answers are kept of a kind: more than the racks of a plan, with some changed ones.
const KEPT: usize = 192;

/// The answer for these readings, from `memo` or worked out.
pub fn recall<V: Clone>(memo: &'static LocalKey<Memo<V>>, readings: &Readings, work: impl FnOnce() -> V) -> V {
    let key: Key = (readings.items, readings.doubtful(), readings.off);
    if let Some(known) = memo.with_borrow(|all| all.iter().rev().find(|k| k.0 == key).map(|k| k.1.clone())) {
        return known;
    }
    let answer = work();
    memo.with_borrow_mut(|all| {
        if all.len() >= KEPT {
            all.drain(..KEPT / 2);
        }
        all.push((key, answer.clone()));
    });
    answer
}

//! Lists in order.

use std::cmp::Ordering;

/// The places of a list of `count` in order; those that are alike stay in the order that they had.
///
/// One copy for every list: the library's own sort brings some kB along for each kind of it, and the lists here are short.
pub fn order(count: usize, compare: &dyn Fn(usize, usize) -> Ordering) -> Vec<usize> {
    let mut out = Vec::with_capacity(count);
    for place in 0..count {
        let at = out.partition_point(|&before| compare(before, place) != Ordering::Greater);
        out.insert(at, place);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_alike_stays_in_its_order() {
        let list = [3, 1, 2, 1, 3, 0, 2, 1];
        let places = order(list.len(), &|a, b| list[a].cmp(&list[b]));
        assert_eq!(places, [5, 1, 3, 7, 2, 6, 0, 4]);
        let mut sorted: Vec<usize> = (0..list.len()).collect();
        sorted.sort_by_key(|k| list[*k]);
        assert_eq!(places, sorted);
        assert!(order(0, &|_, _| Ordering::Equal).is_empty());
    }
}

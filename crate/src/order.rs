//! Putting things in order, compiled once.
//!
//! Takes a list; gives it sorted. The standard library's sort is compiled anew for every kind of element and every
//! comparison, some 4 KB of wasm each; here two copies serve the whole core.

use std::cmp::Ordering;

/// Sorts numbers, the smallest first, in the order of [`f64::total_cmp`].
#[inline(never)]
pub fn ascending(values: &mut [f64]) {
    // M. Ciura, Best increments for the average case of Shellsort (FCT 2001), carried on by 2.25: some n^1.3 comparisons.
    let mut gaps = vec![1, 4, 10, 23, 57, 132, 301, 701];
    let mut next = 1750;
    while next < values.len() {
        gaps.push(next);
        next = next * 9 / 4;
    }
    for gap in gaps.into_iter().rev() {
        for start in gap..values.len() {
            let value = values[start];
            let mut at = start;
            while at >= gap && values[at - gap].total_cmp(&value).is_gt() {
                values[at] = values[at - gap];
                at -= gap;
            }
            values[at] = value;
        }
    }
}

/// Sorts by a comparison; equal elements keep their order. Time grows as n log n.
pub fn by<T>(list: &mut [T], mut compare: impl FnMut(&T, &T) -> Ordering) {
    let from = ranks(list.len(), &mut |a, b| compare(&list[a], &list[b]));
    turn(from, &mut |a, b| list.swap(a, b));
}

/// Place `at` is to hold what stands at `from[at]`: each cycle of places is turned by one.
#[inline(never)]
fn turn(mut from: Vec<usize>, swap: &mut dyn FnMut(usize, usize)) {
    for start in 0..from.len() {
        let mut at = start;
        loop {
            let source = std::mem::replace(&mut from[at], at);
            if source == start {
                break;
            }
            swap(at, source);
            at = source;
        }
    }
}

/// Sorts elements that have an order of their own; equal elements keep their order.
pub fn sort<T: Ord>(list: &mut [T]) {
    by(list, T::cmp);
}

/// The places of the elements in sorted order.
#[inline(never)]
fn ranks(count: usize, compare: &mut dyn FnMut(usize, usize) -> Ordering) -> Vec<usize> {
    let mut places: Vec<usize> = (0..count).collect();
    places.sort_by(|a, b| compare(*a, *b));
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{RngExt, SeedableRng};

    #[test]
    fn it_sorts_as_the_standard_library_does() {
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(7);
        for count in [0, 1, 2, 3, 7, 50, 1000] {
            // Few keys, so that many are equal and stability shows.
            let list: Vec<(u8, usize)> = (0..count)
                .map(|place| (rng.random_range(0..9), place))
                .collect();
            let (mut ours, mut std) = (list.clone(), list);
            by(&mut ours, |a, b| b.0.cmp(&a.0));
            std.sort_by_key(|element| std::cmp::Reverse(element.0));
            assert_eq!(ours, std);
            let mut words: Vec<String> = ours.iter().map(|(key, _)| format!("{key}")).collect();
            sort(&mut words);
            assert!(words.is_sorted());
            let mut values: Vec<f64> = ours.iter().map(|(_, place)| -(*place as f64)).collect();
            ascending(&mut values);
            assert!(values.is_sorted());
        }
    }
}

//! What waits for itself. Plain numbers.

use std::collections::{BTreeSet, VecDeque};

/// Returns the nodes that no order reaches: those on a cycle, and those that wait for one.
///
/// # Panics
/// If a pair names a node that is not below `count`.
///
/// # References
/// Kahn (1962), Topological sorting of large networks, CACM 5(11).
pub fn stuck(count: usize, before: &[(usize, usize)]) -> BTreeSet<usize> {
    let mut waits = vec![0_usize; count];
    for &(_, then) in before {
        waits[then] += 1;
    }
    let after = after(count, before);
    let mut free: Vec<usize> = (0..count).filter(|&node| waits[node] == 0).collect();
    while let Some(node) = free.pop() {
        for &then in &after[node] {
            waits[then] -= 1;
            if waits[then] == 0 {
                free.push(then);
            }
        }
    }
    (0..count).filter(|&node| waits[node] > 0).collect()
}

/// Returns the nodes that must come before any of some.
///
/// # Panics
/// If a pair names a node that is not below `count`.
pub fn earlier(count: usize, before: &[(usize, usize)], of: &[usize]) -> BTreeSet<usize> {
    let backwards: Vec<(usize, usize)> =
        before.iter().map(|&(first, then)| (then, first)).collect();
    let waits_for = after(count, &backwards);
    let mut found = BTreeSet::new();
    let mut left = of.to_vec();
    while let Some(node) = left.pop() {
        left.extend(waits_for[node].iter().filter(|&&first| found.insert(first)));
    }
    found
}

/// Returns a shortest cycle of every knot of nodes that wait for each other, each beginning with its
/// smallest node.
///
/// # Panics
/// If a pair names a node that is not below `count`.
pub fn cycles(count: usize, before: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let after = after(count, before);
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut found = Vec::new();
    for node in stuck(count, before) {
        if seen.contains(&node) {
            continue;
        }
        let Some(cycle) = shortest(&after, node) else {
            continue;
        };
        let ahead = earlier(count, before, &[node]);
        let behind = reached(&after, node);
        let knot: BTreeSet<usize> = ahead.intersection(&behind).copied().collect();
        seen.extend(&knot);
        let others = knot.iter().filter_map(|&other| shortest(&after, other));
        let best = others.fold(cycle, |best, other| {
            if other.len() < best.len() {
                other
            } else {
                best
            }
        });
        found.push(smallest_first(best));
    }
    found
}

fn after(count: usize, before: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut after = vec![Vec::new(); count];
    for &(first, then) in before {
        after[first].push(then);
    }
    after
}

/// Returns the nodes that come after one.
fn reached(after: &[Vec<usize>], from: usize) -> BTreeSet<usize> {
    let mut found = BTreeSet::new();
    let mut left = vec![from];
    while let Some(node) = left.pop() {
        left.extend(after[node].iter().filter(|&&then| found.insert(then)));
    }
    found
}

/// Returns a shortest way from a node back to itself.
fn shortest(after: &[Vec<usize>], node: usize) -> Option<Vec<usize>> {
    let mut came_from = vec![None; after.len()];
    let mut left = VecDeque::from([node]);
    while let Some(here) = left.pop_front() {
        if after[here].contains(&node) {
            let back = std::iter::successors(Some(here), |&at| {
                (at != node).then(|| came_from[at]).flatten()
            });
            let mut cycle: Vec<usize> = back.collect();
            cycle.reverse();
            return Some(cycle);
        }
        for &then in &after[here] {
            if came_from[then].is_none() {
                came_from[then] = Some(here);
                left.push_back(then);
            }
        }
    }
    None
}

fn smallest_first(mut cycle: Vec<usize>) -> Vec<usize> {
    let least = (0..cycle.len()).min_by_key(|&at| cycle[at]).unwrap_or(0);
    cycle.rotate_left(least);
    cycle
}

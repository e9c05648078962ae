//! The order of opening against every other order, and its cycles against a general graph library's.

use gapbook::order::cycle::{cycles, stuck};
use gapbook::order::{Needs, Order, search};
use petgraph::algo::{is_cyclic_directed, tarjan_scc};
use petgraph::graph::DiGraph;
use proptest::prelude::*;

/// What an order costs, and the order itself: the least is the best.
type Judged = (usize, usize, Vec<usize>);

/// Returns the best of all orders, by trying each.
fn best(steps: &[Needs], before: &[(usize, usize)]) -> Option<Judged> {
    let mut best = None;
    extend(steps, before, &mut Vec::new(), &mut best);
    best
}

fn extend(
    steps: &[Needs],
    before: &[(usize, usize)],
    order: &mut Vec<usize>,
    best: &mut Option<Judged>,
) {
    if order.len() == steps.len() {
        let (turns, bits) = cost(steps, order);
        let judged = (turns, bits, order.clone());
        if best.as_ref().is_none_or(|best| judged < *best) {
            *best = Some(judged);
        }
        return;
    }
    for step in 0..steps.len() {
        let waits = before
            .iter()
            .any(|&(first, then)| then == step && !order.contains(&first));
        if !order.contains(&step) && !waits {
            order.push(step);
            extend(steps, before, order, best);
            order.pop();
        }
    }
}

/// Counts the turn-overs and the bit changes of an order.
fn cost(steps: &[Needs], order: &[usize]) -> (usize, usize) {
    let changes = |of: fn(&Needs) -> Option<usize>| {
        let needed: Vec<usize> = order.iter().filter_map(|&step| of(&steps[step])).collect();
        needed.windows(2).filter(|pair| pair[0] != pair[1]).count()
    };
    (changes(|needs| needs.side), changes(|needs| needs.bit))
}

fn needs() -> impl Strategy<Value = Needs> {
    let side = prop::option::weighted(0.7, 0..2_usize);
    let bit = prop::option::weighted(0.6, 0..3_usize);
    (side, bit).prop_map(|(side, bit)| Needs { side, bit })
}

proptest! {
    #[test]
    fn no_order_is_better(
        steps in prop::collection::vec(needs(), 1..=7),
        pairs in prop::collection::vec((0..7_usize, 0..7_usize), 0..9),
    ) {
        let count = steps.len();
        let before: Vec<(usize, usize)> = pairs
            .into_iter()
            .filter(|&(first, then)| first < then && then < count)
            .collect();
        let found = search(&steps, &before);
        let (turns, bits, order) = best(&steps, &before).expect("there is no cycle");
        prop_assert_eq!((found.turn_overs, found.bit_changes), (turns, bits), "the least");
        prop_assert_eq!(found.steps, order, "the earliest of the best");
        prop_assert!(found.is_exact, "so small a board is searched whole");
    }

    #[test]
    fn what_waits_for_itself_is_found(
        pairs in prop::collection::vec((0..9_usize, 0..9_usize), 0..16),
    ) {
        let mut graph = DiGraph::<(), ()>::new();
        let nodes: Vec<_> = (0..9).map(|_| graph.add_node(())).collect();
        for &(first, then) in &pairs {
            graph.add_edge(nodes[first], nodes[then], ());
        }
        let knots = tarjan_scc(&graph)
            .into_iter()
            .filter(|knot| knot.len() > 1 || graph.contains_edge(knot[0], knot[0]))
            .count();
        let found = cycles(9, &pairs);
        prop_assert_eq!(found.is_empty(), !is_cyclic_directed(&graph), "exactly when there is one");
        prop_assert_eq!(found.len(), knots, "one of each knot");
        for cycle in &found {
            let next = cycle.iter().cycle().skip(1);
            for (&first, &then) in cycle.iter().zip(next) {
                prop_assert!(pairs.contains(&(first, then)), "{cycle:?} is a cycle");
            }
        }
        let steps = search(&[Needs::default(); 9], &pairs).steps;
        let stuck = stuck(9, &pairs);
        prop_assert_eq!(steps.len() + stuck.len(), 9, "taken or stuck");
        prop_assert!(steps.iter().all(|step| !stuck.contains(step)), "not both");
    }
}

#[test]
fn nothing_has_an_empty_order() {
    let empty = Order {
        is_exact: true,
        ..Order::default()
    };
    assert_eq!(search(&[], &[]), empty, "no steps");
}

/// Five hundred that all hide each other: one cycle of two, and nothing can be done.
#[test]
fn five_hundred_that_hide_each_other() {
    let all = (0..500).flat_map(|first| (0..500).map(move |then| (first, then)));
    let before: Vec<(usize, usize)> = all.filter(|(first, then)| first != then).collect();
    assert_eq!(cycles(500, &before), [[0, 1]], "a shortest one");
    assert_eq!(
        search(&[Needs::default(); 500], &before).steps,
        [0; 0],
        "none is free"
    );
}

/// A board beyond reason is ordered all the same, and the order is not called exact.
#[test]
fn what_cannot_be_searched_whole_is_said_so() {
    let (chains, long) = (12_usize, 8);
    let need = |step: usize| Needs {
        side: None,
        // Each chain takes the bits in an order of its own.
        bit: Some((step / long * 5 + step % long * (1 + step / long)) % 11),
    };
    let steps: Vec<Needs> = (0..chains * long).map(need).collect();
    let before: Vec<(usize, usize)> = (0..steps.len() - 1)
        .filter(|step| (step + 1) % long != 0)
        .map(|step| (step, step + 1))
        .collect();
    let found = search(&steps, &before);
    assert_eq!(found.steps.len(), steps.len(), "everything is taken");
    assert!(!found.is_exact, "{} changes", found.bit_changes);
    let position = |step: usize| found.steps.iter().position(|&taken| taken == step);
    assert!(
        before
            .iter()
            .all(|&(first, then)| position(first) < position(then)),
        "in order"
    );
}

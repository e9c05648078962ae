//! Steps of opening a board that wait for themselves, told by what kind they are.

use super::Report;
use crate::book::Board;
use crate::order::graph::{Edge, Graph, Node, Why};

/// What keeps steps waiting for each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Knot {
    /// A body hides the screws that hold it.
    Screw,
    /// A plug is covered by what its cable holds back.
    Cable,
    /// Anything else.
    Other,
}

impl Knot {
    fn of(cycle: &[Edge]) -> Self {
        let is_of_cable = |edge: &Edge| matches!(edge.why, Why::Covers(..) | Why::Ties(..));
        match cycle {
            _ if cycle.iter().any(is_of_cable) => Self::Cable,
            [one, other] => match (one.why, other.why) {
                (Why::Hides(..), Why::Holds(..)) | (Why::Holds(..), Why::Hides(..)) => Self::Screw,
                _ => Self::Other,
            },
            _ => Self::Other,
        }
    }
}

/// Reports each knot of a kind: what waits for what, round to where it began, with the lines.
pub(super) fn report(board: &Board, knot: Knot, report: &mut Report<'_>, help: &str) {
    let graph = Graph::of(board);
    let stuck = graph.stuck();
    if stuck.is_empty() {
        return;
    }
    for cycle in graph
        .cycles()
        .iter()
        .filter(|cycle| Knot::of(cycle) == knot)
    {
        let reasons: Vec<String> = cycle.iter().map(|edge| edge.in_words(board)).collect();
        let message = format!(
            "nothing can come first: {}{}",
            reasons.join(", "),
            behind(board, &graph, cycle)
        );
        let finding = report.find(board.at(cycle[0].path()), message);
        finding.label(&reasons[0]);
        for (edge, reason) in cycle.iter().zip(&reasons).skip(1) {
            finding.also(board.at(edge.path()), reason);
        }
        finding.help(help);
    }
}

/// Names the bodies that cannot be reached either, because they wait for what waits for itself.
fn behind(board: &Board, graph: &Graph, cycle: &[Edge]) -> String {
    let pairs = graph.pairs();
    let mut reached: Vec<usize> = cycle.iter().map(|edge| edge.first).collect();
    let mut next = 0;
    while let Some(&node) = reached.get(next) {
        next += 1;
        for &(first, then) in &pairs {
            if first == node && !reached.contains(&then) {
                reached.push(then);
            }
        }
    }
    let later = reached.iter().skip(cycle.len());
    let names: Vec<String> = later
        .filter_map(|&node| match graph.nodes[node] {
            Node::TakeOff(body) => Some(format!("`{}`", board.record.body[body].id)),
            Node::Unplug(_) | Node::TakeOut(_) => None,
        })
        .collect();
    if names.is_empty() {
        return String::new();
    }
    format!("; {} cannot be reached either", names.join(" and "))
}

//! A board's screws in the order in which they are tightened, which is how they are numbered.

use super::graph::{Graph, Node};
use super::tightening;
use crate::book::Board;
use crate::record::{PartKind, Seat};
use crate::units::Point;

/// One screw: its group's position in the record, and its own in the group.
pub type Screw = (usize, usize);

/// Returns the screws of groups that are tightened together, first to last.
///
/// They cross about the die's centre where it lies among them, else about their own. Captive screws keep
/// the record's order: it is what their maker printed beside them.
pub fn crossing(board: &Board, groups: &[usize]) -> Vec<Screw> {
    let record = &board.record;
    let screws: Vec<Screw> = groups
        .iter()
        .flat_map(|&group| (0..record.fasteners[group].at.len()).map(move |screw| (group, screw)))
        .collect();
    if groups.iter().any(|&group| record.fasteners[group].captive) {
        return screws;
    }
    let points: Vec<Point> = screws
        .iter()
        .map(|&(group, screw)| record.fasteners[group].at[screw])
        .collect();
    let centre = die_among(board, groups, &points).unwrap_or_else(|| centroid(&points));
    let order = tightening(&points, centre);
    order.into_iter().map(|screw| screws[screw]).collect()
}

/// Returns each screw's number, from 1, by group: its place in its group's crossing sequence.
pub fn screw_numbers(board: &Board) -> Vec<Vec<usize>> {
    let groups = &board.record.fasteners;
    let mut numbers: Vec<Vec<usize>> = groups.iter().map(|group| vec![0; group.at.len()]).collect();
    let graph = Graph::of(board);
    let together = graph.nodes.iter().filter_map(|node| match node {
        Node::TakeOut(groups) => Some(groups.clone()),
        Node::Unplug(_) | Node::TakeOff(_) => None,
    });
    let mut together: Vec<Vec<usize>> = together.collect();
    let is_left = |group: &usize| !together.iter().any(|groups| groups.contains(group));
    let staying: Vec<usize> = (0..groups.len()).filter(is_left).collect();
    together.extend(staying.into_iter().map(|group| vec![group]));
    for groups in together {
        for (number, (group, screw)) in crossing(board, &groups).into_iter().enumerate() {
            numbers[group][screw] = number + 1;
        }
    }
    numbers
}

/// Returns the centre of the dies that the groups' bodies are pressed onto, where it lies among the screws.
fn die_among(board: &Board, groups: &[usize], screws: &[Point]) -> Option<Point> {
    let record = &board.record;
    let mut held = groups
        .iter()
        .flat_map(|&group| &record.fasteners[group].holds);
    let cooler = held.find_map(|id| {
        let (_, body) = board.body(id)?;
        body.seats_on(Seat::Die).map(|_| body)
    })?;
    let dies = record.part.iter().enumerate().filter(|(index, part)| {
        part.kind == PartKind::Die && part.side == cooler.side && !board.is_padded(*index)
    });
    let centres: Vec<Point> = dies
        .flat_map(|(_, part)| part.at.iter().map(crate::units::Rect::centre))
        .collect();
    let centre = (!centres.is_empty()).then(|| centroid(&centres))?;
    let is_within = |of: fn(&Point) -> f64| {
        let least = screws.iter().map(of).fold(f64::INFINITY, f64::min);
        let greatest = screws.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
        least < of(&centre) && of(&centre) < greatest
    };
    (is_within(|at| at.x) && is_within(|at| at.y)).then_some(centre)
}

fn centroid(points: &[Point]) -> Point {
    #[expect(clippy::cast_precision_loss, reason = "screws are few")]
    let count = points.len().max(1) as f64;
    let sum = |of: fn(&Point) -> f64| points.iter().map(of).sum::<f64>() / count;
    Point {
        x: sum(|at| at.x),
        y: sum(|at| at.y),
    }
}

//! What comes off before what: the steps of opening a board, and what makes one wait for another.

use std::collections::BTreeSet;

use super::cycle;
use super::search::Needs;
use crate::book::{Board, share_a_revision};
use crate::record::{BodyKind, Connector, ConnectorKind, FastenerKind, Side};
use crate::source::{KeyPath, keys};

/// One step of opening a board; things are named by their position in the record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Node {
    /// Unplug a connector.
    Unplug(usize),
    /// Open a body like a book as far as its cables go, unplug them, and lift it with its pieces.
    TakeOff(usize),
    /// Take out groups of fasteners: several only where they share one body's springs.
    TakeOut(Vec<usize>),
}

/// Why one step waits for another; things are named by their position in the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Fasteners hold a body.
    Holds(usize, usize),
    /// A body hides the heads of fasteners.
    Hides(usize, usize),
    /// A body lies over another.
    Over(usize, usize),
    /// A cover hides a connector.
    Covers(usize, usize),
    /// A connector's cable holds a body.
    Ties(usize, usize),
    /// A connector feeds the board: it comes before everything that does not hide it.
    Feeds(usize),
}

/// One step that comes before another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// The step that comes first.
    pub first: usize,
    /// The step that waits.
    pub then: usize,
    /// Why it waits.
    pub why: Why,
}

/// The steps of opening a board, in the order that a contributor would have them where nothing else
/// decides, and what makes them wait.
///
/// Supplies come first; then a body is lifted as soon as nothing holds it; then other plugs, then screws in
/// the record's order, the sprung ones last, so that closing, which is the reverse, seats the die before
/// anything else is drawn tight. What belongs to different revisions does not wait for each other.
#[derive(Clone, Debug, Default)]
pub struct Graph {
    /// The steps.
    pub nodes: Vec<Node>,
    /// What makes them wait.
    pub edges: Vec<Edge>,
}

impl Graph {
    /// Returns the steps of opening a board.
    pub fn of(board: &Board) -> Self {
        let mut building = Building::new(board);
        building.screws();
        building.bodies();
        building.plugs();
        building.what_comes_along();
        building.supplies_first();
        building.graph
    }

    /// Returns which step comes before which.
    pub fn pairs(&self) -> Vec<(usize, usize)> {
        pairs(&self.edges)
    }

    /// Returns the steps that no order reaches.
    pub fn stuck(&self) -> BTreeSet<usize> {
        cycle::stuck(self.nodes.len(), &self.pairs())
    }

    /// Returns every knot of steps that wait for each other, as the reasons round a shortest cycle of it.
    pub fn cycles(&self) -> Vec<Vec<Edge>> {
        let reasons = |cycle: Vec<usize>| {
            let next = cycle.iter().cycle().skip(1);
            let edges = cycle.iter().zip(next).filter_map(|(&first, &then)| {
                let mut edges = self.edges.iter();
                edges.find(|edge| edge.first == first && edge.then == then)
            });
            edges.copied().collect()
        };
        let cycles = cycle::cycles(self.nodes.len(), &self.pairs());
        cycles.into_iter().map(reasons).collect()
    }

    /// Returns what each step needs at hand.
    pub fn needs(&self, board: &Board) -> Vec<Needs> {
        let mut bits: Vec<&str> = Vec::new();
        let mut needs = |node: &Node| Needs {
            side: side_up(board, node).map(side_number),
            bit: bit(board, node).map(|bit| {
                let known = bits.iter().position(|&known| known == bit);
                known.unwrap_or_else(|| {
                    bits.push(bit);
                    bits.len() - 1
                })
            }),
        };
        self.nodes.iter().map(&mut needs).collect()
    }
}

/// Numbers the sides of the board.
pub(super) fn side_number(side: Side) -> usize {
    usize::from(side == Side::Back)
}

/// Returns the side of the board that must be up for a step; none where either may be: from the edge, for
/// I/O brackets, and for supplies, whose cables come off before the board lies on the bench.
pub fn side_up(board: &Board, node: &Node) -> Option<Side> {
    let record = &board.record;
    match node {
        Node::Unplug(plug) => {
            let plug = &record.connector[*plug];
            (plug.kind != ConnectorKind::Power).then_some(plug.side)
        }
        Node::TakeOff(body) => {
            let body = &record.body[*body];
            (body.kind != BodyKind::IoBracket).then_some(body.side)
        }
        Node::TakeOut(groups) => record.fasteners[groups[0]].from.side(),
    }
}

/// Stands for the bit that a record does not give: none of those it gives.
const UNKNOWN_BIT: &str = "";

/// Returns the bit that a step needs, where it needs one.
fn bit<'a>(board: &'a Board, node: &Node) -> Option<&'a str> {
    let Node::TakeOut(groups) = node else {
        return None;
    };
    let first = &board.record.fasteners[groups[0]];
    let bit = first.drive.as_deref().unwrap_or(UNKNOWN_BIT);
    (first.kind == FastenerKind::Screw).then_some(bit)
}

impl Edge {
    /// Says why, in words.
    pub fn in_words(&self, board: &Board) -> String {
        let record = &board.record;
        let body = |index: usize| format!("`{}`", record.body[index].id);
        let group = |index: usize| format!("`{}`", record.fasteners[index].id);
        let plug = |index: usize| format!("`{}`", record.connector[index].id);
        match self.why {
            Why::Holds(screws, held) => format!("{} hold {}", group(screws), body(held)),
            Why::Hides(over, screws) => format!("{} hides {}", body(over), group(screws)),
            Why::Over(upper, lower) if upper == lower => {
                format!("{} lies over itself", body(upper))
            }
            Why::Over(upper, lower) => format!("{} lies over {}", body(upper), body(lower)),
            Why::Covers(over, hidden) => format!("{} covers the plug {}", body(over), plug(hidden)),
            Why::Ties(cable, tied) => format!("the cable of {} holds {}", plug(cable), body(tied)),
            Why::Feeds(supply) => format!("{} feeds the board", plug(supply)),
        }
    }

    /// Returns where the record says so.
    pub fn path(&self) -> KeyPath {
        match self.why {
            Why::Holds(group, _) => keys!["fasteners", group, "holds"],
            Why::Hides(_, group) => keys!["fasteners", group, "under"],
            Why::Over(upper, _) => keys!["body", upper, "over"],
            Why::Covers(_, plug) => keys!["connector", plug, "at"],
            Why::Ties(plug, _) => keys!["connector", plug, "ties"],
            Why::Feeds(plug) => keys!["connector", plug, "kind"],
        }
    }
}

fn pairs(edges: &[Edge]) -> Vec<(usize, usize)> {
    edges.iter().map(|edge| (edge.first, edge.then)).collect()
}

/// Tells whether a connector feeds the board from outside.
fn is_supply(plug: &Connector) -> bool {
    let feeds = matches!(plug.kind, ConnectorKind::Power | ConnectorKind::Battery);
    feeds && plug.ties.is_none()
}

/// Returns the body that a connector's cable ties, where it is unplugged by opening that one like a
/// book: on the other side of the board it is reached without.
pub fn swung_by(board: &Board, plug: usize) -> Option<usize> {
    let plug = &board.record.connector[plug];
    let (tied, _) = board.body(plug.ties.as_deref()?)?;
    let whole = board.whole(tied);
    (board.record.body[whole].side == plug.side).then_some(whole)
}

/// Returns the whole bodies that a group holds, and whether it holds them to the board: nothing else
/// being named, it does.
pub fn held_by(board: &Board, group: usize) -> (BTreeSet<usize>, bool) {
    let holds = &board.record.fasteners[group].holds;
    let bodies = holds.iter().filter_map(|id| board.body(id));
    let wholes = bodies.map(|(body, _)| board.whole(body)).collect();
    let into_board = holds.len() == 1 || holds.iter().any(|held| held == "pcb");
    (wholes, into_board)
}

/// A graph being built.
struct Building<'a> {
    board: &'a Board,
    graph: Graph,
    wholes: Vec<usize>,
    of_body: Vec<usize>,
    of_group: Vec<Option<usize>>,
    of_plug: Vec<Option<usize>>,
    /// Bodies that come off with the screws to another one still in them: that one, those screws.
    along: Vec<(usize, usize, usize)>,
}

impl<'a> Building<'a> {
    fn new(board: &'a Board) -> Self {
        let record = &board.record;
        let wholes: Vec<usize> = (0..record.body.len())
            .map(|body| board.whole(body))
            .collect();
        let mut building = Self {
            board,
            graph: Graph::default(),
            of_body: vec![0; record.body.len()],
            of_group: vec![None; record.fasteners.len()],
            of_plug: vec![None; record.connector.len()],
            wholes,
            along: Vec::new(),
        };
        building.plug_nodes(is_supply);
        building.body_nodes();
        building.plug_nodes(|plug| !is_supply(plug));
        building.screw_nodes(false);
        building.screw_nodes(true);
        building
    }

    fn node(&mut self, node: Node) -> usize {
        self.graph.nodes.push(node);
        self.graph.nodes.len() - 1
    }

    fn plug_nodes(&mut self, is_wanted: impl Fn(&Connector) -> bool) {
        let board = self.board;
        for (index, plug) in board.record.connector.iter().enumerate() {
            if is_wanted(plug) && swung_by(board, index).is_none() {
                self.of_plug[index] = Some(self.node(Node::Unplug(index)));
            }
        }
    }

    fn body_nodes(&mut self) {
        for body in 0..self.wholes.len() {
            if self.wholes[body] == body {
                self.of_body[body] = self.node(Node::TakeOff(body));
            }
        }
        for body in 0..self.wholes.len() {
            self.of_body[body] = self.of_body[self.wholes[body]];
        }
    }

    /// Adds the groups that hold something to something else: screws within one piece stay in.
    fn screw_nodes(&mut self, sprung: bool) {
        let board = self.board;
        for (index, group) in board.record.fasteners.iter().enumerate() {
            let (held, into_board) = held_by(board, index);
            if group.sprung != sprung || (held.len() == 1 && !into_board) {
                continue;
            }
            let is_with = |&other: &usize| {
                let one = &board.record.fasteners[other];
                let same_tool = one.from == group.from && one.drive == group.drive;
                let same_kind = one.kind == group.kind && one.captive == group.captive;
                let revisions = [other, index].map(|group| board.revisions_of_fasteners(group));
                one.sprung && same_tool && same_kind && revisions[0] == revisions[1]
            };
            let joined = sprung.then(|| {
                let mut others = (0..index).filter(is_with);
                others.find(|&other| held_by(board, other).0 == held)
            });
            let node = joined.flatten().and_then(|other| self.of_group[other]);
            self.of_group[index] = Some(match node {
                Some(node) => {
                    if let Node::TakeOut(groups) = &mut self.graph.nodes[node] {
                        groups.push(index);
                    }
                    node
                }
                None => self.node(Node::TakeOut(vec![index])),
            });
        }
    }

    fn edge(&mut self, first: usize, then: usize, why: Why) {
        self.graph.edges.push(Edge { first, then, why });
    }

    /// Adds what holds and what hides.
    fn screws(&mut self) {
        let board = self.board;
        for (index, group) in board.record.fasteners.iter().enumerate() {
            let Some(node) = self.of_group[index] else {
                continue;
            };
            let only = board.revisions_of_fasteners(index);
            let (held, into_board) = held_by(board, index);
            let hiding = group.under.iter().filter_map(|id| board.body(id));
            let hiding: Vec<usize> = hiding
                .filter(|(_, body)| share_a_revision(only, &body.only))
                .map(|(body, _)| body)
                .collect();
            for &body in &hiding {
                self.edge(self.of_body[body], node, Why::Hides(body, index));
            }
            for &body in &held {
                let hides = hiding.iter().any(|&over| self.wholes[over] == body);
                if hides && !into_board {
                    // These screws are reached from inside, when it is off and the other with it.
                    let others = held.iter().filter(|&&other| other != body);
                    self.along.extend(others.map(|&other| (other, body, node)));
                } else if share_a_revision(only, &board.record.body[body].only) {
                    self.edge(node, self.of_body[body], Why::Holds(index, body));
                }
            }
        }
    }

    /// Adds what lies over what.
    fn bodies(&mut self) {
        let board = self.board;
        for (upper, body) in board.record.body.iter().enumerate() {
            let lower = body.over.iter().filter_map(|id| board.body(id));
            for (lower, other) in
                lower.filter(|(_, other)| share_a_revision(&body.only, &other.only))
            {
                let (first, then) = (self.of_body[upper], self.of_body[lower]);
                if first != then || other.id == body.id {
                    self.edge(first, then, Why::Over(upper, lower));
                }
            }
        }
    }

    /// Adds what covers a plug, and the cables that are unplugged without opening anything.
    fn plugs(&mut self) {
        let board = self.board;
        for (index, plug) in board.record.connector.iter().enumerate() {
            let tied = plug.ties.as_deref().and_then(|id| board.body(id));
            let own = tied.map(|(body, _)| self.of_body[body]);
            let Some(node) = self.of_plug[index].or(own) else {
                continue;
            };
            for (over, body) in board.record.body.iter().enumerate() {
                let is_above = body.kind == BodyKind::Cover
                    && body.side == plug.side
                    && (body.at.is_empty()
                        || body.at.iter().any(|at| at.distance_to(plug.at) <= 0.0));
                let first = self.of_body[over];
                let is_other = first != node && Some(first) != own;
                if is_above && is_other && share_a_revision(&plug.only, &body.only) {
                    self.edge(first, node, Why::Covers(over, index));
                }
            }
            if let (Some(node), Some((body, _))) = (self.of_plug[index], tied) {
                self.edge(node, self.of_body[body], Why::Ties(index, body));
            }
        }
    }

    /// Makes a body that another one comes along with wait for all that holds either.
    fn what_comes_along(&mut self) {
        for (body, with, screws) in std::mem::take(&mut self.along) {
            let (along, with) = (self.of_body[body], self.of_body[with]);
            let held =
                self.graph.edges.iter().filter(|edge| {
                    edge.then == along && edge.first != screws && edge.first != with
                });
            let also: Vec<Edge> = held
                .map(|edge| Edge {
                    then: with,
                    ..*edge
                })
                .collect();
            self.graph.edges.extend(also);
        }
    }

    /// Makes everything wait for the supplies but what hides one.
    fn supplies_first(&mut self) {
        let count = self.graph.nodes.len();
        let pairs = self.graph.pairs();
        let stuck = cycle::stuck(count, &pairs);
        let connectors = self.board.record.connector.iter().enumerate();
        let supplies: Vec<(usize, usize)> = connectors
            .filter(|(_, plug)| is_supply(plug))
            .filter_map(|(index, _)| Some((index, self.of_plug[index]?)))
            .filter(|(_, node)| !stuck.contains(node))
            .collect();
        let nodes: Vec<usize> = supplies.iter().map(|&(_, node)| node).collect();
        let earlier = cycle::earlier(count, &pairs, &nodes);
        for (plug, node) in supplies {
            for then in (0..count).filter(|then| !earlier.contains(then) && !nodes.contains(then)) {
                self.edge(node, then, Why::Feeds(plug));
            }
        }
    }
}

//! A good plan of a large order: clear a few places, fill them better, and go on from there.
//!
//! # References
//! Gardeyn and Wauters (2022), *A goal-driven ruin and recreate heuristic for the 2D variable-sized bin
//! packing problem with guillotine constraints*, for the idea; late acceptance after Burke and Bykov
//! (2017).

use std::cmp::Reverse;
use std::rc::Rc;

use super::exact::Solution;
use super::in_turn::in_turn;
use super::order::{Order, Size};
use super::plan::{Axis, Source};
use super::shelves::shelves;
use super::tree::{Node, Slice};
use crate::dice::Dice;

/// The seed of the search: the same order gives the same plan.
const SEED: u64 = 0x6375_745f_7061_6473;

/// How many steps ago a plan is not to have been better: a longer memory roams further.
const MEMORY: usize = 60;

/// Sheets that are looked at for a piece when a first plan is made, the newest ones.
const OPEN_SHEETS: usize = 40;

/// Places that one step clears, at most.
const MOST_CLEARED: usize = 5;

/// One place in so many is passed over, so that a step does not repeat the last one.
const BLINK: usize = 20;

/// What a step costs beside the places that it looks at.
const STEP_EFFORT: u64 = 50;

/// Pairs of rectangles that are looked at instead of one place; a pair takes about a twelfth of its time.
const PAIRS_PER_PLACE: u64 = 8;

/// One piece in so many is first cut free the less promising way.
const ODD: usize = 4;

/// What is left waiting counts so many times its area beside a remnant: a plan has to be whole first.
const WAITING_WEIGHT: u64 = 4;

/// One stock that is being cut.
#[derive(Clone, Debug)]
struct Stock {
    source: Source,
    size: Size,
    node: Node,
    free: u64,
}

/// A plan on its way.
#[derive(Clone, Debug)]
struct State {
    stocks: Vec<Rc<Stock>>,
    /// The kinds of pieces that have no place.
    waiting: Vec<usize>,
}

/// Where a piece goes.
struct Place {
    /// What stays free beside it, the less the better: the narrower way, then the other.
    fit: (u32, u32),
    stock: usize,
    /// Which of the stock's free rectangles, in order.
    leaf: usize,
    turned: bool,
    size: Size,
    first: Axis,
}

struct Search<'a> {
    order: &'a Order,
    dice: Dice,
    effort: u64,
}

/// Plans a grown order of distinct kinds, until it meets the bound or has looked at `effort` places for
/// each goal, the first plan being one of them.
pub(super) fn search(order: &Order, least_sheets: usize, effort: u64) -> Solution {
    let mut search = Search {
        order,
        dice: Dice::of(SEED, 0),
        effort,
    };
    let mut best = search.first(effort);
    search.with_fewer_sheets(&mut best, least_sheets, effort);
    for offcuts in 1..=order.offcuts.len() {
        let mut more = best.clone();
        more.stocks
            .retain(|stock| stock.source == Source::Sheet || !stock.is_empty());
        for at in 0..offcuts {
            let is_there = more
                .stocks
                .iter()
                .any(|stock| stock.source == Source::Offcut(at));
            if !is_there {
                more.stocks
                    .push(Rc::new(Stock::new(order, Source::Offcut(at))));
            }
        }
        search.with_fewer_sheets(&mut more, least_sheets, effort);
        if more.sheets() < best.sheets() {
            best = more;
        }
    }
    best.stocks.retain(|stock| !stock.is_empty());
    best = search.with_larger_remnant(best, effort);
    let sheets_are_proven = best.sheets() == least_sheets;
    let node = |stock: Rc<Stock>| (stock.source, Rc::unwrap_or_clone(stock).node);
    Solution {
        stocks: best.stocks.into_iter().map(node).collect(),
        sheets_are_proven,
        remnant_is_proven: false,
        cuts_are_proven: false,
    }
}

impl Stock {
    fn new(order: &Order, source: Source) -> Self {
        let size = order.stock(source);
        Self {
            source,
            size,
            node: Node::Free,
            free: size.area(),
        }
    }

    fn is_empty(&self) -> bool {
        matches!(self.node, Node::Free)
    }
}

impl State {
    fn of(order: &Order, sheets: Vec<Node>) -> Self {
        let stock = |node: Node| {
            let filled = filled(order, &node);
            let stock = Stock::new(order, Source::Sheet);
            Rc::new(Stock {
                node,
                free: stock.free - filled,
                ..stock
            })
        };
        Self {
            stocks: sheets.into_iter().map(stock).collect(),
            waiting: Vec::new(),
        }
    }

    fn sheets(&self) -> usize {
        let stocks = self.stocks.iter();
        stocks.filter(|stock| stock.source == Source::Sheet).count()
    }

    /// Returns the whole plan without its emptiest sheet.
    fn without_a_sheet(&self, order: &Order) -> Option<Self> {
        let sheets = self.stocks.iter().enumerate();
        let sheets = sheets.filter(|(_, stock)| stock.source == Source::Sheet);
        let (emptiest, _) = sheets.max_by_key(|(_, stock)| stock.free)?;
        let mut less = self.clone();
        let stock = less.stocks.remove(emptiest);
        less.wait(order, &stock.node);
        Some(less)
    }

    /// Puts the pieces of a node back among those that wait.
    fn wait(&mut self, order: &Order, node: &Node) -> u64 {
        let mut counts = vec![0; order.pieces.len()];
        node.count(&mut counts);
        let mut area = 0;
        for (kind, count) in counts.into_iter().enumerate() {
            area += u64::from(count) * order.pieces[kind].size.area();
            self.waiting
                .extend(std::iter::repeat_n(kind, count as usize));
        }
        area
    }

    fn waiting_area(&self, order: &Order) -> u64 {
        let waiting = self.waiting.iter();
        waiting.map(|&kind| order.pieces[kind].size.area()).sum()
    }

    fn largest_free(&self, kerf: u32) -> u64 {
        let stocks = self.stocks.iter();
        stocks
            .map(|stock| stock.node.largest_free(stock.size, kerf))
            .max()
            .unwrap_or(0)
    }
}

/// Returns the area of a node's pieces.
fn filled(order: &Order, node: &Node) -> u64 {
    let mut counts = vec![0; order.pieces.len()];
    node.count(&mut counts);
    let areas = order.pieces.iter().map(|piece| piece.size.area());
    let each = areas.zip(counts);
    each.map(|(area, count)| area * u64::from(count)).sum()
}

impl Search<'_> {
    /// Returns the best of plans made sheet by sheet, piece by piece and in rows.
    fn first(&mut self, effort: u64) -> State {
        let in_rows = State::of(self.order, shelves(self.order));
        let in_turn = in_turn(self.order, effort * PAIRS_PER_PLACE);
        let in_turn = in_turn.map(|sheets| State::of(self.order, sheets));
        let by_area = self.one_by_one(Size::area);
        let by_side = self.one_by_one(|size| u64::from(size.width.max(size.height)));
        let by_height = self.one_by_one(|size| u64::from(size.height));
        let plans = [by_area, by_side, by_height, in_rows];
        let best = in_turn.into_iter().chain(plans).min_by_key(State::sheets);
        best.expect("invariant: there are some")
    }

    fn one_by_one(&mut self, key: impl Fn(Size) -> u64) -> State {
        let kinds = self.order.pieces.iter().enumerate();
        let mut pieces: Vec<usize> = kinds
            .flat_map(|(kind, piece)| std::iter::repeat_n(kind, piece.count as usize))
            .collect();
        pieces.sort_by_key(|&kind| Reverse(key(self.order.pieces[kind].size)));
        let mut state = State {
            stocks: Vec::new(),
            waiting: Vec::new(),
        };
        for kind in pieces {
            let oldest = state.stocks.len().saturating_sub(OPEN_SHEETS);
            if !self.place(&mut state, oldest, kind, false) {
                state
                    .stocks
                    .push(Rc::new(Stock::new(self.order, Source::Sheet)));
                let newest = state.stocks.len() - 1;
                let placed = self.place(&mut state, newest, kind, false);
                debug_assert!(placed, "the order was checked");
            }
        }
        state
    }

    /// Takes away sheet after sheet, as long as everything still finds a place.
    fn with_fewer_sheets(&mut self, best: &mut State, least: usize, effort: u64) {
        self.effort = effort;
        while best.sheets() > least && self.effort > 0 {
            let Some(less) = best.without_a_sheet(self.order) else {
                return;
            };
            let waiting = |state: &State| state.waiting_area(self.order).cast_signed();
            let done = Self {
                effort: self.effort,
                ..*self
            }
            .improved(less, waiting, 0);
            self.effort = done.1;
            if !done.0.waiting.is_empty() {
                return;
            }
            *best = done.0;
        }
    }

    fn with_larger_remnant(&mut self, whole: State, effort: u64) -> State {
        let (order, kerf) = (self.order, self.order.kerf);
        let cost = |state: &State| {
            let waiting = WAITING_WEIGHT * state.waiting_area(order);
            waiting.cast_signed() - state.largest_free(kerf).cast_signed()
        };
        self.effort = effort;
        let (larger, _) = Self { ..*self }.improved(whole.clone(), cost, i64::MIN);
        if larger.waiting.is_empty() && cost(&larger) < cost(&whole) {
            larger
        } else {
            whole
        }
    }

    /// Returns the best state that steps from one lead to, and the effort that is left.
    ///
    /// A step is taken if it is no worse than where the search stood [`MEMORY`] steps ago.
    fn improved(mut self, from: State, cost: impl Fn(&State) -> i64, goal: i64) -> (State, u64) {
        let pieces = self.order.count();
        let mut now = from;
        let mut now_cost = cost(&now);
        let mut memory = [now_cost; MEMORY];
        let (mut best, mut best_cost) = (now.clone(), now_cost);
        for step in (0..MEMORY).cycle() {
            if best_cost <= goal || self.effort == 0 {
                break;
            }
            // Copying and weighing a state goes once over everything in it.
            self.effort = self.effort.saturating_sub(pieces + STEP_EFFORT);
            let mut next = now.clone();
            self.clear(&mut next);
            self.fill(&mut next);
            let next_cost = cost(&next);
            if next_cost <= now_cost || next_cost <= memory[step] {
                (now, now_cost) = (next, next_cost);
            }
            if now_cost < best_cost {
                (best, best_cost) = (now.clone(), now_cost);
            }
            memory[step] = now_cost;
        }
        (best, self.effort)
    }

    /// Clears a few places, each with all that is cut from it.
    fn clear(&mut self, state: &mut State) {
        if state.stocks.is_empty() {
            return;
        }
        for _ in 0..=self.dice.below(MOST_CLEARED) {
            let at = self.dice.below(state.stocks.len());
            let nodes = state.stocks[at].node.nodes();
            if nodes == 0 {
                continue;
            }
            let mut which = self.dice.below(nodes);
            let stock = Rc::make_mut(&mut state.stocks[at]);
            let mut cleared = Node::Free;
            stock.node.clear(&mut which, &mut cleared);
            let area = state.wait(self.order, &cleared);
            Rc::make_mut(&mut state.stocks[at]).free += area;
        }
    }

    /// Gives those that wait a place, the larger ones rather first.
    fn fill(&mut self, state: &mut State) {
        let waiting = std::mem::take(&mut state.waiting);
        let mut waiting: Vec<(u64, usize)> = waiting
            .into_iter()
            .map(|kind| {
                let luck = 8 + self.dice.below(8) as u64;
                (luck * self.order.pieces[kind].size.area(), kind)
            })
            .collect();
        waiting.sort_unstable_by_key(|&pair| Reverse(pair));
        for (_, kind) in waiting {
            if !self.place(state, 0, kind, true) {
                state.waiting.push(kind);
            }
        }
    }

    /// Gives a piece the place that it fills best, if it has any.
    fn place(&mut self, state: &mut State, oldest: usize, kind: usize, blinks: bool) -> bool {
        let size = self.order.pieces[kind].size;
        let mut best: Option<Place> = None;
        for at in oldest..state.stocks.len() {
            self.effort = self.effort.saturating_sub(1);
            let stock = &state.stocks[at];
            if stock.free < size.area() {
                continue;
            }
            let mut leaf = 0;
            let mut look = |own: Size| {
                self.effort = self.effort.saturating_sub(1);
                let ways = self.order.ways(size);
                let ways = ways.filter(|(_, way)| own.holds(*way));
                let seen = ways.filter(|_| !blinks || self.dice.below(BLINK) > 0);
                let places = seen.map(|(turned, way)| Place::of((at, leaf), turned, way, own));
                best = best
                    .take()
                    .into_iter()
                    .chain(places)
                    .min_by_key(|one| one.fit);
                leaf += 1;
            };
            stock.node.each_free(stock.size, &mut look);
        }
        let Some(mut place) = best else {
            return false;
        };
        if blinks && self.dice.below(ODD) == 0 {
            place.first = place.first.across();
        }
        let stock = Rc::make_mut(&mut state.stocks[place.stock]);
        let mut leaf = place.leaf;
        stock.node.put(stock.size, &mut leaf, kind, &place);
        stock.free -= size.area();
        true
    }
}

impl Place {
    /// Returns the place of a piece that lies one way in a free rectangle; it is first cut free so that the
    /// larger strip beside it stays whole.
    fn of((stock, leaf): (usize, usize), turned: bool, size: Size, own: Size) -> Self {
        let (beside, above) = (own.width - size.width, own.height - size.height);
        let wide = u64::from(beside) * u64::from(own.height);
        let high = u64::from(above) * u64::from(own.width);
        Self {
            fit: (beside.min(above), beside.max(above)),
            stock,
            leaf,
            turned,
            size,
            first: if wide >= high { Axis::X } else { Axis::Y },
        }
    }
}

impl Node {
    /// Visits every free rectangle, in order.
    fn each_free(&self, own: Size, look: &mut impl FnMut(Size)) {
        match self {
            Self::Free => look(own),
            Self::Piece { .. } => {}
            Self::Slices(axis, slices) => {
                for one in slices {
                    one.node.each_free(own.with(*axis, one.length), look);
                }
            }
        }
    }

    /// Puts a piece into the free rectangle of a number; tells whether that was here.
    fn put(&mut self, own: Size, leaf: &mut usize, piece: usize, place: &Place) -> bool {
        match self {
            Self::Piece { .. } => false,
            Self::Free if *leaf == 0 => {
                let turned = place.turned;
                *self = Self::Piece { piece, turned }.cut_free(place.size, own, place.first);
                true
            }
            Self::Free => {
                *leaf -= 1;
                false
            }
            Self::Slices(axis, slices) => {
                let axis = *axis;
                let mut put = |one: &mut Slice| {
                    let own = own.with(axis, one.length);
                    one.node.put(own, leaf, piece, place)
                };
                let done = slices.iter_mut().any(&mut put);
                if done {
                    self.simplify();
                }
                done
            }
        }
    }

    /// Counts what can be cleared: pieces, and rectangles that are cut up.
    fn nodes(&self) -> usize {
        match self {
            Self::Free => 0,
            Self::Piece { .. } => 1,
            Self::Slices(_, slices) => 1 + slices.iter().map(|one| one.node.nodes()).sum::<usize>(),
        }
    }

    /// Takes out the node of a number; tells whether it was here.
    fn clear(&mut self, which: &mut usize, cleared: &mut Self) -> bool {
        if matches!(self, Self::Free) {
            return false;
        }
        if *which == 0 {
            *cleared = std::mem::replace(self, Self::Free);
            return true;
        }
        *which -= 1;
        let Self::Slices(_, slices) = self else {
            return false;
        };
        let done = slices.iter_mut().any(|one| one.node.clear(which, cleared));
        if done {
            self.simplify();
        }
        done
    }

    /// Brings slices into their simplest form again, after one of them has changed.
    fn simplify(&mut self) {
        if let Self::Slices(axis, slices) = std::mem::replace(self, Self::Free) {
            let slices = slices.into_iter().map(|one| (one.length, one.node));
            *self = Self::slices(axis, slices);
        }
    }
}

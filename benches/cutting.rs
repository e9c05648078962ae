//! How long cutting plans take, and how near they come to the lower bound.
//!
//! `cargo bench --bench cutting`; `-- FILE` takes instances of your own instead, one a line: name, best
//! known number of sheets, whether pieces may turn (0 or 1), sheet width and height, then width, height
//! and count of each piece.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

use std::path::Path;
use std::time::Instant;

use gapbook::book::Book;
use gapbook::cutting::{CutFacts, Effort, Order, Piece, Plan, Size, check, plan};
use gapbook::progress::Silent;
use gapbook::stack::{Fit, Trial};

/// Orders of 200 pieces of 20 sizes that are planned, each from another seed.
const LARGE_ORDERS: u64 = 10;

fn main() {
    let file = std::env::args().skip(1).find(|one| one != "--bench");
    if let Some(file) = file {
        return published(&std::fs::read_to_string(file).expect("a file of instances"));
    }
    let sheet = Size::new(10_000, 10_000);
    println!(
        "{:>10} {:>9} {:>7} {:>7}  used but for the largest remnant",
        "order", "ms", "sheets", "bound"
    );
    let book = Path::new(env!("CARGO_MANIFEST_DIR")).join("boards");
    let book = Book::load(&book, &Silent).expect("the demo book");
    let board = book.board("osk-tern-240").expect("a graphics board");
    let fits = [Fit::of(&book, board, &Trial::default())];
    for (name, effort) in [("guide", Effort::BRIEF), ("command", Effort::THOROUGH)] {
        let (whole, milliseconds) = clocked(|| CutFacts::of(&fits, &book.cutting, &[], effort));
        let sheets: usize = whole.stocks.iter().filter_map(|stock| stock.sheets).sum();
        let stocks = whole.stocks.len();
        println!(
            "{name:>10} {milliseconds:>9.2} {sheets:>7} {stocks:>7}  (sheets of so many stocks)"
        );
    }
    for seed in 1..=LARGE_ORDERS {
        let pieces = large(seed);
        report(
            &format!("200 no {seed}"),
            &order(sheet, &pieces, true),
            Effort::THOROUGH,
        );
    }
}

fn order(sheet: Size, pieces: &[[u32; 3]], may_turn: bool) -> Order {
    let piece = |&[width, height, count]: &[u32; 3]| Piece {
        size: Size::new(width, height),
        count,
    };
    Order {
        sheet,
        offcuts: Vec::new(),
        pieces: pieces.iter().map(piece).collect(),
        may_turn,
        kerf: 0,
    }
}

/// Returns 200 pieces of 20 sizes, 5 to 45 mm a side, in half millimetres.
fn large(seed: u64) -> Vec<[u32; 3]> {
    let mut state = seed;
    let mut next = |least: u32, most: u32| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        least + u32::try_from(state >> 33).expect("31 bits") % (most - least + 1)
    };
    (0..20)
        .map(|_| [50 * next(10, 90), 50 * next(10, 90), 10])
        .collect()
}

#[expect(clippy::disallowed_methods, reason = "a benchmark measures time")]
fn clocked<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let done = work();
    (done, start.elapsed().as_secs_f64() * 1e3)
}

fn timed(order: &Order, effort: Effort) -> (Plan, f64) {
    let (plan, milliseconds) = clocked(|| plan(order, effort).expect("it can be planned"));
    assert_eq!(check(order, &plan), Ok(()), "a plan passes its proof");
    (plan, milliseconds)
}

fn report(name: &str, order: &Order, effort: Effort) {
    let (plan, milliseconds) = timed(order, effort);
    let (sheets, bound) = (plan.sheets(), plan.least_sheets);
    let wanted: f64 = order
        .pieces
        .iter()
        .map(|piece| area(piece.size) * f64::from(piece.count))
        .sum();
    let spent: f64 = plan.layouts.iter().map(|_| area(order.sheet)).sum();
    let kept = plan
        .layouts
        .iter()
        .filter_map(|layout| layout.remnants.first());
    let kept = kept.map(|patch| area(patch.size)).fold(0.0, f64::max);
    let more = 100.0 * ((spent - kept) / wanted - 1.0);
    println!(
        "{name:>10} {milliseconds:>9.2} {sheets:>7} {bound:>7}  {more:.1} % over the pieces' area"
    );
}

fn area(size: Size) -> f64 {
    f64::from(size.width) * f64::from(size.height)
}

/// Says how many instances reach their best known value, by their first two words.
fn published(text: &str) {
    let mut groups: Vec<(String, [usize; 6], f64)> = Vec::new();
    for line in text.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        let number = |at: usize| words[at].parse::<u32>().expect("a number");
        let pieces = (5..words.len()).step_by(3);
        let pieces: Vec<[u32; 3]> = pieces
            .map(|at| [number(at), number(at + 1), number(at + 2)])
            .collect();
        let sheet = Size::new(number(3), number(4));
        let order = order(sheet, &pieces, number(2) == 1);
        let (plan, milliseconds) = timed(&order, Effort::THOROUGH);
        let best = number(1) as usize;
        let turns = if order.may_turn {
            "turned"
        } else {
            "as they lie"
        };
        let group = words[0]
            .rsplit_once('_')
            .map_or(words[0], |(group, _)| group);
        let group = format!("{group} {turns}");
        let at = groups.iter().position(|(name, ..)| *name == group);
        let at = at.unwrap_or_else(|| {
            groups.push((group, [0; 6], 0.0));
            groups.len() - 1
        });
        let (_, counts, slowest) = &mut groups[at];
        counts[0] += 1;
        counts[1] += usize::from(plan.sheets() <= best);
        counts[2] += usize::from(plan.sheets_are_proven());
        counts[3] += plan.sheets();
        counts[4] += best;
        counts[5] += plan.least_sheets;
        *slowest = slowest.max(milliseconds);
    }
    println!(
        "{:<22} {:>4} {:>8} {:>7} {:>7} {:>6} {:>6} {:>8}",
        "group", "of", "at best", "proven", "sheets", "best", "bound", "slowest"
    );
    for (name, [of, at_best, proven, sheets, best, bound], slowest) in groups {
        println!(
            "{name:<22} {of:>4} {at_best:>8} {proven:>7} {sheets:>7} {best:>6} {bound:>6} {slowest:>5.0} ms"
        );
    }
}

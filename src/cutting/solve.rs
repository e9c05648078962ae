//! From an order to its plan: like pieces put together, solved, bounded, proved.

use super::bound::{least_cuts, least_sheets};
use super::check::check;
use super::exact::exact;
use super::order::{Order, Piece, Refusal, Size};
use super::plan::{Layout, Plan, Source};
use super::search::search;

/// How much is done for a plan before the best that was found is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Pairs of bags up to which an order is planned exactly.
    pub exact: u64,
    /// Pairs of bags up to which such a plan's cuts are the fewest, too; each takes far longer.
    pub cuts: u64,
    /// Places that are looked at for each goal of a search: to fill sheets in turn, to do with fewer, to
    /// leave a larger remnant.
    pub search: u64,
}

impl Effort {
    /// A person waits for one plan: a second or two at most.
    pub const THOROUGH: Self = Self {
        exact: 1_000_000,
        cuts: 4_000,
        search: 20_000_000,
    };

    /// A guide has many plans: a few milliseconds each.
    pub const BRIEF: Self = Self {
        exact: 20_000,
        cuts: 800,
        search: 100_000,
    };
}

/// Pieces of an order that are alike: of one size, or of one size when turned.
struct Kind {
    size: Size,
    /// Which of the order's pieces, how many are still to be named, and whether they are this size when
    /// turned.
    members: Vec<(usize, u32, bool)>,
}

/// Plans how to cut an order: fewest new sheets, then fewest offcuts, then the largest single remnant,
/// then few cuts.
///
/// Exact where the pairs of bags of its pieces are no more than
/// [`Effort::exact`], as a board's order usually keeps to; a search beyond that. The plan says which
/// of it is proven, and [`check`] has passed it.
///
/// # Errors
/// [`Refusal`] where the order asks for what no sheet gives, or for more than is planned at once.
pub fn plan(order: &Order, effort: Effort) -> Result<Plan, Refusal> {
    order.check()?;
    let mut kinds = kinds(order);
    let alike = Order {
        pieces: kinds.iter().map(Kind::piece).collect(),
        ..order.clone()
    };
    let grown = alike.grown();
    let plan = if kinds.is_empty() {
        Plan {
            layouts: Vec::new(),
            least_sheets: 0,
            remnant_is_proven: true,
            least_cuts: 0,
        }
    } else {
        solved(order, &grown, effort, &mut kinds)
    };
    check(order, &plan).expect("invariant: a plan passes its proof");
    Ok(plan)
}

fn solved(order: &Order, grown: &Order, effort: Effort, kinds: &mut [Kind]) -> Plan {
    let least = least_sheets(grown);
    let solution = exact(grown, effort);
    let mut solution = solution.unwrap_or_else(|| search(grown, least, effort.search));
    solution.stocks.sort_by_key(|&(source, _)| source);
    let layouts = solution.stocks.iter().map(|(source, node)| {
        let mut layout = node.layout(*source, order.stock(*source), order.kerf);
        name(&mut layout, kinds);
        layout
    });
    let layouts: Vec<Layout> = layouts.collect();
    let sheets = layouts
        .iter()
        .filter(|one| one.source == Source::Sheet)
        .count();
    let cuts = layouts.iter().map(|one| one.cuts.len()).sum();
    let stock: Vec<Size> = layouts.iter().map(|one| grown.stock(one.source)).collect();
    Plan {
        least_cuts: if solution.cuts_are_proven {
            cuts
        } else {
            least_cuts(grown, &stock)
        },
        least_sheets: if solution.sheets_are_proven {
            sheets
        } else {
            least
        },
        remnant_is_proven: solution.remnant_is_proven,
        layouts,
    }
}

impl Kind {
    fn piece(&self) -> Piece {
        Piece {
            size: self.size,
            count: self.members.iter().map(|&(_, count, _)| count).sum(),
        }
    }
}

/// Puts an order's pieces together that are alike.
fn kinds(order: &Order) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    let wanted = order.pieces.iter().enumerate();
    for (index, piece) in wanted.filter(|(_, piece)| piece.count > 0) {
        let turns = order.may_turn && piece.size.width < piece.size.height;
        let size = if turns {
            piece.size.turned()
        } else {
            piece.size
        };
        let member = (index, piece.count, turns);
        match kinds.iter_mut().find(|kind| kind.size == size) {
            Some(kind) => kind.members.push(member),
            None => kinds.push(Kind {
                size,
                members: vec![member],
            }),
        }
    }
    kinds
}

/// Says of each placed piece which of the order's it is, in their order.
fn name(layout: &mut Layout, kinds: &mut [Kind]) {
    for placed in &mut layout.pieces {
        let members = &mut kinds[placed.piece].members;
        let member = members.iter_mut().find(|(_, count, _)| *count > 0);
        let (index, count, turns) = member.expect("invariant: as many as wanted");
        *count -= 1;
        placed.piece = *index;
        placed.turned ^= *turns;
    }
}

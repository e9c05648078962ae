use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::order::{self, Move};
use crate::record::{NoteKind, Phase, Seat};
use crate::source::keys;

declare_rule! {
    /// Looks for bodies of 250 g and more that nothing holds any more when the last of their screws is out,
    /// on the side of the board that is down. Paste holds a cooler that is seated on a die.
    ///
    /// ## Why
    ///
    /// Screws are driven from above. A heavy body beneath drops as the board is taken up, and takes its
    /// cable's socket or a row of small parts with it. Whoever opened the board once knows; the next one needs
    /// to be told.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    /// mass_g = 400.0
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    /// mass_g = 400.0
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    ///
    /// [[note]]
    /// on = "cover"
    /// when = "open"
    /// kind = "caution"
    /// text = "It is heavy and drops with the last screw: keep the board flat on the bench."
    /// ```
    ///
    /// ## What to do
    ///
    /// Say in a caution on the body, for opening, how it is kept from falling.
    "falling-body", Completeness, Warning,
    "a heavy body drops with its last screw",
    Board(check)
}

/// The least mass that does harm when it drops from a hand's breadth, g: common practice.
const LEAST_G: f64 = 250.0;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let opening = order::opening(board);
    for step in &opening.steps {
        let Move::TakeOut(groups) = &step.one else {
            continue;
        };
        for body in order::loose_beneath(board, step, &opening) {
            let mass_g = mass_g(board, body);
            if mass_g < LEAST_G || is_kept(board, body) {
                continue;
            }
            let id = &board.record.body[body].id;
            let screws = &board.record.fasteners[groups[0]].id;
            let message = format!(
                "`{id}`, {mass_g} g, is beneath the board and drops when `{screws}` are out"
            );
            report
                .find(board.at(keys!["body", body, "mass_g"]), message)
                .also(
                    board.at(keys!["fasteners", groups[0], "from"]),
                    "the last that hold it",
                )
                .help("say in a caution on it, for opening, how it is kept from falling");
        }
    }
}

/// Returns the mass of a body with its pieces, as far as it is known, g.
fn mass_g(board: &Board, body: usize) -> f64 {
    let pieces = board.pieces(body);
    let masses = pieces
        .iter()
        .filter_map(|&piece| board.record.body[piece].mass_g);
    masses.sum()
}

/// Tells whether paste holds a body, or a note says how it is kept.
fn is_kept(board: &Board, body: usize) -> bool {
    let body = &board.record.body[body];
    let is_pasted = body.seats_on(Seat::Die).is_some();
    let is_told = board.record.note.iter().any(|note| {
        let is_grave = matches!(note.kind, NoteKind::Warning | NoteKind::Caution);
        note.on == body.id && note.when == Phase::Open && is_grave
    });
    is_pasted || is_told
}

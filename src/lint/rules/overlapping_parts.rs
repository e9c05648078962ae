use crate::book::{Board, Book, share_a_revision};
use crate::lint::Report;
use crate::lint::phrase::and_more;
use crate::lint::rule::declare_rule;
use crate::source::keys;
use crate::units::Clash;

declare_rule! {
    /// Looks for two parts on one side that share more than 0.1 mm in both directions. Parts that are
    /// never on one board together, because no revision has both, may.
    ///
    /// ## Why
    ///
    /// Two components cannot stand on one spot, so at least one of the places is wrong, and a pad would be
    /// cut for it all the same.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[part]]
    /// id = "stages"
    /// kind = "power-stage"
    /// side = "front"
    /// at = [[20.0, 20.0, 6.0, 5.0], [20.0, 30.0, 6.0, 5.0]]
    ///
    /// [[part]]
    /// id = "coils"
    /// kind = "inductor"
    /// side = "front"
    /// at = [[24.0, 18.0, 9.0, 8.0], [28.0, 28.0, 9.0, 8.0]]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[part]]
    /// id = "stages"
    /// kind = "power-stage"
    /// side = "front"
    /// at = [[20.0, 20.0, 6.0, 5.0], [20.0, 30.0, 6.0, 5.0]]
    ///
    /// [[part]]
    /// id = "coils"
    /// kind = "inductor"
    /// side = "front"
    /// at = [[28.0, 18.0, 9.0, 8.0], [28.0, 28.0, 9.0, 8.0]]
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure both places again: x and y are a place's lower-left corner, not its centre. If each part
    /// belongs to another revision, say so with `only`.
    "overlapping-parts", Geometry, Error,
    "two parts stand on one spot",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for later in 0..board.record.part.len() {
        let first = (0..=later).find_map(|earlier| Some((earlier, clash(board, earlier, later)?)));
        let Some((earlier, clash)) = first else {
            continue;
        };
        let [one, other] = [later, earlier].map(|part| &board.record.part[part].id);
        let shared = format!("{:.1} x {:.1} mm", clash.shared.width, clash.shared.height);
        let more = and_more(clash.count);
        let message = if earlier == later {
            format!("two places of `{one}` share {shared}{more}")
        } else {
            format!("`{one}` and `{other}` share {shared}{more}")
        };
        let (theirs, own) = clash.first;
        report
            .find(board.at(keys!["part", later, "at", own]), message)
            .also(
                board.at(keys!["part", earlier, "at", theirs]),
                format!("`{other}` stands here"),
            )
            .help("measure both again; x and y are a place's lower-left corner");
    }
}

/// Returns where two parts, or the places of one, overlap.
fn clash(board: &Board, earlier: usize, later: usize) -> Option<Clash> {
    let [one, other] = [earlier, later].map(|part| &board.record.part[part]);
    if earlier == later {
        Clash::within(&one.at)
    } else if one.side == other.side && share_a_revision(&one.only, &other.only) {
        Clash::between(&one.at, &other.at)
    } else {
        None
    }
}

use std::collections::BTreeMap;

use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for one marking on two boards, whatever its spaces and capitals.
    ///
    /// ## Why
    ///
    /// The marking is how a technician finds the guide of the board on the bench. If two boards claim
    /// it, half of those who look it up follow the wrong one.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// # file: osk/demo/board.toml
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// markings = ["DM-100 R1"]
    /// # file: osk/twin/board.toml
    /// schema = 1
    /// [board]
    /// id = "osk-twin"
    /// maker = "Osk"
    /// model = "Twin"
    /// class = "other"
    /// markings = ["dm-100 r1"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// # file: osk/demo/board.toml
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// markings = ["DM-100 R1"]
    /// # file: osk/twin/board.toml
    /// schema = 1
    /// [board]
    /// id = "osk-twin"
    /// maker = "Osk"
    /// model = "Twin"
    /// class = "other"
    /// markings = ["DM-200 R1"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Look at both boards. If they are one, keep one record; if one marking was copied, correct it. If
    /// the makers do share it, accept this finding and say how else the boards differ.
    "shared-marking", Identity, Warning,
    "one marking on two boards",
    Book(check)
}

fn check(book: &Book, report: &mut Report<'_>) {
    let mut first: BTreeMap<String, (&Board, usize)> = BTreeMap::new();
    for board in &book.boards {
        for (index, marking) in board.record.board.markings.iter().enumerate() {
            let &mut (other, at) = first.entry(bare(marking)).or_insert((board, index));
            if other.file == board.file {
                continue;
            }
            let message = format!("`{marking}` is printed on `{}` too", other.id());
            report
                .find(board.at(keys!["board", "markings", index]), message)
                .also(other.at(keys!["board", "markings", at]), "the other board")
                .help("look at both boards: are they one, or was the marking copied?");
        }
    }
}

/// Returns a marking as it is compared: without spaces and capitals.
fn bare(marking: &str) -> String {
    let shown = marking.chars().filter(|letter| !letter.is_whitespace());
    shown.flat_map(char::to_lowercase).collect()
}

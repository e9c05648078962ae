use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::order::driver;
use crate::record::FastenerKind;
use crate::source::keys;

declare_rule! {
    /// Looks for drives that no bit is made for, and for sizes that are not those of the thread's usual head:
    /// PH1 and T10 for an M3, and so on. An M2 has PH0 or PH1, the larger that seats fully.
    ///
    /// ## Why
    ///
    /// A bit that is too small turns in the recess and strips it. Then the head is drilled, over an open board.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// thread = "M3"
    /// drive = "PH0"
    /// from = "front"
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
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// thread = "M3"
    /// drive = "PH1"
    /// from = "front"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Try the larger bit: the one that fills the recess and does not rock is the right one. If the head really
    /// takes the other, as some low ones do, accept it with that reason.
    "unfitting-bit", Consistency, Warning,
    "a bit does not exist, or does not fit the screw",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, group) in board.record.fasteners.iter().enumerate() {
        let Some(drive) = group
            .drive
            .as_deref()
            .filter(|_| group.kind == FastenerKind::Screw)
        else {
            continue;
        };
        let place = board.at(keys!["fasteners", index, "drive"]);
        if !driver::exists(drive) {
            let message = format!("there is no bit `{drive}` for `{}`", group.id);
            report
                .find(place, message)
                .help("look at the bit that fitted");
            continue;
        }
        let thread = group.thread.as_deref().unwrap_or_default();
        let usual = driver::usual(thread, drive);
        if usual.is_empty() || usual.iter().any(|bit| bit == drive) {
            continue;
        }
        let message = format!(
            "`{}` are {thread} with a {drive}; the head of an {thread} takes {}",
            group.id,
            usual.join(" or ")
        );
        report
            .find(place, message)
            .help("use the larger bit that seats fully, and write down that one");
    }
}

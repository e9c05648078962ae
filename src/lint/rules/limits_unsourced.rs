use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for limits of which nobody says where they are from.
    ///
    /// ## Why
    ///
    /// A board is opened or left alone by its limits. One that is guessed too low opens healthy boards,
    /// one too high lets them burn; and who does not know its source cannot tell.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// heat_w = 100.0
    /// [limits]
    /// die_c = 90.0
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// heat_w = 100.0
    /// [limits]
    /// die_c = 90.0
    /// source = "maker's sheet"
    /// ```
    ///
    /// ## What to do
    ///
    /// Name the sheet, the firmware or the bench that the limits are from, in `source`.
    "limits-unsourced", Completeness, Warning,
    "limits without a source",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let Some(limits) = &board.record.limits else {
        return;
    };
    let given = [
        ("die_c", limits.die_c),
        ("hotspot_c", limits.hotspot_c),
        ("memory_c", limits.memory_c),
    ];
    let has_source = limits
        .source
        .as_ref()
        .is_some_and(|source| !source.trim().is_empty());
    let given: Vec<&str> = given
        .iter()
        .filter(|(_, limit)| limit.is_some())
        .map(|(key, _)| *key)
        .collect();
    if has_source || given.is_empty() {
        return;
    }
    report
        .find(
            board.at(keys!["limits"]),
            format!("nobody says where `{}` is from", given.join("`, `")),
        )
        .help("name the sheet, the firmware or the bench in `source`");
}

use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::lint::waiting::{self, Knot};
use crate::order::graph::swung_by;
use crate::source::keys;

declare_rule! {
    /// Looks for bodies whose cable cannot be unplugged before they are lifted: the plug lies under a cover
    /// that only comes off later, or the cable is so short that no finger gets between.
    ///
    /// ## Why
    ///
    /// A tied body is freed, opened like a book no further than its cable lets it, unplugged, and only then
    /// lifted. A plug that cannot be reached by then is torn off the board with its socket.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// over = ["lid"]
    ///
    /// [[body]]
    /// id = "lid"
    /// kind = "cover"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    ///
    /// [[fasteners]]
    /// id = "lid-screws"
    /// from = "front"
    /// at = [[20.0, 10.0], [80.0, 50.0]]
    /// holds = ["lid", "pcb"]
    ///
    /// [[connector]]
    /// id = "fan"
    /// kind = "fan"
    /// side = "front"
    /// at = [50.0, 30.0]
    /// ties = "cooler"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// over = ["lid"]
    ///
    /// [[body]]
    /// id = "lid"
    /// kind = "cover"
    /// side = "front"
    /// at = [[60.0, 5.0, 30.0, 50.0]]
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    ///
    /// [[fasteners]]
    /// id = "lid-screws"
    /// from = "front"
    /// at = [[65.0, 10.0], [80.0, 50.0]]
    /// holds = ["lid", "pcb"]
    /// under = ["cooler"]
    ///
    /// [[connector]]
    /// id = "fan"
    /// kind = "fan"
    /// side = "front"
    /// at = [50.0, 30.0]
    /// ties = "cooler"
    /// slack_mm = 40.0
    /// ```
    ///
    /// ## What to do
    ///
    /// Look where the plug is. A cover that does not reach over it says so with its outline, `at`. If the cable
    /// is reached from the board's edge, its slack is what it lets the body move there.
    "cable-never-reached", Consistency, Error,
    "a body's cable cannot be unplugged before it is lifted",
    Board(check)
}

/// The least slack with which a finger or a plastic tool gets to a plug, mm: common practice.
const LEAST_SLACK_MM: f64 = 10.0;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let help = "give the cover's outline in `at`, or correct what the cable `ties`";
    waiting::report(board, Knot::Cable, report, help);
    for (index, plug) in board.record.connector.iter().enumerate() {
        let Some(body) = swung_by(board, index) else {
            continue;
        };
        let body = &board.record.body[body];
        let is_beneath = body.at.iter().any(|at| at.distance_to(plug.at) <= 0.0);
        let Some(slack) = plug.slack_mm.filter(|slack| *slack < LEAST_SLACK_MM) else {
            continue;
        };
        if is_beneath {
            let message = format!(
                "`{}` lies under `{}`, which its cable lets open by {slack} mm; a finger needs \
                 {LEAST_SLACK_MM} mm",
                plug.id, body.id
            );
            report
                .find(board.at(keys!["connector", index, "slack_mm"]), message)
                .help("measure the slack again, or say in a note how the plug is reached");
        }
    }
}

use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::ConnectorKind;
use crate::source::keys;

declare_rule! {
    /// Looks for fan, lighting, sensor and display connectors that do not say which body their cable leads
    /// to.
    ///
    /// ## Why
    ///
    /// Such a cable ties a body to the board after its last screw is out. Unless the guide knows which, it
    /// cannot warn before that body is lifted and the socket torn off.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[connector]]
    /// id = "fan"
    /// kind = "fan"
    /// side = "front"
    /// at = [90.0, 10.0]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    ///
    /// [[connector]]
    /// id = "fan"
    /// kind = "fan"
    /// side = "front"
    /// at = [90.0, 10.0]
    /// ties = "cooler"
    /// ```
    ///
    /// ## What to do
    ///
    /// Follow the cable and name the body in `ties`. If it leaves the board for the machine's case, accept
    /// the finding and say so.
    "cable-without-body", Completeness, Warning,
    "a cable leads nowhere",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, connector) in board.record.connector.iter().enumerate() {
        let ties = matches!(
            connector.kind,
            ConnectorKind::Fan
                | ConnectorKind::Lighting
                | ConnectorKind::Sensor
                | ConnectorKind::Display
        );
        if !ties || connector.ties.is_some() {
            continue;
        }
        let message = format!(
            "the {} connector `{}` does not say which body its cable leads to",
            connector.kind, connector.id,
        );
        report
            .find(board.at(keys!["connector", index, "id"]), message)
            .help("name the body in `ties`");
    }
}

use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for bodies far heavier than the heaviest coolers.
    ///
    /// ## Why
    ///
    /// A slipped decimal point makes a cooler of 870 g one of 8.7 kg. What falls when its screws are out is told
    /// by the mass, and who reads 8.7 kg beside a small board no longer believes the rest.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// mass_g = 8700.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "front"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// mass_g = 870.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "front"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Weigh it, in grams. If it is so heavy, as a casing may be that the board is screwed into, accept it with
    /// a reason.
    "body-too-heavy", Consistency, Warning,
    "a body far heavier than the heaviest coolers",
    Board(check)
}

/// What the heaviest coolers weigh that hang on a board's own screws, g. Common practice.
const HEAVIEST_G: f64 = 2500.0;

/// From where on a body is too heavy, g. Our own margin over [`HEAVIEST_G`]: one that is heavier by half may yet
/// be honest, and a decimal point that slipped makes of nearly any cooler more than this.
const TOO_HEAVY_G: f64 = 4000.0;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, body) in board.record.body.iter().enumerate() {
        let Some(mass_g) = body.mass_g.filter(|&mass_g| mass_g > TOO_HEAVY_G) else {
            continue;
        };
        let message = format!(
            "`{}` has {:.1} kg; the heaviest coolers have about {:.1} kg",
            body.id,
            mass_g / 1000.0,
            HEAVIEST_G / 1000.0
        );
        report
            .find(board.at(keys!["body", index, "mass_g"]), message)
            .help("look for the decimal point: the mass is in grams");
    }
}

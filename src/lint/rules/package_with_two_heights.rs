use std::collections::BTreeMap;

use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::{Place, keys};

declare_rule! {
    /// Looks for parts whose record gives both a package and a height, where the height differs from the
    /// book's package list, or from another part of the same record in the same package, by more than
    /// the tolerances and more than 0.2 mm.
    ///
    /// ## Why
    ///
    /// One package has one height. Either the package is another one, or the height was measured from
    /// something else than the bare board; and a gap worked out from it is off by as much.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// height_mm = 1.6
    /// tolerance_mm = 0.05
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// height_mm = 1.15
    /// tolerance_mm = 0.05
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure again from the bare board. If the height stands, name another package, or none.
    "package-with-two-heights", Consistency, Warning,
    "one package has two heights",
    Board(check)
}

/// The least difference that means another package, mm: the step between usual height classes.
const LEAST_DIFFERENCE_MM: f64 = 0.2;

/// A package's height as somebody gives it.
struct Given {
    height_mm: f64,
    tolerance_mm: f64,
    place: Option<Place>,
    by: String,
}

impl Given {
    fn differs_from(&self, other: &Self) -> bool {
        let difference = (self.height_mm - other.height_mm).abs();
        difference > self.tolerance_mm + other.tolerance_mm && difference > LEAST_DIFFERENCE_MM
    }
}

fn check(book: &Book, board: &Board, report: &mut Report<'_>) {
    let mut firsts: BTreeMap<&str, Given> = BTreeMap::new();
    for (index, part) in board.record.part.iter().enumerate() {
        let (Some(package), Some(height_mm)) = (part.package.as_deref(), part.height_mm) else {
            continue;
        };
        let given = Given {
            height_mm,
            tolerance_mm: part.tolerance_mm.unwrap_or(0.0),
            place: Some(board.at(keys!["part", index, "height_mm"])),
            by: format!("`{}`", part.id),
        };
        let listed = book.stock.package(package).map(|listed| Given {
            height_mm: listed.height_mm,
            tolerance_mm: listed.tolerance_mm,
            place: None,
            by: "the package list".into(),
        });
        let others = listed.iter().chain(firsts.get(package));
        if let Some(other) = others.into_iter().find(|other| given.differs_from(other)) {
            let message = format!(
                "`{package}` is {height_mm:.2} mm high on {} and {:.2} mm in {}",
                given.by, other.height_mm, other.by,
            );
            let place = board.at(keys!["part", index, "height_mm"]);
            let finding = report.find(place, message);
            finding.help("measure it again, or name another package");
            if let Some(place) = &other.place {
                finding.also(place.clone(), "the other height");
            }
        }
        firsts.entry(package).or_insert(given);
    }
}

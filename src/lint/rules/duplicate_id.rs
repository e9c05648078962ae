use std::collections::BTreeMap;

use crate::book::{Board, Book, Thing};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::{Place, Spot, keys};

declare_rule! {
    /// Looks for one id that names two things of a record, two boards, or two things of the stock. A
    /// zone may have the id of the part it lies on.
    ///
    /// ## Why
    ///
    /// Where two things share a name, notes, jobs and drawings cannot say which of them they mean.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[connector]]
    /// id = "power"
    /// kind = "power"
    /// side = "front"
    /// at = [90.0, 30.0]
    ///
    /// [[connector]]
    /// id = "power"
    /// kind = "power"
    /// side = "front"
    /// at = [90.0, 50.0]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[connector]]
    /// id = "power-lower"
    /// kind = "power"
    /// side = "front"
    /// at = [90.0, 30.0]
    ///
    /// [[connector]]
    /// id = "power-upper"
    /// kind = "power"
    /// side = "front"
    /// at = [90.0, 50.0]
    /// ```
    ///
    /// ## What to do
    ///
    /// Rename one of the two, and look at what refers to it. Two zones for two revisions are two zones.
    "duplicate-id", Identity, Error,
    "one id for two things",
    Book(check), Board(within)
}

fn check(book: &Book, report: &mut Report<'_>) {
    let mut ids = Ids::new("boards");
    for board in &book.boards {
        ids.add(board.id(), || board.at(keys!["board", "id"]), report);
    }
    let stock = &book.stock;
    let pads = stock.pads.iter().map(|pad| &*pad.id);
    in_stock(book, ("stock/pads.toml", "pad"), pads, report);
    let pastes = stock.pastes.iter().map(|paste| &*paste.id);
    in_stock(book, ("stock/pastes.toml", "paste"), pastes, report);
    let packages = stock.packages.iter().map(|package| &*package.id);
    in_stock(book, ("stock/packages.toml", "package"), packages, report);
}

/// Looks for two things of one record. Parts come before zones, so a zone's double is its part.
fn within(_: &Book, board: &Board, report: &mut Report<'_>) {
    let mut ids = Ids::new("things of this record");
    for (thing, id) in board.things() {
        let is_of_its_part = matches!(thing, Thing::Zone(zone) if is_part_of_zone(board, zone, id));
        if is_of_its_part {
            continue;
        }
        let place = || {
            let (table, index) = match thing {
                Thing::Body(index) => ("body", index),
                Thing::Part(index) => ("part", index),
                Thing::Zone(index) => ("zone", index),
                Thing::Fasteners(index) => ("fasteners", index),
                Thing::Connector(index) => ("connector", index),
            };
            board.at(keys![table, index, "id"])
        };
        ids.add(id, place, report);
    }
    let mut zones = Ids::new("zones");
    for (index, zone) in board.record.zone.iter().enumerate() {
        if is_part_of_zone(board, index, &zone.id) {
            zones.add(&zone.id, || board.at(keys!["zone", index, "id"]), report);
        }
    }
}

/// Tells whether this is the id of the part that a zone lies on.
fn is_part_of_zone(board: &Board, zone: usize, id: &str) -> bool {
    let part = board.zones[zone].part();
    part.is_some_and(|part| board.record.part[part].id == id)
}

fn in_stock<'a>(
    book: &Book,
    (file, table): (&str, &str),
    ids: impl Iterator<Item = &'a str>,
    report: &mut Report<'_>,
) {
    let Some(file) = book.file_named(file) else {
        return;
    };
    let mut known = Ids::new("things of this stock");
    for (index, id) in ids.enumerate() {
        let place = || file.at(&Spot::Value(keys![table, index, "id"]));
        known.add(id, place, report);
    }
}

/// Ids that are to be unique, with the first place of each.
struct Ids<'a> {
    of_what: &'static str,
    first: BTreeMap<&'a str, Place>,
}

impl<'a> Ids<'a> {
    fn new(of_what: &'static str) -> Self {
        Self {
            of_what,
            first: BTreeMap::new(),
        }
    }

    fn add(&mut self, id: &'a str, place: impl Fn() -> Place, report: &mut Report<'_>) {
        match self.first.get(id) {
            None => {
                self.first.insert(id, place());
            }
            Some(first) => {
                let message = format!("`{id}` names two {}", self.of_what);
                report
                    .find(place(), message)
                    .also(first.clone(), "the first of them")
                    .help("rename one, and look at what refers to it");
            }
        }
    }
}

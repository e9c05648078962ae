use crate::book::{Board, Book, Job, MARKER};
use crate::lint::nearest::did_you_mean;
use crate::lint::rule::declare_rule;
use crate::lint::{ALL, Report};
use crate::source::{Fault, KeyPath, Place, Spot, keys};

declare_rule! {
    /// Looks for names that name nothing: of bodies, parts, pads, pastes, packages, revisions and rules.
    ///
    /// ## Why
    ///
    /// What refers to nothing is left out: a screw that holds no known body does not appear in the order
    /// of opening, and somebody pulls against it.
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
    /// [[note]]
    /// on = "powr"
    /// when = "open"
    /// kind = "tip"
    /// text = "Press the latch first."
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[connector]]
    /// id = "power"
    /// kind = "power"
    /// side = "front"
    /// at = [90.0, 30.0]
    ///
    /// [[note]]
    /// on = "power"
    /// when = "open"
    /// kind = "tip"
    /// text = "Press the latch first."
    /// ```
    ///
    /// ## What to do
    ///
    /// Correct the name, or add what it names. The bare board is `pcb` as a face and `board` in a note.
    "dangling-reference", Identity, Error,
    "a name that names nothing",
    Book(check), Board(check_board)
}

fn check(book: &Book, report: &mut Report<'_>) {
    let names = Names::of(book);
    if let Some(file) = book.file_named(MARKER) {
        for rule in book.rules.keys() {
            let place = || file.at(&Spot::Key(keys!["rules", &**rule]));
            resolve(rule, &names.rules, place, report);
        }
    }
    if let Some(file) = book.file_named("stock/offcuts.toml") {
        for (index, offcut) in book.stock.offcuts.iter().enumerate() {
            let place = || file.at(&Spot::Value(keys!["offcut", index, "pad"]));
            resolve(&offcut.pad, &names.pads, place, report);
        }
    }
    for job in &book.orphans {
        look_at_job(&names, job, report);
    }
}

fn check_board(book: &Book, board: &Board, report: &mut Report<'_>) {
    let names = Names::of(book);
    look_at_board(&names, board, report);
    for job in &board.jobs {
        look_at_job(&names, job, report);
    }
}

/// What may be named at some place.
struct Known<'a> {
    /// What one of them is, in words.
    what: &'static str,
    /// Their names, sorted; `None` where they could not be read, and nothing can be said.
    names: Option<Vec<&'a str>>,
}

impl<'a> Known<'a> {
    fn new(what: &'static str, names: impl IntoIterator<Item = &'a str>) -> Self {
        let mut names: Vec<&str> = names.into_iter().collect();
        names.sort_unstable();
        names.dedup();
        Self {
            what,
            names: Some(names),
        }
    }
}

/// What the whole book may name.
struct Names<'a> {
    rules: Known<'a>,
    pads: Known<'a>,
    pastes: Known<'a>,
    packages: Known<'a>,
}

impl<'a> Names<'a> {
    fn of(book: &'a Book) -> Self {
        let stock = &book.stock;
        let pads = stock.pads.iter().map(|pad| &*pad.id);
        let pastes = stock.pastes.iter().map(|paste| &*paste.id);
        let packages = stock.packages.iter().map(|package| &*package.id);
        let unless_broken = |file: &str, known: Known<'a>| {
            let broken = book
                .file_named(file)
                .is_some_and(|file| file.faults.iter().any(Fault::blocks));
            Known {
                names: known.names.filter(|_| !broken),
                ..known
            }
        };
        Self {
            rules: Known::new("no rule", ALL.iter().map(|rule| rule.name)),
            pads: unless_broken("stock/pads.toml", Known::new("no pad in stock", pads)),
            pastes: unless_broken("stock/pastes.toml", Known::new("no paste in stock", pastes)),
            packages: unless_broken(
                "stock/packages.toml",
                Known::new("no package in stock", packages),
            ),
        }
    }
}

/// Tells that a name names nothing, if it does.
fn resolve(name: &str, known: &Known<'_>, place: impl Fn() -> Place, report: &mut Report<'_>) {
    let Some(names) = &known.names else {
        return;
    };
    if names.binary_search(&name).is_ok() {
        return;
    }
    let hint = did_you_mean(name, names.iter().copied());
    let help = if names.is_empty() {
        "there are none; add it, or leave the name out".into()
    } else if names.len() > MOST_LISTED {
        "correct the name, or add what it names".into()
    } else {
        format!("known here: {}", names.join(", "))
    };
    report
        .find(place(), format!("`{name}` is {}{hint}", known.what))
        .help(help);
}

/// Most names that a finding lists.
const MOST_LISTED: usize = 20;

fn look_at_board(names: &Names<'_>, board: &Board, report: &mut Report<'_>) {
    let record = &board.record;
    let bodies = || record.body.iter().map(|body| &*body.id);
    let parts = || record.part.iter().map(|part| &*part.id);
    let any = board.things().map(|(_, id)| id);
    let any = Known::new("nothing in this record", any.chain(["board"]));
    let held = Known::new("no body of this record, nor `pcb`", bodies().chain(["pcb"]));
    let faces = bodies().chain(parts()).chain(["pcb"]);
    let faces = Known::new("no part or body of this record, nor `pcb`", faces);
    let bodies = Known::new("no body of this record", bodies());

    let mut look = |name: &str, known: &Known<'_>, path: &dyn Fn() -> KeyPath| {
        resolve(name, known, || board.at(path()), report);
    };
    for (i, body) in record.body.iter().enumerate() {
        if let Some(parent) = &body.part_of {
            look(parent, &bodies, &|| keys!["body", i, "part_of"]);
        }
        for (j, over) in body.over.iter().enumerate() {
            look(over, &bodies, &|| keys!["body", i, "over", j]);
        }
    }
    for (i, part) in record.part.iter().enumerate() {
        if let Some(package) = &part.package {
            look(package, &names.packages, &|| keys!["part", i, "package"]);
        }
    }
    for (i, zone) in record.zone.iter().enumerate() {
        for (j, face) in zone.between.iter().enumerate() {
            look(face, &faces, &|| keys!["zone", i, "between", j]);
        }
        if let Some(pad) = &zone.pad {
            look(pad, &names.pads, &|| keys!["zone", i, "pad"]);
        }
    }
    for (i, group) in record.fasteners.iter().enumerate() {
        for (j, holds) in group.holds.iter().enumerate() {
            look(holds, &held, &|| keys!["fasteners", i, "holds", j]);
        }
        for (j, under) in group.under.iter().enumerate() {
            look(under, &bodies, &|| keys!["fasteners", i, "under", j]);
        }
    }
    for (i, connector) in record.connector.iter().enumerate() {
        if let Some(tied) = &connector.ties {
            look(tied, &bodies, &|| keys!["connector", i, "ties"]);
        }
    }
    for (i, note) in record.note.iter().enumerate() {
        look(&note.on, &any, &|| keys!["note", i, "on"]);
    }
    for (i, photo) in record.photo.iter().enumerate() {
        look(&photo.on, &any, &|| keys!["photo", i, "on"]);
    }
    for (i, accept) in record.accept.iter().enumerate() {
        look(&accept.rule, &names.rules, &|| keys!["accept", i, "rule"]);
        look(&accept.at, &any, &|| keys!["accept", i, "at"]);
    }
    look_at_revisions(board, report);
}

/// Looks at every `only`.
fn look_at_revisions(board: &Board, report: &mut Report<'_>) {
    let record = &board.record;
    let revisions = record.board.revisions.iter().map(String::as_str);
    let revisions = Known::new("no revision of this board", revisions);
    let bodies = record.body.iter().map(|body| &body.only).enumerate();
    let parts = record.part.iter().map(|part| &part.only).enumerate();
    let zones = record.zone.iter().map(|zone| &zone.only).enumerate();
    let screws = record.fasteners.iter().map(|group| &group.only).enumerate();
    let plugs = record.connector.iter().map(|plug| &plug.only).enumerate();
    let all = bodies
        .map(|one| ("body", one))
        .chain(parts.map(|one| ("part", one)))
        .chain(zones.map(|one| ("zone", one)))
        .chain(screws.map(|one| ("fasteners", one)))
        .chain(plugs.map(|one| ("connector", one)));
    for (table, (i, only)) in all {
        for (j, revision) in only.iter().enumerate() {
            let place = || board.at(keys![table, i, "only", j]);
            resolve(revision, &revisions, place, report);
        }
    }
}

/// Looks at what a job took from the stock.
fn look_at_job(names: &Names<'_>, job: &Job, report: &mut Report<'_>) {
    let at = |path: KeyPath| Place {
        file: job.file,
        spot: Spot::Value(path),
    };
    if let Some(paste) = &job.record.paste {
        resolve(paste, &names.pastes, || at(keys!["paste"]), report);
    }
    for (i, fitted) in job.record.fitted.iter().enumerate() {
        if let Some(pad) = &fitted.pad {
            let place = || at(keys!["fitted", i, "pad"]);
            resolve(pad, &names.pads, place, report);
        }
    }
}

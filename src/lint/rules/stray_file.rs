use crate::book::{Book, MARKER, Role, SourceFile};
use crate::lint::Report;
use crate::lint::nearest::did_you_mean;
use crate::lint::rule::declare_rule;
use crate::source::{Fault, FaultKind, Spot};

declare_rule! {
    /// Looks for files that the book does not read: a record in the wrong place or under another name,
    /// and photos that no record shows. `README.md` and licences may lie anywhere.
    ///
    /// ## Why
    ///
    /// A record is known by its place. One letter off, it is not read, and the board is missing from the
    /// book without a word.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// # file: osk/demo/bord.toml
    /// schema = 1
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
    /// ```
    ///
    /// ## What to do
    ///
    /// Move the file to its place: `<maker>/<board>/board.toml`, its jobs in `jobs`, its photos in
    /// `photos`, stock in `stock`. Show a photo with a `[[photo]]`. Keep anything else outside the book.
    "stray-file", Reading, Advice,
    "a file that the book does not read",
    Book(check)
}

fn check(book: &Book, report: &mut Report<'_>) {
    for file in &book.files {
        if file.role == Role::Stray && file.faults.is_empty() && !is_welcome(&file.name) {
            let message = format!("`{}` is not read{}", file.name, hint(book, &file.name));
            report.find(file.at(&Spot::File), message).help(
                "a board is <maker>/<board>/board.toml, with its jobs in jobs/*.toml and its \
                 pictures in photos/; keep anything else outside the book",
            );
        }
    }
    for board in &book.boards {
        let unshown = board.photos.iter().map(|&id| book.file(id));
        let unshown = unshown.filter(|file| {
            let shown = &board.record.photo;
            is_picture(file) && !shown.iter().any(|photo| photo.file == base(&file.name))
        });
        for file in unshown {
            let message = format!("`{}` is shown nowhere in its board's record", file.name);
            report
                .find(file.at(&Spot::File), message)
                .help("add a [[photo]] with this file to board.toml, or delete the picture");
        }
    }
}

/// Tells whether a photo is a file at all: a link or a closed file is told as that.
fn is_picture(file: &SourceFile) -> bool {
    let is_of_picture = |fault: &Fault| matches!(fault.kind, FaultKind::Picture(_));
    file.faults.iter().all(is_of_picture)
}

fn base(name: &str) -> &str {
    name.rsplit('/').next().unwrap_or_default()
}

/// Tells whether a file is for people who look into the folder.
fn is_welcome(name: &str) -> bool {
    let base = base(name).to_lowercase();
    base == "readme.md" || base.starts_with("license") || base.starts_with("licence")
}

/// Returns a hint at the name or the place that a stray file was to have.
fn hint(book: &Book, name: &str) -> String {
    let steps: Vec<&str> = name.split('/').collect();
    let known: &[&str] = match &steps[..] {
        [.., MARKER] => return format!("; `{MARKER}` belongs at the top of the book"),
        [.., "board.toml"] => return "; a board's record lies in <maker>/<board>".into(),
        [_, _, "jobs", _] => return "; a job's name ends in .toml".into(),
        [_, _, folder, _] => return did_you_mean(folder, ["jobs", "photos"]),
        [_] => &[MARKER],
        ["stock", _] => &["pads.toml", "pastes.toml", "packages.toml"],
        [_, _, _] => &["board.toml"],
        _ => &[],
    };
    let base = base(name);
    let folder = &name[..name.len() - base.len()];
    // A name that is taken already is not what was meant.
    let is_free = |known: &&&str| book.file_named(&format!("{folder}{known}")).is_none();
    did_you_mean(base, known.iter().filter(is_free).copied())
}

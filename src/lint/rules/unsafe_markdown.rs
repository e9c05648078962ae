use crate::book::{Board, Book, Job, MARKER};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::markdown::{UnsafePart, unsafe_parts};
use crate::source::{Place, Spot, keys};

declare_rule! {
    /// Looks for raw HTML, images, and links to anything but http, https and mailto, in notes, in jobs
    /// and in the book's `about`.
    ///
    /// ## Why
    ///
    /// The guide is a page on somebody's screen, and a record may come from a stranger. So raw HTML is
    /// dropped, and of images and other links only the words stay: part of the note would be missing.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[note]]
    /// on = "board"
    /// when = "open"
    /// kind = "tip"
    /// text = "Clean the fins <b>first</b>."
    /// ```
    ///
    /// ```toml fails
    /// [[note]]
    /// on = "board"
    /// when = "open"
    /// kind = "tip"
    /// text = "See [how](javascript:alert)."
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[note]]
    /// on = "board"
    /// when = "open"
    /// kind = "tip"
    /// text = "Clean the fins **first**; see [how](https://example.org/fins)."
    /// ```
    ///
    /// ## What to do
    ///
    /// Use Markdown's own marks, and whole addresses in links. A picture belongs in `photos`, with a
    /// `[[photo]]` that says what it shows.
    "unsafe-markdown", Reading, Warning,
    "part of a note that the guide cannot show",
    Book(check), Board(check_board)
}

fn check(book: &Book, report: &mut Report<'_>) {
    let about = book.head.as_ref().and_then(|head| head.about.as_deref());
    if let (Some(file), Some(about)) = (book.file_named(MARKER), about) {
        look(
            about,
            || file.at(&Spot::Value(keys!["book", "about"])),
            report,
        );
    }
    for job in &book.orphans {
        look_at_job(job, report);
    }
}

fn check_board(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, note) in board.record.note.iter().enumerate() {
        let place = || board.at(keys!["note", index, "text"]);
        look(&note.text, place, report);
    }
    for job in &board.jobs {
        look_at_job(job, report);
    }
}

fn look_at_job(job: &Job, report: &mut Report<'_>) {
    if let Some(note) = &job.record.note {
        look(note, || job.at(keys!["note"]), report);
    }
}

fn look(text: &str, place: impl Fn() -> Place, report: &mut Report<'_>) {
    for part in unsafe_parts(text) {
        let (message, help) = match part {
            UnsafePart::Html(tag) => (
                format!("raw HTML, `{tag}`, is dropped from the guide"),
                "use Markdown's own marks, such as **bold**; `<` before a word is HTML too",
            ),
            UnsafePart::Link(target) => (
                format!("the link to `{target}` becomes plain words"),
                "link to a whole address that begins with https://, http:// or mailto:",
            ),
            UnsafePart::Image(target) => (
                format!("the image `{target}` becomes plain words"),
                "put the picture in photos/ and show it with a [[photo]]",
            ),
        };
        report.find(place(), message).help(help);
    }
}

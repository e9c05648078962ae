use std::collections::BTreeMap;

use crate::book::{Board, Book, Job};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for jobs whose `board` is not the board in whose folder they lie, or that lie in a folder
    /// without a `board.toml`.
    ///
    /// ## Why
    ///
    /// What was measured on one board must not count for another. In the wrong folder a job says something
    /// false about one board, and nothing about its own.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-tern-240"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// ```
    ///
    /// ## What to do
    ///
    /// Move the file into the `jobs` folder of its own board, or correct `board`. A board that has only jobs
    /// needs a record first; its head is enough.
    "job-for-another-board", Identity, Error,
    "a job lies in another board's folder",
    Book(check)
}

fn check(book: &Book, report: &mut Report<'_>) {
    let folders: BTreeMap<&str, &str> = book
        .boards
        .iter()
        .map(|board| (board.id(), board.folder.as_str()))
        .collect();
    for board in &book.boards {
        for job in board.jobs.iter().filter(|job| !board.is_board_of(job)) {
            misplaced(board, job, &folders, report);
        }
    }
    for job in &book.orphans {
        orphan(book, job, &folders, report);
    }
}

fn misplaced(board: &Board, job: &Job, folders: &BTreeMap<&str, &str>, report: &mut Report<'_>) {
    let own = &job.record.board;
    let message = format!(
        "this job is of `{own}` and lies in the folder of `{}`",
        board.id()
    );
    report
        .find(job.at(keys!["board"]), message)
        .also(board.at(keys!["board", "id"]), "the folder's board")
        .help(where_to(own, folders));
}

fn orphan(book: &Book, job: &Job, folders: &BTreeMap<&str, &str>, report: &mut Report<'_>) {
    let name = &book.file(job.file).name;
    let folder = name.split("/jobs/").next().unwrap_or(name);
    let record = format!("{folder}/board.toml");
    let found = book.files.binary_search_by(|file| file.name.cmp(&record));
    // A record that is there and cannot be read has findings of its own.
    if found.is_err() {
        report
            .find(
                job.at(keys!["board"]),
                format!("there is no `{record}` for this job"),
            )
            .help(where_to(&job.record.board, folders));
    }
}

fn where_to(id: &str, folders: &BTreeMap<&str, &str>) -> String {
    folders.get(id).map_or_else(
        || "correct `board`, or add the record of that board first".into(),
        |folder| format!("move the file to `{folder}/jobs/`, or correct `board`"),
    )
}

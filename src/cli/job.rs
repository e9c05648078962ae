//! A job by what it is called: its file, or its board and its file's name, or its board alone.

use gapbook::Failure;
use gapbook::book::{Board, Book, Job, Role};
use gapbook::heat::{self, Sensor};
use gapbook::record::schema::{Kind, Words as _};

use super::find::one_board;
use super::text::{self, line};

/// How a job is named.
const HOW: &str = "name its file, or BOARD/DAY-BENCH, or a board alone for its newest job";

/// A job that was meant.
#[derive(Debug)]
pub(super) struct Meant<'a> {
    pub(super) board: &'a Board,
    pub(super) job: &'a Job,
    /// Whether only the board was named, and this is its newest job with temperatures after it.
    pub(super) is_newest: bool,
}

impl<'a> Meant<'a> {
    fn named(board: &'a Board, job: &'a Job) -> Self {
        let is_newest = false;
        Self {
            board,
            job,
            is_newest,
        }
    }
}

/// Finds a job by its path, or the end of it; by its board and its file's name; or by its board alone.
pub(super) fn meant<'a>(book: &'a Book, name: &str) -> Result<Meant<'a>, Failure> {
    let wanted = name.trim_start_matches("./").trim_end_matches('/');
    let wanted = wanted.trim_end_matches(".toml");
    let of_board = |board: &'a Board| board.own_jobs().map(move |job| Meant::named(board, job));
    let all = book.boards.iter().flat_map(of_board);
    let is_meant = |one: &Meant<'_>| is_called(wanted, path(book, one.job), &[one.board.id()]);
    let mut found: Vec<_> = all.filter(is_meant).collect();
    match (found.pop(), &found[..]) {
        (Some(one), []) => Ok(one),
        (Some(one), others) => Err(several(book, name, others.iter().chain([&one]))),
        (None, _) => match unusable(book, wanted) {
            Some(failure) => Err(failure),
            None => by_board(book, wanted),
        },
    }
}

/// Finds a board's newest job, or the one with the name after the board's.
fn by_board<'a>(book: &'a Book, wanted: &str) -> Result<Meant<'a>, Failure> {
    let board = |place| in_folder(book, place).map_or_else(|| one_board(book, place), Ok);
    match (board(wanted), wanted.rsplit_once('/')) {
        (Ok(board), _) => newest(book, board),
        (Err(failure), Some((place, stem))) => match board(place.trim_end_matches("/jobs")) {
            Ok(board) => of(book, board, stem, HOW).map(|job| Meant::named(board, job)),
            Err(of_place) if is_of_a_day(stem) => Err(of_place),
            Err(_) => Err(failure),
        },
        (Err(_), None) if is_of_a_day(wanted) => {
            Err(Failure::new(format!("there is no job `{}`", line(wanted))).help(HOW))
        }
        (Err(failure), None) => Err(failure),
    }
}

/// Says that several jobs are meant, and how to tell them apart.
fn several<'a>(book: &Book, name: &str, found: impl Iterator<Item = &'a Meant<'a>>) -> Failure {
    let names = found.map(|one| format!("`{}`", line(&book.file(one.job.file).name)));
    let names: Vec<String> = names.collect();
    let message = format!("`{}` means {} jobs", line(name), names.len());
    Failure::new(message).help(format!("name one of {}", names.join(", ")))
}

/// Finds a job of a board by its file or its file's name; where it has none, `without` says what to do.
pub(super) fn of<'a>(
    book: &Book,
    board: &'a Board,
    name: &str,
    without: &str,
) -> Result<&'a Job, Failure> {
    let wanted = name.trim_start_matches("./").trim_end_matches(".toml");
    let found = board
        .own_jobs()
        .find(|job| is_called(wanted, path(book, job), &[board.id()]));
    found.ok_or_else(|| {
        let stem = wanted.rsplit('/').next().unwrap_or(wanted);
        unusable(book, &format!("{}/jobs/{stem}", board.folder)).unwrap_or_else(|| {
            let message = format!("`{}` has no job `{}`", line(board.id()), line(name));
            Failure::new(message).help(known(book, board).unwrap_or_else(|| without.to_owned()))
        })
    })
}

/// Returns a board's newest job with temperatures after it.
fn newest<'a>(book: &Book, board: &'a Board) -> Result<Meant<'a>, Failure> {
    let is_read = |job: &&Job| {
        let after = job.record.after.as_ref().map(heat::board::readings);
        after.is_some_and(|after| {
            let mut sensors = Sensor::ALL.iter();
            sensors.any(|&sensor| after.of(sensor).is_some())
        })
    };
    let job = board.own_jobs().filter(is_read).last();
    job.map(|job| Meant {
        board,
        job,
        is_newest: true,
    })
    .ok_or_else(|| {
        let id = line(board.id());
        let known = known(book, board).map(|known| {
            format!("{known}; write the temperatures of the closed board under `[after]`")
        });
        let help: Vec<String> = known.into_iter().chain(unread(book, board)).collect();
        let help = if help.is_empty() {
            format!("it has no job at all: `gapbook intake {id}` writes one down")
        } else {
            help.join("; ")
        };
        Failure::new(format!("`{id}` has no job with temperatures after it")).help(help)
    })
}

/// Says how many jobs of a board cannot be used.
pub(super) fn unread(book: &Book, board: &Board) -> Option<String> {
    let below = format!("{}/jobs/", board.folder);
    let there = jobs(book).filter(|name| name.starts_with(&below)).count();
    let unread = there - board.own_jobs().count();
    (unread > 0).then(|| {
        let records = text::count(unread, "job record");
        format!("{records} of this board cannot be used; `gapbook lint` says why")
    })
}

/// Says which jobs a board has, if it has any.
fn known(book: &Book, board: &Board) -> Option<String> {
    let known: Vec<String> = board
        .own_jobs()
        .map(|job| format!("`{}`", line(stem(path(book, job)))))
        .collect();
    (!known.is_empty()).then(|| format!("there are {}", known.join(", ")))
}

/// Says that a job's file is there and has errors, or its board's record has.
fn unusable(book: &Book, wanted: &str) -> Option<Failure> {
    let is_used = |name: &str| {
        let mut used = book.boards.iter().flat_map(Board::own_jobs);
        used.any(|job| book.file(job.file).name == name)
    };
    let is_meant = |name: &&str| {
        let (maker, board) = name.split_once('/').unwrap_or_default();
        let board = board.split('/').next().unwrap_or_default();
        let ids = [&*format!("{maker}-{board}"), board];
        is_called(wanted, name.trim_end_matches(".toml"), &ids) && !is_used(name)
    };
    let name = jobs(book).find(is_meant)?;
    let is_orphan = book
        .orphans
        .iter()
        .any(|job| book.file(job.file).name == name);
    let errors = if is_orphan {
        let folder = name.split("/jobs/").next().unwrap_or(name);
        format!("its board's record, `{}/board.toml`, has", line(folder))
    } else {
        "it has".to_owned()
    };
    let message = format!("`{}` cannot be used: {errors} errors", line(name));
    Some(Failure::new(message).help("`gapbook lint` says which"))
}

/// Returns the names of the files that are to be jobs.
fn jobs(book: &Book) -> impl Iterator<Item = &str> {
    let jobs = book.files.iter();
    let jobs = jobs.filter(|file| file.role == Role::Record(Kind::Job));
    jobs.map(|file| &*file.name)
}

/// Tells whether a job's file is meant, by its path, the end of it, or one of its board's names and its own.
fn is_called(wanted: &str, path: &str, boards: &[&str]) -> bool {
    let stem = stem(path);
    let mut named = boards.iter().map(|board| format!("{board}/{stem}"));
    named.any(|name| wanted == name) || is_end(path, wanted) || is_end(wanted, path)
}

/// Returns the board whose folder this is.
fn in_folder<'a>(book: &'a Book, wanted: &str) -> Option<&'a Board> {
    let wanted = wanted.trim_end_matches("/board");
    let mut boards = book.boards.iter();
    boards.find(|board| wanted.contains('/') && is_end(wanted, &board.folder))
}

/// Tells whether a path ends in these steps.
fn is_end(path: &str, steps: &str) -> bool {
    path.strip_suffix(steps)
        .is_some_and(|left| left.is_empty() || left.ends_with('/'))
}

/// Tells whether a name begins as a job's file does, with a year.
fn is_of_a_day(name: &str) -> bool {
    let year = name.split('-').next().unwrap_or_default();
    year.len() == 4 && year.bytes().all(|digit| digit.is_ascii_digit())
}

/// Returns a job's path below the root, without its ending.
fn path<'a>(book: &'a Book, job: &Job) -> &'a str {
    book.file(job.file).name.trim_end_matches(".toml")
}

fn stem(path: &str) -> &str {
    path.rsplit('/').next().unwrap_or(path)
}

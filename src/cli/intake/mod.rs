//! `gapbook intake`: writes down a job while the board is open.

mod answer;
mod blank;
mod dialogue;
mod draft;
mod job;
mod place;
mod question;

use std::io::{IsTerminal as _, stdin, stdout};
use std::path::PathBuf;

use gapbook::Failure;
use gapbook::book::{Board, Book};
use gapbook::record::Date;

use super::find::one_board;
use super::progress::Bar;
use super::{Context, Outcome};

/// Write down a job: what was measured and fitted while a board was open
///
/// Asks on the terminal, zone by zone in the order the pads come off, shows where each lies and says at
/// once when a reading looks like a slip. Every answer is kept as it is given: stop when you like, and
/// the same command goes on from there. At the end stands a job record that the linter has read. It
/// never overwrites one.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook intake osk-tern-240                            ask, from the first screw to the proof
  gapbook intake tern-240 --bench quayside-2             without asking who measures
  gapbook intake tern-240 --bench quayside-2 --blank     a skeleton to fill in with an editor

Exit status: 0 written and clean, 1 written with findings, 2 not written.")]
pub(super) struct Options {
    /// The board's id, or another name that means it alone
    #[arg(value_name = "BOARD")]
    board: String,

    /// Who measures, by pseudonym; left out, it is asked for
    #[arg(long, value_name = "BENCH")]
    bench: Option<String>,

    /// The day of the job; left out, today
    #[arg(long, value_name = "YYYY-MM-DD")]
    date: Option<Date>,

    /// Write a skeleton to fill in with an editor, and ask nothing
    #[arg(long)]
    blank: bool,
}

/// What a job is written about, and where.
#[derive(Debug)]
struct Subject<'a> {
    root: PathBuf,
    book: &'a Book,
    board: &'a Board,
    /// The folder of the board's jobs.
    jobs: PathBuf,
}

/// Asks for a job, or writes a skeleton of one.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let root = context.root(None)?;
    let book = Book::load(&root, &Bar::new())?;
    let board = one_board(&book, &options.board)?;
    let today = today();
    if let Some(date) = options.date.filter(|&date| date > today) {
        return Err(Failure::new(format!("{date} is still to come"))
            .help("--date is the day on which the board was open"));
    }
    if let Some(bench) = &options.bench {
        answer::bench(bench).map_err(Failure::new)?;
    }
    let jobs = root.join(&board.folder).join("jobs");
    if jobs.is_symlink() {
        return Err(Failure::new(format!("`{}` is a link", jobs.display()))
            .help("a book follows no links: put a folder there"));
    }
    let subject = Subject {
        root,
        book: &book,
        board,
        jobs,
    };
    if options.blank {
        let bench = options.bench.as_deref().ok_or_else(no_bench)?;
        return blank::run(&subject, options.date.unwrap_or(today), bench);
    }
    if !stdin().is_terminal() || !stdout().is_terminal() {
        return Err(no_terminal());
    }
    dialogue::run(&subject, options, today)
}

/// Returns the day it is here.
fn today() -> Date {
    let day = jiff::ZonedDateTime::now().date().to_string();
    day.parse().expect("invariant: a calendar's day is a day")
}

fn no_bench() -> Failure {
    Failure::new("a skeleton needs to know who measures")
        .help("add `--bench NAME`, a pseudonym such as quayside-2")
}

fn no_terminal() -> Failure {
    Failure::new("intake asks its questions on a terminal, and here is none").help(
        "run it in a terminal; or with `--bench NAME --blank` it writes a skeleton to fill in \
         with an editor; or fill in the form on the board's Measure sheet, which gives the same record",
    )
}

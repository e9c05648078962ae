//! `gapbook prove`: whether a job has cured its board, and where to look if not.

use std::io::{self, Write};

use gapbook::Failure;
use gapbook::book::{Board, Book, Job};
use gapbook::heat::{self, Proof, Proved, Suspect};

use super::output::{BOLD, DIM};
use super::text::{self, points, title};
use super::triage::no_job;
use super::{Context, Form, Outcome, output};

/// A suspect with less of the readings' support than this is not printed; it is in the JSON.
const WORTH_PRINTING: f64 = 0.02;

/// Say whether a job has cured its board, and where to look if not
///
/// Compares the temperatures after a job with those before, with the healthy jobs of the same board, and
/// with its limits. Where they are wrong, ranks what would explain all of them at once, by the solved
/// stack-up, and says what would confirm each.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook prove osk-tern-240/2026-03-14-quayside-2
  gapbook prove boards/osk/tern-240/jobs/2026-03-14-quayside-2.toml --as json

Exit status: 0 back to normal, or better as far as is known, 1 not so, 2 could not run.")]
pub(super) struct Options {
    /// The job: its file, or its board's id, a slash and its file's name
    #[arg(value_name = "JOB")]
    job: String,

    /// Print text for people, or one JSON object
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    form: Form,
}

/// Judges a job by its temperatures, and prints it.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let (book, bar) = context.load()?;
    let (board, job) = named(&book, &options.job)?;
    let Some(found) = heat::board::proof(&book, board, job) else {
        return Err(Failure::new(
            "the job has no `[after]`: nothing was read once the board was closed",
        )
        .help("run the board for ten minutes at full load, and write the temperatures down"));
    };
    if let Some(why) = job
        .record
        .after
        .as_ref()
        .and_then(|after| heat::impossible(&heat::board::readings(after)))
    {
        return Err(Failure::new(why).help("correct the job's `[after]`: see `gapbook lint`"));
    }
    drop(bar);
    output::print(|out| match options.form {
        Form::Json => text::write_json(out, &found),
        Form::Text => print(out, (&book, board, job), &found, output::width()),
    })?;
    Ok(match found.verdict {
        Proved::Normal | Proved::BetterAtLeast => Outcome::Clean,
        _ => Outcome::Findings,
    })
}

/// Finds a job by its path, or the end of it, or its board's id and its file's name.
fn named<'a>(book: &'a Book, name: &str) -> Result<(&'a Board, &'a Job), Failure> {
    let wanted = name.trim_start_matches("./").trim_end_matches(".toml");
    let all = || {
        let of_board = |board: &'a Board| board.own_jobs().map(move |job| (board, job));
        book.boards.iter().flat_map(of_board)
    };
    let is_meant = |&(board, job): &(&Board, &Job)| {
        let path = book.file(job.file).name.trim_end_matches(".toml");
        let stem = path.rsplit('/').next().unwrap_or(path);
        let is_end = |long: &str, short: &str| {
            long.strip_suffix(short)
                .is_some_and(|left| left.is_empty() || left.ends_with('/'))
        };
        wanted == format!("{}/{stem}", board.id()) || is_end(path, wanted) || is_end(wanted, path)
    };
    let found: Vec<_> = all().filter(is_meant).collect();
    let said = text::line(name);
    match found[..] {
        [one] => Ok(one),
        [] => Err(unknown(book, wanted, &said)),
        ref several => {
            let names = several
                .iter()
                .map(|(_, job)| format!("`{}`", text::line(&book.file(job.file).name)));
            Err(
                Failure::new(format!("`{said}` means {} jobs", several.len())).help(format!(
                    "name one of {}",
                    names.collect::<Vec<_>>().join(", ")
                )),
            )
        }
    }
}

/// Says that there is no such job, and where its board is known, which jobs that has.
fn unknown(book: &Book, wanted: &str, said: &str) -> Failure {
    let how = "name its file, or its board's id and the file's name: `osk-tern-240/2026-03-14-quayside-2`";
    let of_board = wanted.rsplit_once('/').and_then(|(place, stem)| {
        let folder = place.trim_end_matches("/jobs");
        let is_meant = |board: &&Board| {
            let file = &book.file(board.file).name;
            board.id() == place || file.strip_suffix("/board.toml") == Some(folder)
        };
        let board = book.boards.iter().find(is_meant)?;
        Some(no_job(book, board, stem, how))
    });
    of_board.unwrap_or_else(|| Failure::new(format!("there is no job `{said}`")).help(how))
}

fn print(
    out: &mut dyn Write,
    (book, board, job): (&Book, &Board, &Job),
    found: &Proof,
    width: usize,
) -> io::Result<()> {
    let (heading, date) = (text::heading(board), job.record.date);
    writeln!(out, "{heading}  {date}: {BOLD}{}{BOLD:#}", found.verdict)?;
    writeln!(out, "{DIM}{}{DIM:#}", text::line(&book.file(job.file).name))?;
    title(out, "Why")?;
    points(out, &found.reasons, width)?;
    if !found.look.is_empty() {
        title(out, "Where to look, the likeliest first")?;
        let worth = found.look.iter().filter(|one| one.weight >= WORTH_PRINTING);
        let lines: Vec<String> = worth.map(suspect).collect();
        points(out, &lines, width)?;
    }
    if !found.measure.is_empty() {
        title(out, "Measure")?;
        points(out, &found.measure, width)?;
    }
    Ok(())
}

fn suspect(suspect: &Suspect) -> String {
    let places = match &suspect.places[..] {
        [] => String::new(),
        places => format!(" ({})", places.join("; ")),
    };
    format!(
        "{}{places}, by {}; to confirm, {}",
        suspect.cause, suspect.from, suspect.confirm
    )
}

//! `gapbook prove`: whether a job has cured its board, and where to look if not.

use std::io::{self, Write};

use gapbook::Failure;
use gapbook::book::Book;
use gapbook::heat::{self, Proof, Proved, Suspect};
use serde::Serialize;

use super::job::Meant;
use super::output::{BOLD, DIM};
use super::text::{self, points, title};
use super::{Context, Form, Outcome, job, output};

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
  gapbook prove tern-240                          the newest job with temperatures after it
  gapbook prove tern-240/2026-03-14-quayside-2    this one
  gapbook prove boards/osk/tern-240/jobs/2026-03-14-quayside-2.toml --as json

Exit status: 0 back to normal, or better as far as is known, 1 not so, 2 could not run.")]
pub(super) struct Options {
    /// The job: its file, or its board, a slash and its file's name, or a board alone for its newest
    #[arg(value_name = "JOB")]
    job: String,

    /// Print text for people, or one JSON object
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    form: Form,
}

/// What programs are told: the job, since only its board may have been named, and what it came to.
#[derive(Debug, Serialize)]
struct Answer<'a> {
    job: &'a str,
    #[serde(flatten)]
    proof: &'a Proof,
}

/// Judges a job by its temperatures, and prints it.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let (book, bar) = context.load()?;
    let meant = job::meant(&book, &options.job)?;
    let Meant { board, job, .. } = meant;
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
        Form::Json => text::write_json(
            out,
            &Answer {
                job: &book.file(job.file).name,
                proof: &found,
            },
        ),
        Form::Text => print(out, &book, &meant, &found, output::width()),
    })?;
    if let Some(remark) = job::unread(&book, board).filter(|_| meant.is_newest) {
        output::remark(&remark);
    }
    Ok(match found.verdict {
        Proved::Normal | Proved::BetterAtLeast => Outcome::Clean,
        _ => Outcome::Findings,
    })
}

fn print(
    out: &mut dyn Write,
    book: &Book,
    meant: &Meant<'_>,
    found: &Proof,
    width: usize,
) -> io::Result<()> {
    let Meant { board, job, .. } = meant;
    let (heading, date) = (text::heading(board), job.record.date);
    writeln!(out, "{heading}  {date}: {BOLD}{}{BOLD:#}", found.verdict)?;
    let newest = if meant.is_newest {
        ", the newest job with temperatures after it"
    } else {
        ""
    };
    let name = text::line(&book.file(job.file).name);
    writeln!(out, "{DIM}{name}{newest}{DIM:#}")?;
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

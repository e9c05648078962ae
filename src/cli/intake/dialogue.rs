//! The questions, asked on a terminal.

use std::io::{self, BufRead as _, Write};
use std::path::Path;

use gapbook::Failure;
use gapbook::book::{Board, Book};
use gapbook::lint::{lint, render};
use gapbook::record::Date;
use toml::{Table, Value};

use super::draft::Draft;
use super::question::{Group, Question, questions};
use super::{Options, Subject, answer, job, place};
use crate::cli::Outcome;
use crate::cli::lint::Tally;
use crate::cli::output::{ADVICE, BOLD, DIM, WARNING, print, width};
use crate::cli::progress::Bar;
use crate::cli::text::{count, line, rendered, wrap};

/// What can be typed instead of an answer.
const HOW: &str = "Enter leaves a question open. `back` takes the last answer back, `skip` passes over \
                   the rest of its heading, `?` says how to answer. Ctrl-C stops: all that was answered \
                   is kept, and the same command goes on from there.";

/// Asks for a job from its first unanswered question to its last, and writes it.
pub(super) fn run(
    subject: &Subject<'_>,
    options: &Options,
    today: Date,
) -> Result<Outcome, Failure> {
    let head = &subject.board.record.board;
    say(|out| {
        let (maker, model) = (line(&head.maker), line(&head.model));
        writeln!(out, "{BOLD}{maker} {model}{BOLD:#}  {}", line(&head.id))?;
        paragraph(out, HOW)
    })?;
    let mut draft = begin(subject, options, today)?;
    let mut heading = None;
    // An answer that looked like a slip, until it is meant or another is given.
    let mut doubted: Option<String> = None;
    loop {
        let asked = questions(subject, draft.answers());
        let Some(question) = asked.iter().find(|one| !is_answered(one, draft.answers())) else {
            return finish(subject, draft, &asked);
        };
        if heading != Some(question.group) {
            say(|out| head_group(out, subject, question, &asked))?;
            heading = Some(question.group);
        }
        let Some(typed) = ask(&question.prompt)? else {
            say(|out| writeln!(out))?;
            return Err(stopped(subject, &draft));
        };
        match (&*typed, doubted.take()) {
            ("?", _) => say(|out| paragraph(out, &question.wanted.how()))?,
            ("back", _) => {
                if !draft.undo()? {
                    say(|out| writeln!(out, "  This is the first question."))?;
                }
                heading = None;
            }
            ("skip", _) => {
                for one in asked.iter().filter(|one| one.group == question.group) {
                    if !is_answered(one, draft.answers()) {
                        draft.put(&one.key, "")?;
                    }
                }
            }
            ("keep", Some(meant)) => draft.put(&question.key, &meant)?,
            _ => match judge(question, &typed) {
                Judged::Fine => draft.put(&question.key, &typed)?,
                Judged::Refused(why) => {
                    let how = format!("Type it again: {}.", question.wanted.how());
                    warn(&[why], &how)?;
                }
                Judged::Doubtful(why) => {
                    warn(&why, "Type it again, or `keep` if it really is so.")?;
                    doubted = Some(typed);
                }
            },
        }
    }
}

/// Returns the draft to go on with: the newest of this bench, or of this day if one is given, or a new one.
fn begin(subject: &Subject<'_>, options: &Options, today: Date) -> Result<Draft, Failure> {
    let meant = |draft: &Draft| {
        options.date.is_none_or(|date| draft.date() == date)
            && options
                .bench
                .as_ref()
                .is_none_or(|bench| draft.bench() == bench)
    };
    let mut drafts = Draft::all(&subject.jobs)?;
    drafts.retain(meant);
    let bench = match &options.bench {
        Some(bench) => bench.clone(),
        None => ask_bench(drafts.first().map(Draft::bench))?,
    };
    let Some(kept) = drafts.into_iter().find(|draft| draft.bench() == bench) else {
        return Draft::new(&subject.jobs, options.date.unwrap_or(today), &bench);
    };
    let answers = count(kept.len(), "answer");
    let told = format!(
        "Going on with the job of {}: {answers} kept in {}. To begin another instead, delete that file.",
        kept.date(),
        line(&kept.path().display().to_string())
    );
    say(|out| paragraph(out, &told))?;
    Ok(kept)
}

/// Asks who measures until it is a pseudonym; Enter means the one of the draft that is there.
fn ask_bench(kept: Option<&str>) -> Result<String, Failure> {
    let offered = kept.map_or_else(String::new, |bench| format!(" [{bench}]"));
    loop {
        let typed = ask(&format!("your bench, by pseudonym{offered}"))?;
        let typed =
            typed.ok_or_else(|| Failure::new("nobody said who measures; nothing was begun"))?;
        match (&*typed, kept) {
            ("", Some(kept)) => return Ok(kept.to_owned()),
            (typed, _) => match answer::bench(typed) {
                Ok(bench) => return Ok(bench),
                Err(why) => warn(&[why], "Type it again.")?,
            },
        }
    }
}

/// Tells whether a question has an answer that can be read, if only that it is left open.
fn is_answered(question: &Question, answers: &Table) -> bool {
    let typed = answers.get(&question.key).and_then(Value::as_str);
    typed.is_some_and(|typed| typed.is_empty() || question.wanted.read(typed).is_ok())
}

/// What is thought of an answer.
enum Judged {
    Fine,
    /// It cannot be kept, and why.
    Refused(String),
    /// It looks like a slip, and why.
    Doubtful(Vec<String>),
}

fn judge(question: &Question, typed: &str) -> Judged {
    if typed.is_empty() {
        return Judged::Fine;
    }
    let wanted = &question.wanted;
    match wanted.read(typed).map(|answer| wanted.doubts(&answer)) {
        Err(why) => Judged::Refused(why),
        Ok(doubts) if doubts.is_empty() => Judged::Fine,
        Ok(doubts) => Judged::Doubtful(doubts),
    }
}

/// Prints the heading of a group of questions, and what to know for them.
fn head_group(
    out: &mut dyn Write,
    subject: &Subject<'_>,
    question: &Question,
    asked: &[Question],
) -> io::Result<()> {
    let (title, told) = match question.group {
        Group::Zone(zone) => return head_zone(out, subject, zone, asked),
        Group::Board => ("The board", ""),
        Group::Instrument => (
            "Measured with",
            "Its greatest error is printed in its certificate or box.",
        ),
        Group::Before => ("Before it is opened", "After ten minutes of steady load."),
        Group::Fitted => (
            "Fitted",
            "Enter where the old pad stays or nothing is fitted yet; `=` for what the record says.",
        ),
        Group::After => (
            "After it is closed",
            "The same load, the same room, ten minutes. `skip` if that is still to come: it can be added with an editor.",
        ),
        Group::Note => ("To end with", ""),
    };
    writeln!(out, "\n{BOLD}{title}{BOLD:#}")?;
    if told.is_empty() {
        Ok(())
    } else {
        paragraph(out, told)
    }
}

fn head_zone(
    out: &mut dyn Write,
    subject: &Subject<'_>,
    zone: usize,
    asked: &[Question],
) -> io::Result<()> {
    let board = subject.board;
    let mut zones: Vec<usize> = asked
        .iter()
        .filter_map(|one| match one.group {
            Group::Zone(zone) => Some(zone),
            _ => None,
        })
        .collect();
    zones.dedup();
    let written = &board.record.zone[zone];
    let position = zones
        .iter()
        .position(|&one| one == zone)
        .map_or(0, |at| at + 1);
    let name = line(&board.zone_name(zone));
    writeln!(
        out,
        "\n{BOLD}Old pad {position} of {}: {name}{BOLD:#}",
        zones.len()
    )?;
    place::print(out, board, (zone, &zones), width())?;
    let [near, far] = written
        .between
        .each_ref()
        .map(|face| face_name(board, face));
    let pieces = count(board.zones[zone].pieces.len(), "piece");
    writeln!(out, "  {pieces} between {near} and {far}")?;
    let material = written
        .pad
        .as_deref()
        .map_or_else(String::new, |pad| format!(", {}", line(pad)));
    match written.pad_mm {
        Some(pad_mm) => writeln!(out, "  expected: {pad_mm:?} mm free{material}"),
        None => writeln!(out, "  expected: not known; yours may be the first look"),
    }
}

fn face_name(board: &Board, face: &str) -> String {
    if face == "pcb" {
        "the bare board".to_owned()
    } else {
        format!("the {}", line(&board.name(face)))
    }
}

/// Writes a finished job and says how it stands with the linter.
fn finish(subject: &Subject<'_>, draft: Draft, asked: &[Question]) -> Result<Outcome, Failure> {
    let begun = job::begun(subject, draft.date(), draft.bench());
    let record = job::filled(&begun, asked, draft.answers());
    let path = draft.finish(&record.written())?;
    declare(subject, &path, "")
}

/// Lints the book with the new job in it, and says where the job is and what is found in it.
pub(super) fn declare(subject: &Subject<'_>, path: &Path, next: &str) -> Result<Outcome, Failure> {
    let bar = Bar::new();
    let book = Book::load(&subject.root, &bar)?;
    let found = lint(&book, &bar);
    drop(bar);
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let name = format!("{}/jobs/{name}", subject.board.folder);
    let file = book.file_named(&name).ok_or_else(|| {
        Failure::new(format!("`{}` was written and is gone", path.display()))
            .help("something else changes this folder; look there before you go on")
    })?;
    let findings: Vec<_> = found.of_file(file.id).collect();
    let tally = Tally::of(findings.iter().copied());
    let outcome = tally.outcome();
    say(|out| {
        for finding in &findings {
            writeln!(out, "\n{}", rendered(&render::text(&book, finding, true)))?;
        }
        let path = line(&path.display().to_string());
        let verdict = format!("The linter read it: {}. {next}", tally.in_words());
        writeln!(
            out,
            "\n{BOLD}Written:{BOLD:#} {path}\n{}",
            verdict.trim_end()
        )
    })?;
    Ok(outcome)
}

fn stopped(subject: &Subject<'_>, draft: &Draft) -> Failure {
    let board = line(subject.board.id());
    let kept = match draft.len() {
        0 => "nothing was answered yet".to_owned(),
        some => format!(
            "{} kept in `{}`",
            count(some, "answer"),
            draft.path().display()
        ),
    };
    Failure::new(format!("stopped before the end; {kept}"))
        .help(format!("`gapbook intake {board}` goes on from there"))
}

fn warn(what: &[String], how: &str) -> Result<(), Failure> {
    say(|out| {
        for one in what {
            writeln!(out, "  {WARNING}!{WARNING:#} {}", line(one))?;
        }
        paragraph(out, how)
    })
}

fn paragraph(out: &mut dyn Write, text: &str) -> io::Result<()> {
    let lines = wrap(text, width().saturating_sub(2));
    lines
        .iter()
        .try_for_each(|line| writeln!(out, "  {DIM}{line}{DIM:#}"))
}

fn say(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
    print(write)
}

/// Asks, and returns the line that is typed; nothing where the terminal is closed.
fn ask(prompt: &str) -> Result<Option<String>, Failure> {
    print(|out| write!(out, "{ADVICE}{}{ADVICE:#}: ", line(prompt)))?;
    let mut typed = Vec::new();
    // A terminal that went away cannot be read; that is its end.
    let read = io::stdin()
        .lock()
        .read_until(b'\n', &mut typed)
        .unwrap_or(0);
    let typed = String::from_utf8_lossy(&typed).trim().to_owned();
    Ok((read > 0).then_some(typed))
}

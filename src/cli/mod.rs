//! The command line: one file per command.
//!
//! Only here is anything printed or the environment read.

mod compile;
mod cut;
mod find;
mod fit;
mod intake;
mod job;
mod lint;
mod order;
mod output;
mod progress;
mod prove;
mod rules;
mod schema;
mod start;
mod text;
mod triage;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Parser, Subcommand, ValueEnum};
use gapbook::Failure;
use gapbook::book::{Book, find_root};
use progress::Bar;

/// Exit status of a program that could not do what it was asked.
const COULD_NOT_RUN: u8 = 2;

/// A compiler and linter for a plain-text book of pad-cooled boards
///
/// A book is a folder of TOML records: one for each board, and a small one for each time somebody
/// opened that board and measured it.
#[derive(Debug, Parser)]
#[command(name = "gapbook", version, after_help = start::EXAMPLES)]
struct Arguments {
    /// The book's folder; left out, the book that the current folder belongs to
    #[arg(long, global = true, value_name = "DIR")]
    book: Option<PathBuf>,

    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Compile(compile::Options),
    Cut(cut::Options),
    Find(find::Options),
    Fit(fit::Options),
    Intake(intake::Options),
    Lint(lint::Options),
    Order(order::Options),
    Prove(prove::Options),
    Rules(rules::Options),
    Schema(schema::Options),
    Triage(triage::Options),
}

/// In what form a command answers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Form {
    /// Text for people
    #[default]
    Text,
    /// One JSON object a line, for programs
    Json,
}

/// How a command that could run has ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// Nothing is wrong.
    Clean,
    /// The book has errors or warnings.
    Findings,
}

/// What every command is told.
#[derive(Debug)]
struct Context {
    book: Option<PathBuf>,
}

impl Context {
    /// Returns the folder of the book that is meant: `--book`, or that of a path, or the one here.
    fn root(&self, path: Option<&Path>) -> Result<PathBuf, Failure> {
        find_root(self.book.as_deref().or(path).unwrap_or(Path::new(".")))
    }

    /// Loads the book that is meant, with a bar that shows how far it is.
    fn load(&self) -> Result<(Book, Bar), Failure> {
        let bar = Bar::new();
        Ok((Book::load(&self.root(None)?, &bar)?, bar))
    }
}

/// Runs the program on the process's arguments.
pub(crate) fn run() -> ExitCode {
    let outcome = match Arguments::try_parse() {
        Ok(arguments) => arguments.run(),
        Err(error) if error.kind() == ErrorKind::InvalidSubcommand => Err(no_command(&error)),
        Err(error) => {
            // Help goes to standard output and usage to standard error; a closed one is no matter.
            error.print().ok();
            let status = u8::try_from(error.exit_code()).unwrap_or(COULD_NOT_RUN);
            return ExitCode::from(status);
        }
    };
    match outcome {
        Ok(Outcome::Clean) => ExitCode::SUCCESS,
        Ok(Outcome::Findings) => ExitCode::FAILURE,
        Err(failure) => {
            output::complain(&failure);
            ExitCode::from(COULD_NOT_RUN)
        }
    }
}

impl Arguments {
    fn run(self) -> Result<Outcome, Failure> {
        let context = Context { book: self.book };
        match self.command {
            None => start::run(&context),
            Some(Command::Compile(options)) => compile::run(&context, &options),
            Some(Command::Cut(options)) => cut::run(&context, &options),
            Some(Command::Find(options)) => find::run(&context, &options),
            Some(Command::Fit(options)) => fit::run(&context, &options),
            Some(Command::Intake(options)) => intake::run(&context, &options),
            Some(Command::Lint(options)) => lint::run(&context, &options),
            Some(Command::Order(options)) => order::run(&context, &options),
            Some(Command::Prove(options)) => prove::run(&context, &options),
            Some(Command::Rules(options)) => rules::run(&options),
            Some(Command::Schema(options)) => schema::run(&options),
            Some(Command::Triage(options)) => triage::run(&context, &options),
        }
    }
}

/// Returns the failure of a command that there is not.
fn no_command(error: &clap::Error) -> Failure {
    let likeliest = |kind| match error.get(kind) {
        Some(ContextValue::String(word)) => Some(word.as_str()),
        // Suggestions come with the likeliest last.
        Some(ContextValue::Strings(words)) => words.last().map(String::as_str),
        _ => None,
    };
    let written = likeliest(ContextKind::InvalidSubcommand).unwrap_or_default();
    let meant = likeliest(ContextKind::SuggestedSubcommand);
    let meant = meant.map_or_else(String::new, |name| format!("; did you mean `{name}`?"));
    Failure::new(format!("there is no command `{written}`{meant}")).help(format!(
        "`gapbook --help` lists the commands; `gapbook find {written}` looks for a board"
    ))
}

//! `gapbook lint`: what is wrong with a book, or with a part of it.

use std::collections::BTreeSet;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use gapbook::Failure;
use gapbook::book::{Book, Role, SourceFile};
use gapbook::lint::{Finding, Lint, Severity, lint, render};
use gapbook::record::Date;
use gapbook::record::schema::Kind;

use super::progress::Bar;
use super::{Context, Form, Outcome, output, text};

/// Check records and say what cannot be true
///
/// Checks the whole book, and prints what concerns the files and folders given. Advice says what
/// is not known yet; advice alone counts as clean.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook lint                                 the book of this folder
  gapbook lint boards/osk/tern-240             one board and its jobs
  gapbook lint --as json > findings.jsonl      for a program
  gapbook rules pad-too-small                  why a rule matters

Exit status: 0 clean or advice alone, 1 errors or warnings, 2 could not run.")]
pub(super) struct Options {
    /// Files and folders to print the findings of; left out, the whole book
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,

    /// Print text for people, or one JSON object a line
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    form: Form,

    /// Also print findings that a record accepts, with its reason
    #[arg(long)]
    show_accepted: bool,
}

/// Lints a book and prints what was found.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let root = context.root(options.paths.first().map(PathBuf::as_path))?;
    let selection = Selection::new(&root, &options.paths)?;
    let bar = Bar::new();
    let mut book = Book::load(&root, &bar)?;
    book.last_day = Some(last_day());
    selection.check(&book)?;
    let found = lint(&book, &bar);
    drop(bar);

    let chosen = selection.findings(&book, &found);
    let tally = Tally::of(chosen.iter().copied());
    output::print(|out| {
        let shown = chosen
            .iter()
            .filter(|finding| options.show_accepted || finding.accepted.is_none());
        shown
            .copied()
            .try_for_each(|finding| print(out, &book, finding, options.form))
    })?;
    if options.form == Form::Text {
        output::remark(&format!("{}: {}", selection.size(&book), tally.in_words()));
        if !has_boards(&book) {
            output::remark(&how_to_begin(&root));
        }
    }
    Ok(tally.outcome())
}

/// Returns the last day that a job can be of: today where on earth it is latest, 14 hours before Greenwich.
fn last_day() -> Date {
    let latest = jiff::tz::TimeZone::fixed(jiff::tz::offset(14));
    let day = jiff::Timestamp::now()
        .to_zoned_datetime(latest)
        .date()
        .to_string();
    day.parse().expect("invariant: a calendar's day is a day")
}

fn print(out: &mut dyn Write, book: &Book, finding: &Finding, form: Form) -> io::Result<()> {
    match form {
        Form::Text => writeln!(
            out,
            "{}\n",
            text::rendered(&render::text(book, finding, true))
        ),
        Form::Json => writeln!(out, "{}", text::json(&render::json_line(book, finding))),
    }
}

/// Tells whether a book has a board's record, readable or not.
pub(super) fn has_boards(book: &Book) -> bool {
    book.files
        .iter()
        .any(|file| file.role == Role::Record(Kind::Board))
}

/// Returns how to begin with a book that has no boards.
pub(super) fn how_to_begin(root: &Path) -> String {
    let root = text::line(&root.display().to_string());
    format!(
        "\nThis book has no boards yet. The first one is a file of its own, \
         `{root}/<maker>/<board>/board.toml`:\n\n    \
         schema = 1\n    [board]\n    id = \"<maker>-<board>\"\n    maker = \"Maker\"\n    \
         model = \"Board\"\n    class = \"graphics\"\n    \
         markings = [\"what is printed on the board\"]\n\n\
         Run `gapbook lint` again: its advice says what to add next."
    )
}

/// The part of a book that findings are printed of.
struct Selection {
    /// Names below the root, of files or folders; the empty name is the root itself.
    names: BTreeSet<String>,
}

impl Selection {
    /// Returns what the paths mean in a book; no paths mean all of it.
    fn new(root: &Path, paths: &[PathBuf]) -> Result<Self, Failure> {
        let real_root = real(root)?;
        let mut names = BTreeSet::new();
        for path in paths {
            let real_path = real(path)?;
            let below = match real_path.strip_prefix(&real_root) {
                Ok(below) => below,
                Err(_) if real_root.starts_with(&real_path) => Path::new(""),
                Err(_) => return Err(outside(root, path)),
            };
            let steps: Vec<_> = below.iter().map(|step| step.to_string_lossy()).collect();
            names.insert(steps.join("/"));
        }
        if paths.is_empty() {
            names.insert(String::new());
        }
        Ok(Self { names })
    }

    /// Tells whether a file of the book, by name, is meant.
    fn holds(&self, name: &str) -> bool {
        let above = name.match_indices('/').map(|(at, _)| &name[..at]);
        ["", name]
            .into_iter()
            .chain(above)
            .any(|name| self.names.contains(name))
    }

    fn files<'a>(&self, book: &'a Book) -> impl Iterator<Item = &'a SourceFile> {
        book.files.iter().filter(|file| self.holds(&file.name))
    }

    /// Makes sure that every name given stands for something that was read.
    fn check(&self, book: &Book) -> Result<(), Failure> {
        let is_met = |name: &String| {
            let one = Self {
                names: BTreeSet::from([name.clone()]),
            };
            name.is_empty() || one.files(book).next().is_some()
        };
        match self.names.iter().find(|name| !is_met(name)) {
            None => Ok(()),
            Some(name) => Err(Failure::new(format!(
                "there is nothing to check at `{name}`"
            ))
            .help(
                "a board is <maker>/<board>/board.toml, a job <maker>/<board>/jobs/<date>-<bench>.toml; \
                 hidden files and links are not read",
            )),
        }
    }

    /// Returns the findings that rest on a file that is meant.
    fn findings<'a>(&self, book: &Book, found: &'a Lint) -> Vec<&'a Finding> {
        let concerns = |finding: &&Finding| {
            let mut files = finding.marks.iter().map(|mark| mark.place.file);
            files.any(|file| self.holds(&book.file(file).name))
        };
        found.findings.iter().filter(concerns).collect()
    }

    /// Returns how much of the book is meant: "65 files, 18 boards".
    fn size(&self, book: &Book) -> String {
        let names: BTreeSet<&str> = self
            .files(book)
            .flat_map(|file| file.name.match_indices('/').map(|(at, _)| &file.name[..at]))
            .collect();
        let boards = book
            .boards
            .iter()
            .filter(|board| names.contains(&*board.folder));
        let files = text::count(self.files(book).count(), "file");
        format!("{files}, {}", text::count(boards.count(), "board"))
    }
}

/// Returns a path without detours; a link at its end is not followed, as a book follows none.
fn real(path: &Path) -> Result<PathBuf, Failure> {
    let (folder, name) = match (path.parent(), path.file_name()) {
        (Some(folder), Some(name)) if path.is_symlink() => (folder, Some(name)),
        _ => (path, None),
    };
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let real = folder.canonicalize().map_err(|error| {
        Failure::new(format!("could not look at `{}`: {error}", path.display()))
            .help("give a record, a folder of the book, or nothing for the whole book")
    })?;
    Ok(name.map_or(real.clone(), |name| real.join(name)))
}

fn outside(root: &Path, path: &Path) -> Failure {
    let (path, root) = (path.display(), root.display());
    Failure::new(format!("`{path}` is not in the book at `{root}`"))
        .help("lint one book at a time; `--book DIR` names another")
}

/// How many findings there are of each severity.
#[derive(Default)]
pub(super) struct Tally {
    errors: usize,
    warnings: usize,
    advice: usize,
    accepted: usize,
}

impl Tally {
    pub(super) fn of<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Self {
        let mut tally = Self::default();
        for finding in findings {
            let counted = match (&finding.accepted, finding.severity) {
                (Some(_), _) => &mut tally.accepted,
                (None, Severity::Error) => &mut tally.errors,
                (None, Severity::Warning) => &mut tally.warnings,
                (None, Severity::Advice) => &mut tally.advice,
            };
            *counted += 1;
        }
        tally
    }

    pub(super) fn outcome(&self) -> Outcome {
        if self.errors + self.warnings > 0 {
            Outcome::Findings
        } else {
            Outcome::Clean
        }
    }

    /// Returns how many errors and warnings there are, "2 errors" and "1 warning"; nothing where there are none.
    pub(super) fn of_faults(&self) -> Vec<String> {
        let mut parts = Vec::new();
        if self.errors > 0 {
            parts.push(text::count(self.errors, "error"));
        }
        if self.warnings > 0 {
            parts.push(text::count(self.warnings, "warning"));
        }
        parts
    }

    pub(super) fn in_words(&self) -> String {
        let mut parts = self.of_faults();
        if self.advice > 0 {
            parts.push(format!("{} advice", self.advice));
        }
        if parts.is_empty() {
            parts.push("nothing wrong found".to_owned());
        }
        if self.accepted > 0 {
            parts.push(format!("{} accepted", self.accepted));
        }
        parts.join(", ")
    }
}

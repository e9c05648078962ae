//! `gapbook compile`: the book becomes a site.

use std::path::{Path, PathBuf};

use gapbook::Failure;
use gapbook::book::Book;
use gapbook::guide::{self, Compiled, compile};
use gapbook::lint::lint;

use super::lint::{Tally, has_boards, how_to_begin};
use super::progress::Bar;
use super::{Context, Outcome, output, text};

/// Write the guides as a site of static pages
///
/// Writes only what changed, and removes only what an earlier compile wrote. A board whose record
/// says something that cannot be true gets no guide until it is put right.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook compile                              the book of this folder, into site/
  gapbook compile --out /srv/guides            into another folder
  gapbook compile --templates my-templates     with pages of your own

Exit status: 0 every board has its guide, 1 some are withheld, 2 could not run.")]
pub(super) struct Options {
    /// The folder to write into: empty, or written by an earlier compile
    #[arg(long, value_name = "DIR", default_value = "site")]
    out: PathBuf,

    /// A folder of templates that replace the built-in ones of the same name
    #[arg(long, value_name = "DIR")]
    templates: Option<PathBuf>,
}

/// Compiles a book and says which file to open.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let root = context.root(None)?;
    let bar = Bar::new();
    let book = Book::load(&root, &bar)?;
    if !has_boards(&book) {
        drop(bar);
        output::remark(&how_to_begin(&root));
        return Err(Failure::new("there is no board to compile"));
    }
    let found = lint(&book, &bar);
    let how = guide::Options {
        out: &options.out,
        templates: options.templates.as_deref(),
    };
    let compiled = compile(&book, &found, how, &bar)?;
    drop(bar);

    report(&compiled, &options.out)?;
    let faults = Tally::of(found.open()).of_faults();
    if !faults.is_empty() {
        let faults = faults.join(" and ");
        output::remark(&format!(
            "the linter finds {faults}: `gapbook lint` says which"
        ));
    }
    let is_whole = compiled.withheld.is_empty();
    Ok(if is_whole {
        Outcome::Clean
    } else {
        Outcome::Findings
    })
}

fn report(compiled: &Compiled, out: &Path) -> Result<(), Failure> {
    let tally = compiled.tally;
    output::print(|to| {
        writeln!(
            to,
            "{}, {}: {} written, {} removed",
            text::count(compiled.boards, "board"),
            text::count(tally.files, "file"),
            tally.changed,
            tally.removed,
        )?;
        for withheld in &compiled.withheld {
            let (file, why) = (text::line(&withheld.file), text::line(&withheld.why));
            writeln!(to, "withheld: {file}: {why}")?;
        }
        for unshown in &compiled.unshown {
            let (file, why) = (text::line(&unshown.file), text::line(&unshown.why));
            writeln!(to, "not shown: {file}: {why}")?;
        }
        writeln!(
            to,
            "open {}",
            text::line(&out.join("index.html").display().to_string())
        )
    })
}

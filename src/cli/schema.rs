//! `gapbook schema`: the records' JSON Schemas, for editors.

use std::path::{Path, PathBuf};

use gapbook::Failure;
use gapbook::record::schema::Kind;

use super::{Outcome, output, text};

/// Write the schemas that let an editor help you
///
/// Writes a JSON Schema for each kind of record. A record whose first line is
/// `#:schema ../../../schema/board.schema.json` is then completed and explained by editors that know
/// TOML schemas.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook schema                     into ./schema
  gapbook schema --to ../schema      into another folder")]
pub(super) struct Options {
    /// The folder to write into; it is made if need be
    #[arg(long, value_name = "DIR", default_value = "schema")]
    to: PathBuf,
}

/// Writes the schemas and says which have changed.
pub(super) fn run(options: &Options) -> Result<Outcome, Failure> {
    std::fs::create_dir_all(&options.to).map_err(|error| {
        Failure::new(format!(
            "could not make the folder `{}`: {error}",
            options.to.display()
        ))
        .help("give another folder with `--to DIR`")
    })?;
    let mut lines = Vec::new();
    for kind in Kind::ALL {
        let path = options.to.join(format!("{}.schema.json", kind.name()));
        let change = write(&path, &format!("{:#}\n", kind.schema()))?;
        lines.push(format!(
            "{change:10}{}",
            text::line(&path.display().to_string())
        ));
    }
    output::print(|out| lines.iter().try_for_each(|line| writeln!(out, "{line}")))?;
    Ok(Outcome::Clean)
}

/// Writes a file unless it is there as it should be, and says what was done.
fn write(path: &Path, text: &str) -> Result<&'static str, Failure> {
    let before = std::fs::read(path).ok();
    if before.as_deref() == Some(text.as_bytes()) {
        return Ok("unchanged");
    }
    std::fs::write(path, text)
        .map_err(|error| Failure::new(format!("could not write `{}`: {error}", path.display())))?;
    Ok(if before.is_some() { "updated" } else { "new" })
}

//! The examples in a rule's documentation, which are also its fixtures.

use super::Rule;

/// The head that a board example stands below when it does not begin with its own.
const HEAD: &str = "\
schema = 1
[board]
id = \"osk-demo\"
maker = \"Osk\"
model = \"Demo\"
class = \"other\"
outline_mm = [100.0, 60.0]
";

/// Where an example's text goes unless it says `# file: …`.
const DEMO: &str = "osk/demo/board.toml";

/// Whether an example is to break its rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// It triggers the rule, and no other.
    Fails,
    /// It triggers nothing.
    Passes,
}

/// One example: the files of a small book.
#[derive(Clone, Debug)]
pub struct Example {
    /// What it is to do.
    pub outcome: Outcome,
    /// Its files, by their name below the book's root.
    pub files: Vec<(String, String)>,
}

/// Returns the examples in a rule's documentation: its `toml fails` and `toml passes` blocks.
///
/// A block is a board's record, whose usual head may be left out; lines `# file: NAME` begin other
/// files of the same small book.
pub fn examples(rule: &Rule) -> Vec<Example> {
    let mut found = Vec::new();
    let mut lines = rule
        .docs
        .lines()
        .map(|line| line.strip_prefix(' ').unwrap_or(line));
    while let Some(line) = lines.next() {
        let outcome = match line.trim() {
            "```toml fails" => Outcome::Fails,
            "```toml passes" => Outcome::Passes,
            _ => continue,
        };
        let block: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
        found.push(Example {
            outcome,
            files: files(&block),
        });
    }
    found
}

fn files(block: &[&str]) -> Vec<(String, String)> {
    let mut files = vec![(DEMO.to_owned(), String::new())];
    for line in block {
        if let Some(name) = line.strip_prefix("# file: ") {
            files.push((name.to_owned(), String::new()));
        } else if let Some((_, text)) = files.last_mut() {
            text.push_str(line);
            text.push('\n');
        }
    }
    files.retain(|(_, text)| !text.trim().is_empty());
    for (name, text) in &mut files {
        if name == DEMO && !text.contains("[board]") && !text.starts_with("schema") {
            text.insert_str(0, HEAD);
        }
    }
    files
}

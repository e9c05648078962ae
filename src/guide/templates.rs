//! The templates: built in, and overridden file by file by a folder of the book's own.

use std::path::Path;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Value;
use minijinja::{AutoEscape, Environment, HtmlEscape, UndefinedBehavior};
use serde::Serialize;

use crate::Failure;
use crate::drawing::number;
use crate::source::{read_bounded, walk};

/// Names the built-in files, each read when this program is built.
macro_rules! built_in {
    ($($name:literal),+ $(,)?) => {
        &[$(($name, include_str!(concat!("../../templates/", $name)))),+]
    };
}

/// The built-in templates and assets.
static BUILT_IN: &[(&str, &str)] = built_in![
    "assets/book.js",
    "assets/drawing.css",
    "assets/heat.js",
    "assets/measure.js",
    "assets/style.css",
    "assets/ticks.js",
    "index.html",
    "key.html",
    "layout.html",
    "lists.html",
    "maker.html",
    "parts.html",
    "rule.html",
    "rules.html",
    "sheets/close.html",
    "sheets/cutting.html",
    "sheets/decide.html",
    "sheets/fit.html",
    "sheets/form.html",
    "sheets/frame.html",
    "sheets/index.html",
    "sheets/measure.html",
    "sheets/open.html",
    "sheets/prove.html",
    "sheets/provenance.html",
    "sheets/screws.html",
];

/// Largest template that is read, bytes.
const LARGEST: u64 = 1 << 20;

/// Instructions one page may take: a hundred times the longest honest page.
const FUEL: u64 = 20_000_000;

/// Every template, compiled.
#[derive(Debug)]
pub(super) struct Templates {
    environment: Environment<'static>,
    assets: Vec<(String, Vec<u8>)>,
}

impl Templates {
    /// Loads the built-in templates, each replaced by the file of the same name in `folder`.
    pub(super) fn load(folder: Option<&Path>) -> Result<Self, Failure> {
        if let Some(folder) = folder.filter(|folder| !folder.is_dir()) {
            return Err(
                Failure::new(format!("there is no folder `{}`", folder.display())).help(
                    "--templates names a folder with files such as index.html or sheets/open.html",
                ),
            );
        }
        folder.map_or(Ok(()), refuse_strangers)?;
        let mut templates = Self {
            environment: environment(),
            assets: Vec::new(),
        };
        for &(name, built_in) in BUILT_IN {
            let bytes = replacement(folder, name)?.unwrap_or_else(|| built_in.into());
            templates.add(name, bytes)?;
        }
        Ok(templates)
    }

    fn add(&mut self, name: &'static str, bytes: Vec<u8>) -> Result<(), Failure> {
        if let Some(asset) = name.strip_prefix("assets/") {
            self.assets.push((asset.to_owned(), bytes));
            return Ok(());
        }
        let text = String::from_utf8(bytes)
            .map_err(|_| Failure::new(format!("the template `{name}` is not UTF-8")))?;
        self.environment
            .add_template_owned(name, text)
            .map_err(|error| Failure::new(format!("the template `{name}`: {error:#}")))
    }

    /// Renders one page.
    pub(super) fn render(&self, name: &str, context: impl Serialize) -> Result<String, Failure> {
        let failed =
            |error: minijinja::Error| Failure::new(format!("the template `{name}`: {error:#}"));
        let template = self.environment.get_template(name).map_err(failed)?;
        template
            .render(minijinja::value::Serde(context))
            .map_err(failed)
    }

    /// Returns the files that pages load: style sheets and the script.
    pub(super) fn assets(&self) -> &[(String, Vec<u8>)] {
        &self.assets
    }
}

fn environment() -> Environment<'static> {
    let mut environment = Environment::new();
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    let syntax = SyntaxConfig::builder()
        .trim_blocks(true)
        .lstrip_blocks(true)
        .build();
    environment.set_syntax(syntax.expect("invariant: only the white space is set"));
    environment.set_fuel(Some(FUEL));
    environment.add_filter("known", known);
    environment.add_filter("num", |value: f64| number(value));
    environment.add_filter("mm", crate::drawing::thickness);
    environment.add_filter("percent", |share: f64| format!("{:.0}", 100.0 * share));
    environment.add_filter("fixed", |value: f64, digits: usize| {
        format!("{value:.digits$}")
    });
    environment.add_filter("span", span);
    environment.add_filter("coded", |text: &str| coded(text));
    environment.add_filter("exact", |value: f64| value.to_string());
    environment.add_filter("readings", readings);
    environment
}

/// Lists readings with as many decimals as the finest of them, and two at least.
#[expect(clippy::needless_pass_by_value, reason = "a filter owns its argument")]
fn readings(all: Vec<f64>) -> String {
    let decimals = |one: &f64| {
        one.to_string()
            .split_once('.')
            .map_or(0, |(_, after)| after.len())
    };
    let digits = all.iter().map(decimals).fold(2, usize::max);
    let all: Vec<String> = all.iter().map(|one| format!("{one:.digits$}")).collect();
    all.join(", ")
}

/// Returns a value, or the words for a missing one.
fn known(value: &Value) -> Value {
    let missing = value.is_none() || value.is_undefined() || value.as_str() == Some("");
    if missing {
        Value::from_safe_string("<span class=\"unknown\">not known</span>".to_owned())
    } else {
        value.clone()
    }
}

/// Says between which values some lie, each times a factor, with so many decimals: "17–19".
#[expect(
    clippy::needless_pass_by_value,
    reason = "a filter owns what it is given"
)]
fn span(values: Vec<f64>, decimals: usize, times: Option<f64>) -> String {
    let times = times.unwrap_or(1.0);
    let [least, greatest] = [f64::min, f64::max].map(|choose: fn(f64, f64) -> f64| {
        let value = values.iter().copied().reduce(choose).unwrap_or_default();
        // Plus zero, so that nothing is written as less than it.
        format!("{:.decimals$}", times * value + 0.0)
    });
    if least == greatest {
        least
    } else {
        format!("{least}–{greatest}")
    }
}

/// Sets what stands between backticks as code; everything is escaped.
fn coded(text: &str) -> Value {
    let mut html = String::with_capacity(text.len() + 16);
    for (index, piece) in text.split('`').enumerate() {
        if index > 0 {
            html.push_str(if index % 2 == 1 { "<code>" } else { "</code>" });
        }
        html.push_str(&HtmlEscape(piece).to_string());
    }
    if text.matches('`').count() % 2 == 1 {
        html.push_str("</code>");
    }
    Value::from_safe_string(html)
}

/// Makes sure that every file in a folder of templates replaces one: a misspelt name would do nothing.
fn refuse_strangers(folder: &Path) -> Result<(), Failure> {
    let names = || BUILT_IN.iter().map(|&(name, _)| name);
    let mut found = walk(folder).into_iter().map(|found| found.name);
    match found.find(|found| names().all(|name| name != found)) {
        None => Ok(()),
        Some(stranger) => {
            let known: Vec<&str> = names().collect();
            let folder = folder.display();
            Err(
                Failure::new(format!("`{stranger}` in `{folder}` replaces no template")).help(
                    format!(
                        "rename it, or move it elsewhere; the templates are {}",
                        known.join(", ")
                    ),
                ),
            )
        }
    }
}

fn replacement(folder: Option<&Path>, name: &str) -> Result<Option<Vec<u8>>, Failure> {
    let Some(path) = folder
        .map(|folder| folder.join(name))
        .filter(|path| path.exists())
    else {
        return Ok(None);
    };
    read_bounded(&path, LARGEST).map(Some).map_err(|_| {
        Failure::new(format!("could not read the template `{}`", path.display()))
            .help("a template is a regular file of at most 1 MiB")
    })
}

#[cfg(test)]
mod tests {
    use super::{BUILT_IN, Templates};

    #[test]
    fn a_file_that_replaces_nothing_is_refused() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = |name: &str| std::fs::write(folder.path().join(name), "").expect("written");
        file("index.html");
        file(".index.html.swp");
        assert!(
            Templates::load(Some(folder.path())).is_ok(),
            "a template's name"
        );
        file("indx.html");
        let refused = Templates::load(Some(folder.path())).expect_err("no template's name");
        let said = refused.to_string();
        assert!(said.contains("`indx.html`"), "{said}");
    }

    #[test]
    fn every_template_is_built_in() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("templates");
        let mut found: Vec<String> = walkdir::WalkDir::new(&root)
            .into_iter()
            .filter_map(Result::ok)
            .filter(|entry| entry.file_type().is_file())
            .filter_map(|entry| Some(entry.path().strip_prefix(&root).ok()?.display().to_string()))
            .collect();
        found.sort();
        let listed: Vec<&str> = BUILT_IN.iter().map(|&(name, _)| name).collect();
        assert_eq!(found, listed, "the folder and the list");
    }
}

//! `gapbook rules`: what is checked, and why.

use gapbook::Failure;
use gapbook::lint::{self, Family, Rule, Severity, nearest_rule};
use gapbook::record::schema::Words as _;
use serde_json::{Value, json};

use super::output::{ADVICE, BOLD, ERROR, WARNING, width};
use super::text::markdown;
use super::{Form, Outcome, output};

/// Say what is checked, and why
///
/// Lists the rules by family; with a name, prints what that rule checks, why it matters, examples
/// that fail and pass, and what to do.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook rules                      every rule, a line each
  gapbook rules outside-outline      one rule in full
  gapbook rules --as json            one JSON object a line")]
pub(super) struct Options {
    /// A rule's name, as findings give it in brackets
    #[arg(value_name = "NAME")]
    name: Option<String>,

    /// Print text for people, or one JSON object a line
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    form: Form,
}

/// Prints the rules, or one of them.
pub(super) fn run(options: &Options) -> Result<Outcome, Failure> {
    let lines = match &options.name {
        None => list(options.form),
        Some(name) => page(lint::rule(name).ok_or_else(|| unknown(name))?, options.form),
    };
    output::print(|out| lines.iter().try_for_each(|line| writeln!(out, "{line}")))?;
    Ok(Outcome::Clean)
}

fn unknown(name: &str) -> Failure {
    let meant = nearest_rule(name);
    let meant = meant.map_or_else(String::new, |name| format!("; did you mean `{name}`?"));
    Failure::new(format!("there is no rule `{name}`{meant}")).help("`gapbook rules` lists them")
}

fn list(form: Form) -> Vec<String> {
    if form == Form::Json {
        return lint::ALL
            .iter()
            .map(|rule| facts(rule).to_string())
            .collect();
    }
    let longest = lint::ALL
        .iter()
        .map(|rule| rule.name.len())
        .max()
        .unwrap_or(0);
    let mut lines = Vec::new();
    for &family in Family::ALL {
        let of_family = lint::ALL.iter().filter(|rule| rule.family == family);
        let rows: Vec<String> = of_family
            .map(|rule| {
                let (name, severity) = (rule.name, rule.severity.word());
                format!("  {name:longest$}  {severity:7}  {}", rule.summary)
            })
            .collect();
        if !rows.is_empty() {
            lines.push(format!("{BOLD}{family}{BOLD:#}"));
            lines.extend(rows);
            lines.push(String::new());
        }
    }
    lines.push("`gapbook rules NAME` says why, with examples.".to_owned());
    lines
}

fn page(rule: &Rule, form: Form) -> Vec<String> {
    if form == Form::Json {
        let mut facts = facts(rule);
        facts["docs"] = rule.docs.into();
        return vec![facts.to_string()];
    }
    let style = match rule.severity {
        Severity::Error => ERROR,
        Severity::Warning => WARNING,
        Severity::Advice => ADVICE,
    };
    let (name, severity) = (rule.name, rule.severity);
    let mut lines = vec![
        format!("{BOLD}{name}{BOLD:#}: {}", rule.summary),
        format!("{style}{severity}{style:#}, {}", rule.family),
        String::new(),
    ];
    lines.extend(markdown::lines(rule.docs, width()));
    if !rule.is_fixed() {
        lines.push(String::new());
        lines.push(format!(
            "A book raises, lowers or drops it in its gapbook.toml: [rules] {name} = \"off\""
        ));
    }
    lines
}

fn facts(rule: &Rule) -> Value {
    json!({
        "name": rule.name,
        "family": rule.family,
        "severity": rule.severity,
        "fixed": rule.is_fixed(),
        "summary": rule.summary,
    })
}

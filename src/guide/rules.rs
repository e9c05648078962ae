//! The pages about the linter's rules: one a rule, and a list.

use minijinja::value::Value;
use pulldown_cmark::{Options, Parser};
use serde::Serialize;

use super::BookFacts;
use super::templates::Templates;
use crate::Failure;
use crate::lint::{ALL, Family, Rule, Severity};
use crate::record::schema::Words as _;

#[derive(Serialize)]
struct RuleView {
    name: &'static str,
    severity: Severity,
    family: Family,
    summary: &'static str,
    html: Value,
}

#[derive(Serialize)]
struct Context<'a> {
    book: &'a BookFacts,
    root: &'static str,
    families: Vec<(Family, Vec<&'a RuleView>)>,
    rule: Option<&'a RuleView>,
    previous: Option<&'a RuleView>,
    next: Option<&'a RuleView>,
}

/// Renders the list of rules and each rule's page.
pub(super) fn render(
    templates: &Templates,
    book: &BookFacts,
) -> Result<Vec<(String, String)>, Failure> {
    let views: Vec<RuleView> = ALL.iter().map(|rule| view(rule)).collect();
    let families = || {
        let of = |family: &Family| {
            let rules = views.iter().filter(|view| view.family == *family).collect();
            (*family, rules)
        };
        Family::ALL.iter().map(of).collect()
    };
    let context = |position: Option<usize>| Context {
        book,
        root: "../",
        families: families(),
        rule: position.map(|at| &views[at]),
        previous: position.and_then(|at| views.get(at.checked_sub(1)?)),
        next: position.and_then(|at| views.get(at + 1)),
    };
    let mut pages = vec![(
        "rules/index.html".to_owned(),
        templates.render("rules.html", context(None))?,
    )];
    for (position, view) in views.iter().enumerate() {
        let page = templates.render("rule.html", context(Some(position)))?;
        pages.push((format!("rules/{}.html", view.name), page));
    }
    Ok(pages)
}

fn view(rule: &Rule) -> RuleView {
    // The documentation is this program's own and needs no cleaning; each line has the space that
    // follows the comment's slashes.
    let lines: Vec<&str> = rule
        .docs
        .lines()
        .map(|line| line.strip_prefix(' ').unwrap_or(line))
        .collect();
    let mut html = String::new();
    pulldown_cmark::html::push_html(
        &mut html,
        Parser::new_ext(&lines.join("\n"), Options::empty()),
    );
    RuleView {
        name: rule.name,
        severity: rule.severity,
        family: rule.family,
        summary: rule.summary,
        html: Value::from_safe_string(html),
    }
}

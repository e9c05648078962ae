use serde_json::{Value, json};

use crate::book::Book;
use crate::lint::{Finding, Mark};
use crate::source::Spot;

/// Returns a finding as one line of JSON.
pub fn json_line(book: &Book, finding: &Finding) -> String {
    let places: Vec<Value> = finding.marks.iter().map(|mark| place(book, mark)).collect();
    json!({
        "rule": finding.rule.name,
        "severity": finding.severity,
        "message": finding.message,
        "help": finding.help,
        "places": places,
        "accepted": finding.accepted,
    })
    .to_string()
}

fn place(book: &Book, mark: &Mark) -> Value {
    let key = match &mark.place.spot {
        Spot::Value(path) | Spot::Key(path) => Some(path.to_string()),
        Spot::File | Spot::Bytes(..) => None,
    };
    json!({
        "file": book.file(mark.place.file).name,
        "line": mark.location.line,
        "column": mark.location.column,
        "key": key,
        "label": mark.label,
    })
}

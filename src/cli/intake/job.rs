//! A job's record from what was answered.

use gapbook::record::{Date, Job, SCHEMA_VERSION};
use toml::{Table, Value};

use super::Subject;
use super::question::Question;

/// Returns a job with nothing in it but who, when and which board.
pub(super) fn begun(subject: &Subject<'_>, date: Date, bench: &str) -> Job {
    let day: toml::value::Datetime = date
        .to_string()
        .parse()
        .expect("invariant: a day is written as TOML writes it");
    let head = [
        ("schema", Value::from(i64::from(SCHEMA_VERSION))),
        ("board", Value::from(subject.board.id())),
        ("date", Value::from(day)),
        ("bench", Value::from(bench)),
    ];
    let table: Table = head
        .map(|(key, value)| (key.to_owned(), value))
        .into_iter()
        .collect();
    table.try_into().expect("invariant: this much is a job")
}

/// Adds the answers to the questions that were answered.
pub(super) fn filled(begun: &Job, questions: &[Question], answers: &Table) -> Job {
    let mut table: Table = toml::from_str(&begun.written()).expect("invariant: a job is TOML");
    for question in questions {
        let typed = answers.get(&question.key).and_then(Value::as_str);
        let typed = typed.filter(|typed| !typed.is_empty());
        if let Some(Ok(value)) = typed.map(|typed| question.wanted.read(typed)) {
            // No id has a point in it: a record that names one otherwise is not read.
            let path: Vec<&str> = question.key.split('.').collect();
            put(&mut table, &path, value);
        }
    }
    table
        .try_into()
        .expect("invariant: every answer was read by what the record wants")
}

/// Puts a value at its key, which may lead into a table, or into the entry of a zone in a list.
fn put(table: &mut Table, path: &[&str], value: Value) {
    match (path, value) {
        (&[list, zone, _], Value::Table(keys)) => entry(table, list, zone).extend(keys),
        (&[list, zone, key], value) => {
            entry(table, list, zone).insert(key.to_owned(), value);
        }
        (&[inner, key], value) => {
            let inner = table.entry(inner).or_insert_with(|| Table::new().into());
            let inner = inner
                .as_table_mut()
                .expect("invariant: a table of the record");
            inner.insert(key.to_owned(), value);
        }
        (path, value) => {
            table.insert(path.concat(), value);
        }
    }
}

/// Returns a zone's entry in a list, made where there is none.
fn entry<'a>(table: &'a mut Table, list: &str, zone: &str) -> &'a mut Table {
    let entries = table
        .entry(list)
        .or_insert_with(|| Value::Array(Vec::new()));
    let entries = entries
        .as_array_mut()
        .expect("invariant: a list of the record");
    let is_of_zone = |entry: &Value| entry["zone"].as_str() == Some(zone);
    let at = entries.iter().position(is_of_zone).unwrap_or_else(|| {
        let zone = [("zone".to_owned(), Value::from(zone))];
        entries.push(Table::from_iter(zone).into());
        entries.len() - 1
    });
    entries[at]
        .as_table_mut()
        .expect("invariant: a list of tables")
}

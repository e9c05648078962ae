//! The schemas: what is committed, what the standard allows, and what they say of real records.

use std::path::{Path, PathBuf};

use gapbook::book::{Book, Role};
use gapbook::progress::Silent;
use gapbook::record::schema::Kind;
use serde_json::{Map, Value};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn committed(kind: Kind) -> PathBuf {
    root().join(format!("schema/{}.schema.json", kind.name()))
}

/// Turns TOML into JSON without this program's own reader.
fn json(value: toml::Value) -> Value {
    match value {
        toml::Value::String(text) => text.into(),
        toml::Value::Integer(number) => number.into(),
        toml::Value::Float(number) => number.into(),
        toml::Value::Boolean(truth) => truth.into(),
        toml::Value::Datetime(datetime) => datetime.to_string().into(),
        toml::Value::Array(items) => items.into_iter().map(json).collect(),
        toml::Value::Table(table) => {
            let entries = table.into_iter().map(|(key, value)| (key, json(value)));
            Value::Object(entries.collect::<Map<_, _>>())
        }
    }
}

fn record(text: &str) -> Value {
    json(toml::Value::Table(text.parse().expect("a record is TOML")))
}

/// Returns every record of the demo book with its kind.
fn demo() -> Vec<(Kind, PathBuf, String)> {
    let book = Book::load(&root().join("boards"), &Silent).expect("the demo book is there");
    let record = |file: &gapbook::book::SourceFile| match file.role {
        Role::Record(kind) => Some((kind, file.path.clone(), file.text.clone())),
        Role::Photo | Role::Stray => None,
    };
    book.files.iter().filter_map(record).collect()
}

#[test]
fn the_committed_schemas_are_the_generated_ones() {
    for kind in Kind::ALL {
        let written = std::fs::read(committed(kind)).expect("a schema for each kind");
        assert!(
            written == format!("{:#}\n", kind.schema()).into_bytes(),
            "schema/{}.schema.json is stale: run `gapbook schema`",
            kind.name()
        );
    }
}

#[test]
fn every_schema_is_valid_json_schema() {
    for kind in Kind::ALL {
        let schema = kind.schema();
        assert_eq!(
            schema["$schema"],
            "https://json-schema.org/draft/2020-12/schema",
            "{} names its draft",
            kind.name()
        );
        let verdict = jsonschema::meta::validate(&schema).map_err(|error| error.to_string());
        assert_eq!(verdict, Ok(()), "{} against the meta-schema", kind.name());
    }
}

#[test]
fn every_key_is_explained() {
    let mut silent = Vec::new();
    for kind in Kind::ALL {
        unexplained(&kind.schema(), kind.name(), &mut silent);
    }
    assert!(silent.is_empty(), "keys without hover text: {silent:?}");
}

fn unexplained(schema: &Value, path: &str, silent: &mut Vec<String>) {
    let tables = schema["properties"].as_object().into_iter().flatten();
    for (key, property) in tables {
        let path = format!("{path}.{key}");
        if property["description"].as_str().is_none_or(str::is_empty) {
            silent.push(path.clone());
        }
        unexplained(property, &path, silent);
    }
    for (name, definition) in schema["$defs"].as_object().into_iter().flatten() {
        unexplained(definition, &format!("{path}.{name}"), silent);
    }
}

#[test]
fn every_demo_record_validates() {
    let records = demo();
    assert!(records.len() > 50, "the demo book is there");
    for (kind, path, text) in records {
        let validator = jsonschema::draft202012::new(&kind.schema()).expect("a valid schema");
        let errors: Vec<String> = validator
            .iter_errors(&record(&text))
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", path.display());
    }
}

#[test]
fn every_demo_record_names_its_schema() {
    for (kind, path, text) in demo() {
        let first = text.lines().next().unwrap_or_default();
        let named = first.strip_prefix("#:schema ").unwrap_or_default();
        let folder = path.parent().unwrap_or(Path::new(""));
        let found = folder.join(named).canonicalize().ok();
        let expected = committed(kind).canonicalize().ok();
        assert!(expected.is_some(), "there is a schema for {}", kind.name());
        assert_eq!(found, expected, "{}: `{first}`", path.display());
    }
}

#[test]
fn what_is_wrong_does_not_validate() {
    let board = "schema = 1\n[board]\nid = \"osk-demo\"\nmaker = \"Osk\"\nmodel = \"Demo\"\n\
                 class = \"other\"\n";
    let validator = jsonschema::draft202012::new(&Kind::Board.schema()).expect("a valid schema");
    assert!(validator.is_valid(&record(board)), "the least a board says");
    let wrong = [
        ("colour = \"blue\"", "a key that there is not"),
        ("outline_mm = [100.0]", "one side of two"),
        ("outline_mm = \"100 x 60\"", "text for numbers"),
        ("heat_w = -5.0", "below its range"),
        ("revisions = [1]", "a number for text"),
        (
            "[[body]]\nid = \"A B\"\nkind = \"cooler\"\nside = \"front\"",
            "no kebab-case",
        ),
        (
            "[[body]]\nid = \"a\"\nkind = \"fridge\"\nside = \"front\"",
            "no such kind",
        ),
        ("[[body]]\nid = \"a\"\nkind = \"cooler\"", "no side"),
        (
            "[[part]]\nid = \"a\"\nkind = \"die\"\nside = \"front\"\nat = [[1, 1, 0, 5]]",
            "no width",
        ),
    ];
    for (text, why) in wrong {
        let text = format!("{board}{text}\n");
        assert!(!validator.is_valid(&record(&text)), "{why}: {text}");
    }
}

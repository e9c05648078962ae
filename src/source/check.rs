//! A record against its JSON Schema: the validator's errors become faults.
//!
//! Kept apart and free of generics, because the validator is compiled again wherever it is used.

use jsonschema::error::{TypeKind, ValidationErrorKind};
use serde_json::Value;

use super::{Fault, FaultKind, KeyPath, Spot, Step, Wanted};

/// A compiled schema.
#[derive(Debug)]
pub struct Validator {
    compiled: jsonschema::Validator,
    schema: Value,
}

/// Deepest reference to a reference that is followed; generated schemas have one.
const DEEPEST_REFERENCE: usize = 4;

impl Validator {
    /// Compiles a schema of this program's own.
    ///
    /// # Panics
    /// If the schema is not valid: it is generated, and a test holds it to the meta-schema.
    pub fn new(schema: Value) -> Self {
        let compiled = jsonschema::draft202012::new(&schema)
            .expect("invariant: generated schemas are valid JSON Schema");
        Self { compiled, schema }
    }

    /// Returns everything in a record that its schema does not allow, in the order it was written.
    pub fn faults(&self, record: &Value) -> Vec<Fault> {
        let mut faults = Vec::new();
        for error in self.compiled.iter_errors(record) {
            let path = KeyPath::from_pointer(error.instance_path().as_str());
            let known = || self.known_keys(error.schema_path().as_str());
            faults.extend(translate(error.kind(), path, error.instance(), known));
        }
        faults
    }

    /// Returns the type that a value must have, where the schema knows the key: "day" is a text that
    /// TOML has a type of its own for.
    pub(super) fn wanted_type(&self, path: &KeyPath) -> Option<&str> {
        let mut schema = &self.schema;
        for step in &path.0 {
            schema = match step {
                Step::Key(key) => schema.get("properties")?.get(&**key)?,
                Step::Index(_) => schema.get("items")?,
            };
            for _ in 0..DEEPEST_REFERENCE {
                let Some(reference) = schema.get("$ref").and_then(Value::as_str) else {
                    break;
                };
                schema = self.schema.pointer(reference.strip_prefix('#')?)?;
            }
        }
        if schema.get("format").is_some_and(|format| format == "date") {
            return Some("day");
        }
        schema.get("type")?.as_str()
    }

    /// Returns the keys that the table judged at a schema location may have.
    fn known_keys(&self, location: &str) -> Vec<String> {
        let table = location.rsplit_once('/').map_or("", |(table, _)| table);
        self.schema
            .pointer(table)
            .and_then(|table| table["properties"].as_object())
            .map(|properties| properties.keys().cloned().collect())
            .unwrap_or_default()
    }
}

fn translate(
    kind: &ValidationErrorKind,
    path: KeyPath,
    instance: &Value,
    known: impl Fn() -> Vec<String>,
) -> Vec<Fault> {
    let wanted = match kind {
        ValidationErrorKind::AdditionalProperties { unexpected } => {
            let known = known();
            let fault = |key: &String| Fault {
                spot: Spot::Key(path.then(key.as_str())),
                kind: FaultKind::UnknownKey {
                    key: key.clone(),
                    known: known.clone(),
                },
            };
            return unexpected.iter().map(fault).collect();
        }
        ValidationErrorKind::Required { property } => {
            let key = property.as_str().unwrap_or_default().to_owned();
            return vec![Fault::at_value(path, FaultKind::MissingKey(key))];
        }
        ValidationErrorKind::Type { kind } => Wanted::Type(type_names(kind)),
        ValidationErrorKind::Enum { options } => Wanted::Word(words(options)),
        ValidationErrorKind::Minimum { limit } => Wanted::AtLeast(number(limit)),
        ValidationErrorKind::ExclusiveMinimum { limit } => Wanted::MoreThan(number(limit)),
        ValidationErrorKind::Maximum { limit }
        | ValidationErrorKind::ExclusiveMaximum { limit } => Wanted::AtMost(number(limit)),
        ValidationErrorKind::MinItems { limit } | ValidationErrorKind::MinLength { limit } => {
            Wanted::Longer(*limit)
        }
        ValidationErrorKind::MaxItems { limit } | ValidationErrorKind::MaxLength { limit } => {
            Wanted::Shorter(*limit)
        }
        ValidationErrorKind::Pattern { pattern } => Wanted::Form(pattern.clone()),
        other => {
            return vec![Fault::at_value(
                path,
                FaultKind::Refused(format!("{other:?}")),
            )];
        }
    };
    vec![Fault::at_value(
        path,
        FaultKind::Unfit {
            found: shortened(instance),
            wanted,
        },
    )]
}

fn type_names(kind: &TypeKind) -> Vec<String> {
    match kind {
        TypeKind::Single(only) => vec![only.to_string()],
        TypeKind::Multiple(several) => several.iter().map(|one| one.to_string()).collect(),
    }
}

fn words(options: &Value) -> Vec<String> {
    let word = |option: &Value| {
        option
            .as_str()
            .map_or_else(|| option.to_string(), str::to_owned)
    };
    options
        .as_array()
        .map(|options| options.iter().map(word).collect())
        .unwrap_or_default()
}

fn number(limit: &Value) -> f64 {
    limit.as_f64().unwrap_or(f64::NAN)
}

/// Returns a value as one would write it, cut to a line.
pub(super) fn shortened(value: &Value) -> String {
    const MOST: usize = 60;
    let written = value.to_string();
    match written.char_indices().nth(MOST) {
        Some((cut, _)) => format!("{}…", &written[..cut]),
        None => written,
    }
}

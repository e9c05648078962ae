//! JSON Schemas (draft 2020-12) of the records, generated from their types.

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde_json::Value;

use super::{Board, Book, Job, Offcuts, Packages, Pads, Pastes};

/// A closed vocabulary: each value has one word, used in records, guides and JSON alike.
pub trait Words: Copy + 'static {
    /// Every value, in the order a person would list them.
    const ALL: &'static [Self];

    /// Returns the value's word.
    fn word(self) -> &'static str;
}

/// Declares a [`Words`] enum whose doc comments become the schema's hover text.
macro_rules! words {
    ($(#[$meta:meta])* $vis:vis enum $name:ident {
        $($(#[doc = $doc:literal])+ $variant:ident = $word:literal,)+
    }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
        $vis enum $name {
            $($(#[doc = $doc])+ #[serde(rename = $word)] $variant,)+
        }

        impl Words for $name {
            const ALL: &'static [Self] = &[$(Self::$variant),+];

            fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({
                    "type": "string",
                    "enum": [$($word),+],
                    "enumDescriptions": [$(concat!($($doc),+).trim()),+],
                })
            }
        }
    };
}
pub(crate) use words;

/// The kinds of record, each with a schema of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// `gapbook.toml`.
    Book,
    /// `stock/pads.toml`.
    Pads,
    /// `stock/offcuts.toml`.
    Offcuts,
    /// `stock/pastes.toml`.
    Pastes,
    /// `stock/packages.toml`.
    Packages,
    /// `<maker>/<board>/board.toml`.
    Board,
    /// `<maker>/<board>/jobs/*.toml`.
    Job,
}

impl Kind {
    /// Every kind of record.
    pub const ALL: [Self; 7] = [
        Self::Book,
        Self::Pads,
        Self::Offcuts,
        Self::Pastes,
        Self::Packages,
        Self::Board,
        Self::Job,
    ];

    /// Returns the kind's name, as in `board.schema.json`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Book => "book",
            Self::Pads => "pads",
            Self::Offcuts => "offcuts",
            Self::Pastes => "pastes",
            Self::Packages => "packages",
            Self::Board => "board",
            Self::Job => "job",
        }
    }

    /// Returns the kind's JSON Schema.
    pub fn schema(self) -> Value {
        match self {
            Self::Book => of::<Book>(),
            Self::Pads => of::<Pads>(),
            Self::Offcuts => of::<Offcuts>(),
            Self::Pastes => of::<Pastes>(),
            Self::Packages => of::<Packages>(),
            Self::Board => of::<Board>(),
            Self::Job => of::<Job>(),
        }
    }
}

/// Returns the least and the greatest that a number of a record may be, of a type that its schema defines:
/// `("Temperatures", "die_c")`. Of a list it is what each of its numbers may be.
pub fn range(schema: &Value, definition: &str, key: &str) -> Option<[f64; 2]> {
    let keyed = &schema["$defs"][definition]["properties"][key];
    let number = keyed.get("items").unwrap_or(keyed);
    Some([number["minimum"].as_f64()?, number["maximum"].as_f64()?])
}

/// Returns the most characters of a text, or entries of a list, that a key of a record may have: of a type
/// that its schema defines, or without one of the record itself.
pub fn most(schema: &Value, definition: Option<&str>, key: &str) -> Option<usize> {
    let table = definition.map_or(schema, |definition| &schema["$defs"][definition]);
    let keyed = &table["properties"][key];
    let most = keyed["maxLength"].as_u64().or(keyed["maxItems"].as_u64());
    most.and_then(|most| usize::try_from(most).ok())
}

/// Returns the JSON Schema of a type that is read from TOML, which knows no `null`.
fn of<T: JsonSchema>() -> Value {
    let transform = RecursiveTransform(without_null);
    let settings = SchemaSettings::draft2020_12().with_transform(transform);
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    without_null(&mut schema);
    schema.to_value()
}

/// Returns the JSON Schema of a type that is written as JSON; `null` is "not known".
pub fn of_json<T: JsonSchema>() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    settings
        .into_generator()
        .into_root_schema_for::<T>()
        .to_value()
}

/// Drops what TOML has no use for: `null` as a type, and the formats of numbers.
fn without_null(schema: &mut Schema) {
    let Some(object) = schema.as_object_mut() else {
        return;
    };
    if let Some(Value::Array(types)) = object.get_mut("type") {
        types.retain(|word| word != "null");
        if let [only] = &types[..] {
            let only = only.clone();
            object.insert("type".into(), only);
        }
    }
    if object.get("format").is_some_and(|format| format != "date") {
        object.remove("format");
    }
    if object.get("default").is_some_and(Value::is_null) {
        object.remove("default");
    }
    if let Some(Value::Array(choices)) = object.remove("anyOf") {
        let mut choices: Vec<Value> = choices
            .into_iter()
            .filter(|choice| choice["type"] != "null")
            .collect();
        match (choices.len(), choices.pop()) {
            (1, Some(Value::Object(only))) => object.extend(only),
            (_, Some(last)) => {
                choices.push(last);
                object.insert("anyOf".into(), choices.into());
            }
            (_, None) => {}
        }
    }
}

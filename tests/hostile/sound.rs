//! A small sound book in which every key of every record is used, to be made hostile key by key.

use serde_json::Value;

use gapbook::record::schema::Kind;

/// A board that says everything a board can say, and nothing that cannot be true.
const BOARD: &str = r#"
schema = 1
[board]
id = "osk-demo"
maker = "Osk"
model = "Demo"
class = "graphics"
markings = ["DEMO-1"]
revisions = ["A"]
outline_mm = [100.0, 60.0]
thickness_mm = 1.6
heat_w = 90.0
[limits]
die_c = 90.0
hotspot_c = 105.0
memory_c = 95.0
source = "the maker's table"
[[body]]
id = "cooler"
name = "cooler"
kind = "cooler"
side = "front"
seats = { on = "standoffs", height_mm = 3.0, tolerance_mm = 0.1 }
mass_g = 300.0
thickness_mm = 5.0
at = [[5.0, 5.0, 80.0, 50.0]]
only = ["A"]
[[body]]
id = "shroud"
name = "shroud"
kind = "shroud"
side = "front"
part_of = "cooler"
[[body]]
id = "label"
name = "label"
kind = "label"
side = "front"
over = ["cooler"]
[[part]]
id = "mem"
name = "memory"
kind = "memory"
side = "front"
at = [[20.0, 20.0, 12.0, 14.0], [50.0, 20.0, 12.0, 14.0]]
height_mm = 1.1
tolerance_mm = 0.1
package = "fbga-180"
heat_w = 2.0
only = ["A"]
[[zone]]
id = "mem"
name = "memory pads"
between = ["mem", "cooler"]
pad_mm = 2.0
pad = "soft"
recess_mm = 0.0
recess_tolerance_mm = 0.1
removal = "rolls-off"
at = [[20.0, 20.0, 12.0, 14.0], [50.0, 20.0, 12.0, 14.0]]
strip = true
only = ["A"]
[[fasteners]]
id = "screws"
name = "cooler screws"
kind = "screw"
thread = "M2.5"
length_mm = 8.0
drive = "PH1"
from = "back"
at = [[10.0, 50.0], [80.0, 10.0]]
holds = ["cooler", "pcb"]
under = ["label"]
sprung = true
captive = true
clamp_n = 40.0
bottoms_mm = 1.2
engages = "brass"
class = "8.8"
torque_nm = 0.4
only = ["A"]
[[connector]]
id = "fan"
name = "fan plug"
kind = "fan"
side = "front"
at = [95.0, 30.0]
ties = "cooler"
latch = "friction"
slack_mm = 30.0
only = ["A"]
[[keepout]]
side = "front"
at = [[70.0, 40.0, 4.0, 4.0]]
why = "small capacitors"
[[note]]
on = "cooler"
when = "open"
kind = "caution"
text = "Twist before you lift."
[[note]]
on = "board"
when = "fit"
kind = "tip"
text = "Warm it."
[[accept]]
rule = "stray-file"
at = "board"
why = "it is meant to be there"
[[photo]]
file = "front.png"
on = "board"
when = "open"
text = "The front."
"#;

/// A job that says everything a job can say.
const JOB: &str = r#"
schema = 1
board = "osk-demo"
date = 2026-01-02
bench = "bench-1"
revision = "A"
reason = "it ran hot"
paste = "grey"
ended = "well"
note = "It came off *easily*."
[instrument]
kind = "caliper"
resolution_mm = 0.01
max_error_mm = 0.02
[before]
ambient_c = 22.0
heat_w = 90.0
die_c = 85.0
hotspot_c = 99.0
memory_c = 90.0
fan_rpm = 2000.0
throttling = true
crashing = false
symptoms = ["dusty"]
[[reading]]
zone = "mem"
edge_mm = [2.0, 2.02]
imprint_mm = [1.9]
[[fitted]]
zone = "mem"
pad_mm = 1.75
pad = "soft"
why = "it was in stock"
[after]
ambient_c = 22.0
heat_w = 90.0
die_c = 70.0
hotspot_c = 82.0
memory_c = 70.0
fan_rpm = 1500.0
throttling = false
crashing = false
symptoms = ["dusty"]
"#;

const PADS: &str = r#"
schema = 1
[[pad]]
id = "soft"
name = "Soft"
maker = "Sample"
conductivity_w_mk = 6.0
thickness_mm = [1.0, 1.75, 2.0]
thickness_tolerance = 0.1
sheet_mm = [100.0, 100.0]
directional = true
deflection = [{ strain = 0.1, pressure_kpa = 50.0 }, { strain = 0.3, pressure_kpa = 300.0 }]
relaxed = 0.6
max_strain = 0.6
rebound = 0.1
source = "made up"
"#;

const OFFCUTS: &str = r#"
schema = 1
[[offcut]]
pad = "soft"
thickness_mm = 2.0
size_mm = [60.0, 40.0]
"#;

const PASTES: &str = r#"
schema = 1
[[paste]]
id = "grey"
name = "Grey"
maker = "Sample"
conductivity_w_mk = 6.0
yield_pa = 100.0
conductive = false
source = "made up"
"#;

const PACKAGES: &str = r#"
schema = 1
[[package]]
id = "fbga-180"
name = "memory"
height_mm = 1.1
tolerance_mm = 0.1
source = "made up"
"#;

const BOOK: &str = r#"
schema = 1
[book]
title = "Test"
publisher = "Bench"
licence = "CC0-1.0"
about = "What *we* measured."
[rules]
near-twin-boards = "off"
shared-marking = "off"
[thresholds]
floating = 0.04
light = 0.1
hard = 0.35
crushed = 0.5
least_die_kpa = 60.0
greatest_die_kpa = 900.0
greatest_bond_um = 90.0
usual_die_kpa = 250.0
[cutting]
blade_mm = 0.3
keep_mm = 12.0
"#;

/// Returns the sound record of a kind.
pub(crate) fn record(kind: Kind) -> toml::Value {
    let text = match kind {
        Kind::Book => BOOK,
        Kind::Pads => PADS,
        Kind::Offcuts => OFFCUTS,
        Kind::Pastes => PASTES,
        Kind::Packages => PACKAGES,
        Kind::Board => BOARD,
        Kind::Job => JOB,
    };
    toml::Value::Table(text.parse().expect("TOML"))
}

/// What a key of a record may hold, by its schema.
pub(crate) struct Key<'a> {
    /// The keys down to it, without positions: `board.maker`.
    pub(crate) path: String,
    /// Its schema.
    pub(crate) schema: &'a Value,
}

/// Visits every single value of a record with its schema, and may change it.
///
/// # Panics
/// If the schema has a key that the record has not: it is to be added above.
pub(crate) fn visit(
    kind: Kind,
    record: &mut toml::Value,
    change: &mut dyn FnMut(&Key<'_>, &mut toml::Value),
) {
    let root = kind.schema();
    Walk {
        root: &root,
        change,
    }
    .value(&root, kind.name(), record);
}

struct Walk<'a> {
    root: &'a Value,
    change: &'a mut dyn FnMut(&Key<'_>, &mut toml::Value),
}

impl Walk<'_> {
    fn value(&mut self, schema: &Value, path: &str, value: &mut toml::Value) {
        let root = self.root;
        let schema = match schema["$ref"].as_str() {
            Some(name) => root.pointer(&name[1..]).expect("a definition"),
            None => schema,
        };
        match value {
            toml::Value::Table(table) => self.table(schema, path, table),
            toml::Value::Array(items) => {
                for (index, item) in items.iter_mut().enumerate() {
                    let of_item = schema["prefixItems"].get(index).unwrap_or(&schema["items"]);
                    self.value(of_item, path, item);
                }
            }
            single => (self.change)(
                &Key {
                    path: path.to_owned(),
                    schema,
                },
                single,
            ),
        }
    }

    fn table(&mut self, schema: &Value, path: &str, table: &mut toml::Table) {
        let properties = schema["properties"].as_object().into_iter().flatten();
        for (key, of_key) in properties {
            let path = format!("{path}.{key}");
            // Of several things of a kind, one at least says everything.
            if let Some(value) = table.get_mut(key) {
                self.value(of_key, &path, value);
            }
        }
    }
}

/// Returns every key of a kind of record that holds a single value, by its schema alone.
pub(crate) fn keys_of(kind: Kind) -> Vec<String> {
    fn walk(root: &Value, schema: &Value, path: &str, keys: &mut Vec<String>) {
        let schema = match schema["$ref"].as_str() {
            Some(name) => root.pointer(&name[1..]).expect("a definition"),
            None => schema,
        };
        let properties = schema["properties"].as_object().into_iter().flatten();
        for (key, of_key) in properties {
            walk(root, of_key, &format!("{path}.{key}"), keys);
        }
        match (&schema["prefixItems"], &schema["items"]) {
            (Value::Array(items), _) => walk(root, &items[0], path, keys),
            (_, items @ Value::Object(_)) => walk(root, items, path, keys),
            _ if schema["type"] != "object" => keys.push(path.to_owned()),
            _ => {}
        }
    }
    let (root, mut keys) = (kind.schema(), Vec::new());
    walk(&root, &root, kind.name(), &mut keys);
    keys
}

#[test]
fn the_sound_records_use_every_key() {
    for kind in Kind::ALL {
        let mut used = std::collections::BTreeSet::new();
        visit(kind, &mut record(kind), &mut |key, _| {
            used.insert(key.path.clone());
        });
        let unused: Vec<String> = keys_of(kind)
            .into_iter()
            .filter(|key| !used.contains(key))
            .collect();
        assert!(
            unused.is_empty(),
            "add to the sound {}: {unused:?}",
            kind.name()
        );
    }
}

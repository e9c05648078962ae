//! Seeded faults in the demo book: how many the linter catches, and what it says of harmless changes.
//!
//! One value of one board is changed at a time, in the order of the record. A fault is caught where
//! the linter has an error or a warning that it does not have for the clean book.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use gapbook::book::Book;
use gapbook::lint::{Severity, lint};
use gapbook::progress::Silent;
use toml::{Table, Value};

/// One board of the demo book: its folder below the root, and its record.
struct Demo {
    folder: PathBuf,
    record: Table,
}

/// What was done to one kind of value.
#[derive(Default)]
struct Tally {
    caught: usize,
    seeded: usize,
}

fn boards() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("boards")
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("made");
    for entry in std::fs::read_dir(from).expect("a folder") {
        let entry = entry.expect("readable");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).expect("copied");
        }
    }
}

fn demos() -> Vec<Demo> {
    let book = Book::load(&boards(), &Silent).expect("the book is there");
    let demo = |folder: &String| {
        let path = boards().join(folder).join("board.toml");
        let text = std::fs::read_to_string(path).expect("a record");
        Demo {
            folder: folder.into(),
            record: text.parse().expect("TOML"),
        }
    };
    book.boards
        .iter()
        .map(|board| demo(&board.folder))
        .collect()
}

impl Demo {
    /// Returns the errors and warnings for a record in place of this one, its jobs and the stock as
    /// they are.
    fn found(&self, record: &Table) -> BTreeSet<(&'static str, String)> {
        let root = tempfile::tempdir().expect("a folder");
        std::fs::copy(
            boards().join("gapbook.toml"),
            root.path().join("gapbook.toml"),
        )
        .expect("copied");
        copy(&boards().join("stock"), &root.path().join("stock"));
        let folder = root.path().join(&self.folder);
        copy(&boards().join(&self.folder), &folder);
        std::fs::write(folder.join("board.toml"), record.to_string()).expect("written");
        let book = Book::load(root.path(), &Silent).expect("the folder is there");
        let grave = |severity| severity != Severity::Advice;
        lint(&book, &Silent)
            .open()
            .filter(|finding| grave(finding.severity))
            .map(|finding| (finding.rule.name, finding.message.clone()))
            .collect()
    }

    /// Counts what is found when each change is made to the record alone.
    fn count(&self, changed: &[Table]) -> Tally {
        let clean = self.found(&self.record);
        let is_caught = |record: &Table| self.found(record).iter().any(|one| !clean.contains(one));
        Tally {
            seeded: changed.len(),
            caught: changed.iter().filter(|record| is_caught(record)).count(),
        }
    }

    /// Returns the record with one value of a list of tables changed, once for each item that has it.
    fn with(&self, list: &str, key: &str, change: impl Fn(f64) -> f64) -> Vec<Table> {
        self.each(list, |item| {
            let old = item.get(key)?.as_float()?;
            item.insert(key.into(), Value::Float(change(old)));
            Some(())
        })
    }

    /// Returns the record changed once for each item of a list, where the change applies.
    fn each(&self, list: &str, change: impl Fn(&mut Table) -> Option<()>) -> Vec<Table> {
        let count = self
            .record
            .get(list)
            .and_then(Value::as_array)
            .map_or(0, Vec::len);
        let one = |index: usize| {
            let mut record = self.record.clone();
            let item = record.get_mut(list)?.as_array_mut()?.get_mut(index)?;
            change(item.as_table_mut()?)?;
            Some(record)
        };
        (0..count).filter_map(one).collect()
    }

    /// Returns the record with these values of two items of a list exchanged, once for each pair that
    /// has them and differs.
    fn exchanged(&self, list: &str, keys: &[&str]) -> Vec<Table> {
        let items = self.record.get(list).and_then(Value::as_array);
        let count = items.map_or(0, Vec::len);
        let pairs = (0..count).flat_map(|one| (one + 1..count).map(move |other| (one, other)));
        let swap = |(one, other): (usize, usize)| {
            let mut record = self.record.clone();
            let items = record.get_mut(list)?.as_array_mut()?;
            let of = |item: &Value| -> Option<Vec<Value>> {
                keys.iter().map(|key| item.get(key).cloned()).collect()
            };
            let (left, right) = (of(&items[one])?, of(&items[other])?);
            if left == right {
                return None;
            }
            for (index, values) in [(one, right), (other, left)] {
                let item = items[index].as_table_mut()?;
                for (key, value) in keys.iter().zip(values) {
                    item.insert((*key).into(), value);
                }
            }
            Some(record)
        };
        pairs.filter_map(swap).collect()
    }

    /// Returns the record without one key of a list's items, once for each item that has it.
    fn without(&self, list: &str, key: &str) -> Vec<Table> {
        self.each(list, |item| item.remove(key).map(|_| ()))
    }
}

/// Takes the standoffs' height for none: bodies lie lower by nearly all of it.
fn without_standoff(item: &mut Table) -> Option<()> {
    let seats = item.get_mut("seats")?.as_table_mut()?;
    seats.get("height_mm")?;
    seats.insert("height_mm".into(), Value::Float(0.1));
    Some(())
}

/// A kind of change: its name, how many of a hundred must be caught at least and at most, the change.
type Kind = (&'static str, usize, usize, fn(&Demo) -> Vec<Table>);

const KINDS: &[Kind] = &[
    ("thickness 0.5 mm more", 85, 100, |it| {
        it.with("zone", "pad_mm", |old| old + 0.5)
    }),
    ("thickness 0.5 mm less", 85, 100, |it| {
        it.with("zone", "pad_mm", |old| (old - 0.5).max(0.25))
    }),
    ("thickness 1 mm more", 85, 100, |it| {
        it.with("zone", "pad_mm", |old| old + 1.0)
    }),
    ("thickness 1 mm less", 85, 100, |it| {
        it.with("zone", "pad_mm", |old| (old - 1.0).max(0.25))
    }),
    ("recess with its sign turned", 75, 100, |it| {
        it.each("zone", |zone| {
            let old = zone
                .get("recess_mm")?
                .as_float()
                .filter(|old| *old != 0.0)?;
            zone.insert("recess_mm".into(), Value::Float(-old));
            Some(())
        })
    }),
    ("part height in inches", 90, 100, |it| {
        it.with("part", "height_mm", |old| old / 25.4)
    }),
    ("part height in mils", 95, 100, |it| {
        it.with("part", "height_mm", |old| old / 0.0254)
    }),
    ("standoff forgotten", 95, 100, |it| {
        it.each("body", without_standoff)
    }),
    ("two zones' pads exchanged", 95, 100, |it| {
        it.exchanged("zone", &["pad_mm"])
    }),
    ("hidden screws' cover forgotten", 75, 100, |it| {
        it.without("fasteners", "under")
    }),
    ("two groups' screws exchanged", 50, 100, |it| {
        it.exchanged("fasteners", &["thread", "length_mm", "drive"])
    }),
    ("two groups' holds exchanged", 80, 100, |it| {
        it.exchanged("fasteners", &["holds"])
    }),
    ("cable tied to nothing", 95, 100, |it| {
        it.without("connector", "ties")
    }),
    ("screw length doubled", 20, 100, |it| {
        it.with("fasteners", "length_mm", |old| 2.0 * old)
    }),
    ("torque in newton centimetres", 95, 100, |it| {
        it.with("fasteners", "torque_nm", |old| 100.0 * old)
    }),
    ("harmless: another note", 0, 0, |it| {
        it.each("note", |note| {
            note.insert("text".into(), "Mind the cable.".into())
                .map(|_| ())
        })
    }),
    ("harmless: recess 0.02 mm more", 0, 0, |it| {
        it.with("zone", "recess_mm", |old| old + 0.02)
    }),
    ("harmless: recess 0.02 mm less", 0, 0, |it| {
        it.with("zone", "recess_mm", |old| old - 0.02)
    }),
    ("harmless: height 0.02 mm more", 0, 0, |it| {
        it.with("part", "height_mm", |old| old + 0.02)
    }),
    ("harmless: height 0.02 mm less", 0, 0, |it| {
        it.with("part", "height_mm", |old| old - 0.02)
    }),
];

#[test]
#[expect(clippy::print_stdout, reason = "the table is for a person")]
fn seeded_faults_are_caught_and_harmless_changes_are_not() {
    let demos = demos();
    let mut wrong = Vec::new();
    println!("{:32} {:>7} {:>7}", "change", "made", "found");
    for (name, least, most, change) in KINDS {
        let mut all = Tally::default();
        for demo in &demos {
            let tally = demo.count(&change(demo));
            all.caught += tally.caught;
            all.seeded += tally.seeded;
        }
        println!("{name:32} {:7} {:7}", all.seeded, all.caught);
        let percent = 100 * all.caught;
        if all.seeded == 0 || percent < least * all.seeded || percent > most * all.seeded {
            wrong.push(*name);
        }
    }
    assert!(wrong.is_empty(), "not as many as they should be: {wrong:?}");
}

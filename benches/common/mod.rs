//! Believable books of any size, the same for the same seed.

use std::path::Path;

use minijinja::{Environment, context};

/// A small generator of random numbers (`SplitMix64`; Steele, Lea and Flood 2014), so that a book is
/// the same on every machine.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// Returns a number from `low` to `high`, in steps of a tenth.
    fn tenths(&mut self, low: f64, high: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        ((low + share * (high - low)) * 10.0).round() / 10.0
    }

    fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[self.next() as usize % choices.len()]
    }

    /// Returns three readings about a thickness, mm, scattered like a caliper's, and fine enough that no two
    /// jobs have the same by chance.
    fn readings(&mut self, mm: f64) -> Vec<f64> {
        let scattered = |_| ((mm + self.tenths(-30.0, 30.0) * 0.001) * 1e4).round() / 1e4;
        (0..3).map(scattered).collect()
    }
}

/// The demo book's own stock stands in every generated book.
const STOCK: [(&str, &str); 4] = [
    ("gapbook.toml", include_str!("../../boards/gapbook.toml")),
    (
        "stock/pads.toml",
        include_str!("../../boards/stock/pads.toml"),
    ),
    (
        "stock/pastes.toml",
        include_str!("../../boards/stock/pastes.toml"),
    ),
    (
        "stock/packages.toml",
        include_str!("../../boards/stock/packages.toml"),
    ),
];

/// Boards a maker has: 10,000 boards come from a hundred makers.
const BOARDS_A_MAKER: usize = 100;

/// Writes a book of `boards` graphics boards, each with three jobs.
pub(crate) fn write_book(root: &Path, boards: usize) {
    for (name, text) in STOCK {
        write(&root.join(name), text);
    }
    let mut templates = Environment::new();
    for (name, text) in [
        ("board", include_str!("board.toml.jinja")),
        ("job", include_str!("job.toml.jinja")),
    ] {
        templates.add_template(name, text).expect("compiles");
    }
    for number in 0..boards {
        write_board(root, &templates, number);
    }
}

fn write_board(root: &Path, templates: &Environment<'_>, number: usize) {
    let mut dice = Dice(number as u64);
    let maker = format!("maker{}", number / BOARDS_A_MAKER);
    let model = format!("model{}", number % BOARDS_A_MAKER);
    let id = format!("{maker}-{model}");
    let folder = root.join(&maker).join(&model);
    let (width, height) = (dice.tenths(200.0, 300.0), dice.tenths(100.0, 130.0));
    let memory_mm = dice.one_of(&[1.0, 1.5, 2.0]);
    let board = context! {
        id => &id, maker, model, width, height, memory_mm,
        marking => format!("GB-{number:06}"),
        column => dice.tenths(14.0, 24.0),
        pitch => dice.tenths(10.0, 12.5),
        memory_pitch => dice.tenths(16.0, 19.0),
        x => (width / 2.0).round() + dice.tenths(0.0, 20.0),
        y => (height / 2.0).round(),
        die_width => dice.tenths(20.0, 28.0),
        die_height => dice.tenths(18.0, 26.0),
    };
    let render = |name: &str, context| {
        templates
            .get_template(name)
            .and_then(|template| template.render(context))
            .expect("renders")
    };
    write(&folder.join("board.toml"), &render("board", board));
    for (day, bench) in [(1, "quay-1"), (2, "loft-2"), (3, "yard-3")] {
        let zones: Vec<_> = [
            ("mem", memory_mm, memory_mm * 0.8),
            ("vrm", 3.0, 2.45),
            ("coils", 1.5, 1.24),
        ]
        .map(|(id, pad_mm, gap_mm)| {
            context! { id, pad_mm, edge => dice.readings(pad_mm), imprint => dice.readings(gap_mm) }
        })
        .to_vec();
        let job = context! { id => &id, day, bench, zones, before => dice.tenths(82.0, 90.0) };
        write(
            &folder.join(format!("jobs/2026-01-0{day}-{bench}.toml")),
            &render("job", job),
        );
    }
}

fn write(path: &Path, text: &str) {
    std::fs::create_dir_all(path.parent().expect("in a folder")).expect("made");
    std::fs::write(path, text).expect("written");
}

//! One cooler on a die and many pads: how long it takes to say where it comes to rest, and what other
//! pads would do.

use divan::{Bencher, black_box};
use gapbook::record::Thresholds;
use gapbook::stack::{
    Assembly, Cooler, Die, DieVerdict, Faces, Fitted, Gap, Law, Material, PadCurve, PadLaw, Paste,
    PasteLaw, Problem, Screw, Support, Tolerances, ZoneTolerance,
};
use gapbook::units::{Point, Rect};

fn main() {
    divan::main();
}

/// Returns a die at the origin among pads of a few thicknesses, under four uneven screws.
fn board(curve: &PadCurve, pads: u16) -> Problem<'_> {
    let die = Support {
        place: Rect {
            x: -12.0,
            y: -15.0,
            width: 24.0,
            height: 30.0,
        },
        face_mm: 2.4,
        law: Law::Paste(PasteLaw::new(100.0).expect("positive")),
    };
    let rows = pads.div_ceil(8);
    let pads = (0..pads).map(|index| {
        let (column, row) = (f64::from(index % 8), f64::from(index / 8));
        let thickness_mm = [1.0, 1.5, 2.0][usize::from(index % 3)];
        let lowest = -8.0 * f64::from(rows);
        Support {
            place: Rect {
                x: 14.0 * column - 55.0,
                y: 16.0 * row + lowest,
                width: 12.0,
                height: 14.0,
            },
            face_mm: 2.42 - 0.88 * thickness_mm,
            law: Law::Pad(PadLaw::new(curve, thickness_mm).expect("positive")),
        }
    });
    let screw = |x, y, share| Screw {
        at: Point { x, y },
        force_n: share * (40.0 + 4.0 * f64::from(rows) * 8.0),
    };
    Problem {
        origin: Point { x: 0.0, y: 0.0 },
        supports: std::iter::once(die).chain(pads).collect(),
        screws: vec![
            screw(-30.0, -30.0, 0.30),
            screw(30.0, -30.0, 0.28),
            screw(30.0, 30.0, 0.31),
            screw(-30.0, 30.0, 0.29),
        ],
        stops: Vec::new(),
    }
}

#[divan::bench(args = [40, 400, 10_000])]
fn pieces(bencher: Bencher<'_, '_>, pads: u16) {
    let table = [
        [0.1, 20.0],
        [0.2, 48.0],
        [0.3, 95.0],
        [0.4, 180.0],
        [0.5, 340.0],
    ];
    let curve = PadCurve::new(&table).expect("rises");
    let problem = board(&curve, pads);
    problem.solve().expect("balances");
    bencher.bench_local(|| black_box(&problem).solve());
}

/// A card of seven zones: a die, memory on three sides of it, two columns of stages beside coils, on
/// six screws; nothing about it is symmetric.
struct Card {
    assembly: Assembly,
    materials: Vec<Material>,
    pads_mm: Vec<f64>,
    tolerances: Tolerances,
}

/// Pads of one zone: how many in a column, the lowest one's place, the pitch, and the gap.
struct Column {
    pieces: u16,
    at: [f64; 4],
    pitch: [f64; 2],
    gap_mm: f64,
    pad_mm: f64,
}

fn material(kpa_at_a_fifth: f64, conductivity: f64) -> Material {
    let table = [
        [0.1, 0.4 * kpa_at_a_fifth],
        [0.2, kpa_at_a_fifth],
        [0.3, 2.0 * kpa_at_a_fifth],
        [0.5, 7.0 * kpa_at_a_fifth],
    ];
    Material {
        curve: PadCurve::new(&table).expect("rises"),
        conductivity_w_mk: Some(conductivity),
        max_strain: None,
        relaxed: 0.5,
    }
}

fn card() -> Card {
    let column = |pieces, at, pitch, gap_mm, pad_mm| Column {
        pieces,
        at,
        pitch,
        gap_mm,
        pad_mm,
    };
    let columns = [
        column(3, [-42.0, -26.0, 14.0, 12.0], [0.0, 18.0], 1.58, 2.0),
        column(3, [28.0, -26.0, 14.0, 12.0], [0.0, 18.0], 1.58, 2.0),
        column(2, [-16.0, 24.0, 12.0, 14.0], [18.0, 0.0], 1.55, 2.0),
        column(7, [58.0, -38.0, 6.0, 5.0], [0.0, 10.5], 0.82, 1.0),
        column(7, [70.0, -38.0, 9.0, 9.0], [0.0, 10.5], 2.35, 3.0),
        column(5, [-62.0, -30.0, 6.0, 5.0], [0.0, 11.0], 0.82, 1.0),
        column(4, [-75.0, -28.0, 9.0, 9.0], [0.0, 12.0], 2.35, 3.0),
    ];
    let zone = |column: &Column| Gap {
        pieces: (0..column.pieces)
            .map(|piece| {
                let [x, y, width, height] = column.at;
                let (right, up) = (column.pitch[0], column.pitch[1]);
                let piece = f64::from(piece);
                Rect::from([x + piece * right, y + piece * up, width, height])
            })
            .collect(),
        faces: Faces::OnCooler {
            near_mm: 1.2,
            recess_mm: column.gap_mm + 1.2 - 2.44,
        },
        heat_w: Some(2.0),
    };
    let screw = |x, y, force_n| Screw {
        at: Point { x, y },
        force_n,
    };
    let off = ZoneTolerance {
        near_mm: 0.05,
        far_mm: 0.05,
        pad_mm: 0.1,
    };
    Card {
        assembly: Assembly {
            cooler: Some(Cooler::Drawn {
                origin: Point { x: 0.0, y: 0.0 },
                screws: vec![
                    screw(-30.0, -30.0, 52.0),
                    screw(30.0, -30.0, 50.0),
                    screw(30.0, 30.0, 51.0),
                    screw(-30.0, 30.0, 49.0),
                    screw(66.0, 0.0, 22.0),
                    screw(-68.0, 0.0, 18.0),
                ],
                stops: Vec::new(),
            }),
            dies: vec![Die {
                place: Rect::from([-12.0, -15.0, 24.0, 30.0]),
                height_mm: 2.4,
                heat_w: Some(200.0),
            }],
            zones: columns.iter().map(zone).collect(),
            paste: Paste {
                law: PasteLaw::new(100.0).expect("positive"),
                conductivity_w_mk: 4.0,
            },
            thresholds: Thresholds::default(),
        },
        materials: vec![
            material(40.0, 3.0),
            material(60.0, 6.0),
            material(110.0, 8.0),
            material(200.0, 12.0),
        ],
        pads_mm: columns.iter().map(|column| column.pad_mm).collect(),
        tolerances: Tolerances {
            dies_mm: vec![0.05],
            cooler_mm: 0.0,
            zones: vec![off; columns.len()],
        },
    }
}

const STOCKED_MM: [f64; 8] = [0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0];

impl Card {
    fn fitted(&self) -> Vec<Option<Fitted<'_>>> {
        let material = &self.materials[1];
        let pads = self.pads_mm.iter().map(|&thickness_mm| {
            Some(Fitted {
                thickness_mm,
                material,
            })
        });
        pads.collect()
    }

    fn stock(&self) -> Vec<Fitted<'_>> {
        let stock = self.materials.iter().flat_map(|material| {
            STOCKED_MM.iter().map(move |&thickness_mm| Fitted {
                thickness_mm,
                material,
            })
        });
        stock.collect()
    }
}

#[divan::bench]
fn windows(bencher: Bencher<'_, '_>) {
    let card = card();
    let fitted = card.fitted();
    let materials = vec![&card.materials[1]; fitted.len()];
    bencher.bench_local(|| card.assembly.windows(&fitted, &materials));
}

#[divan::bench]
fn substitution(bencher: Bencher<'_, '_>) {
    let card = card();
    let (fitted, stock) = (card.fitted(), card.stock());
    bencher.bench_local(|| substitutes(&card, &fitted, &stock));
}

fn substitutes(card: &Card, fitted: &[Option<Fitted<'_>>], stock: &[Fitted<'_>]) {
    for zone in 0..fitted.len() {
        black_box(card.assembly.substitutes(fitted, zone, stock));
        black_box(card.assembly.nearest_wrong(fitted, zone, &STOCKED_MM));
    }
}

#[divan::bench]
fn yields(bencher: Bencher<'_, '_>) {
    let card = card();
    let fitted = card.fitted();
    bencher.bench_local(|| card.assembly.yields(&fitted, &card.tolerances));
}

/// Windows of all zones, the table of every stocked pad in each, and the yield.
#[divan::bench]
fn whole_table(bencher: Bencher<'_, '_>) {
    let card = card();
    let (fitted, stock) = (card.fitted(), card.stock());
    let materials = vec![&card.materials[1]; fitted.len()];
    bencher.bench_local(|| {
        black_box(card.assembly.windows(&fitted, &materials));
        substitutes(&card, &fitted, &stock);
        black_box(card.assembly.yields(&fitted, &card.tolerances)).expect("balances")
    });
}

#[divan::bench]
fn choice(bencher: Bencher<'_, '_>) {
    let card = card();
    let stock = vec![card.stock(); card.assembly.zones.len()];
    let chosen = card.assembly.choose(&stock, DieVerdict::Seated);
    assert!(chosen.proven, "{} seatings", chosen.seatings);
    bencher.bench_local(|| black_box(card.assembly.choose(&stock, DieVerdict::Seated)));
}

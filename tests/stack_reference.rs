//! The seating kernel against another implementation: `tests/reference/seating.py`, whose answers
//! are committed beside it.

use gapbook::stack::{
    Foundation, Law, PadCurve, PadLaw, PasteLaw, Problem, Screw, Seating, Stop, Support,
};
use gapbook::units::{Point, Rect};
use serde::Deserialize;

/// How nearly the two agree, relative; the other one's cells leave about 1e-9.
const AGREE: f64 = 1e-8;

#[derive(Deserialize)]
struct Case {
    name: String,
    supports: Vec<Piece>,
    screws: Vec<[f64; 3]>,
    stops: Vec<Post>,
}

#[derive(Deserialize)]
struct Piece {
    place: Rect,
    face_mm: f64,
    law: Filling,
}

#[derive(Deserialize)]
struct Post {
    at: Point,
    height_mm: f64,
    stiffness_n_mm: f64,
}

#[derive(Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
enum Filling {
    Pad {
        thickness_mm: f64,
        deflection: Vec<[f64; 2]>,
        remaining: Option<f64>,
    },
    Paste {
        yield_pa: f64,
    },
    Foundation {
        modulus_kpa_mm: f64,
        free_mm: f64,
    },
}

#[derive(Deserialize)]
struct Answer {
    name: String,
    separation_mm: f64,
    tilt: [f64; 2],
    forces_n: Vec<f64>,
    stops_n: Vec<f64>,
}

impl Filling {
    fn curve(&self) -> Option<PadCurve> {
        match self {
            Self::Pad { deflection, .. } => Some(PadCurve::new(deflection).expect("rises")),
            Self::Paste { .. } | Self::Foundation { .. } => None,
        }
    }

    fn law<'a>(&self, curve: Option<&'a PadCurve>) -> Law<'a> {
        match *self {
            Self::Pad {
                thickness_mm,
                remaining,
                ..
            } => {
                let pad = PadLaw::new(curve.expect("a pad has one"), thickness_mm);
                let pad = pad.and_then(|pad| pad.relaxed(remaining.unwrap_or(1.0)));
                Law::Pad(pad.expect("positive"))
            }
            Self::Paste { yield_pa } => Law::Paste(PasteLaw::new(yield_pa).expect("positive")),
            Self::Foundation {
                modulus_kpa_mm,
                free_mm,
            } => Law::Foundation(Foundation {
                modulus_kpa_mm,
                free_mm,
            }),
        }
    }
}

impl Case {
    fn solve(&self) -> Seating {
        let curves: Vec<_> = self
            .supports
            .iter()
            .map(|piece| piece.law.curve())
            .collect();
        let supports = self
            .supports
            .iter()
            .zip(&curves)
            .map(|(piece, curve)| Support {
                place: piece.place,
                face_mm: piece.face_mm,
                law: piece.law.law(curve.as_ref()),
            });
        let screw = |&[x, y, force_n]: &[f64; 3]| Screw {
            at: Point { x, y },
            force_n,
        };
        let stop = |post: &Post| Stop {
            at: post.at,
            height_mm: post.height_mm,
            stiffness_n_mm: post.stiffness_n_mm,
        };
        let problem = Problem {
            origin: Point { x: 0.0, y: 0.0 },
            supports: supports.collect(),
            screws: self.screws.iter().map(screw).collect(),
            stops: self.stops.iter().map(stop).collect(),
        };
        problem
            .solve()
            .unwrap_or_else(|fault| panic!("{}: {fault}", self.name))
    }
}

#[test]
fn another_implementation_agrees() {
    let read = "the reference is committed";
    let cases: Vec<Case> =
        serde_json::from_str(include_str!("reference/seating-cases.json")).expect(read);
    let answers: Vec<Answer> =
        serde_json::from_str(include_str!("reference/seating.json")).expect(read);
    assert_eq!(cases.len(), answers.len(), "run tests/reference/seating.py");
    for (case, answer) in cases.iter().zip(answers) {
        assert_eq!(case.name, answer.name, "run tests/reference/seating.py");
        let seating = case.solve();
        let load_n: f64 = case.screws.iter().map(|[.., force]| force).sum();
        let agree = |what: &str, found: f64, wanted: f64, least: f64| {
            let off = (found - wanted).abs() / wanted.abs().max(least);
            assert!(
                off <= AGREE,
                "{}: {what} is {found}, not {wanted}",
                case.name
            );
        };
        agree(
            "height (mm)",
            seating.plate.separation_mm,
            answer.separation_mm,
            1e-3,
        );
        for (found, wanted) in seating.plate.tilt.into_iter().zip(answer.tilt) {
            agree("tilt", found, wanted, 1e-6);
        }
        for (found, wanted) in seating.supports.iter().zip(&answer.forces_n) {
            agree("support's force (N)", found.force_n, *wanted, 1e-6 * load_n);
        }
        for (found, wanted) in seating.stops_n.iter().zip(&answer.stops_n) {
            agree("stop's force (N)", *found, *wanted, 1e-6 * load_n);
        }
    }
}

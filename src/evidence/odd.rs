//! Readings that are likely a slip, to be told while the pad still lies on the bench.
//!
//! The measuring form of a page judges by the same limits, which it is given with the form, and is held to
//! the same cases (`tests/fixtures/odd-readings.json`).

use serde::Serialize;

use super::job::Quantity;
use super::nominal;
use super::sample::Sample;
use crate::book::{Board, Book};

/// What a pad's readings are judged by, mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Expected {
    /// Free thicknesses that it is likely to have: the record's, or where that is silent the jobs'.
    pub free_mm: Vec<f64>,
    /// Thicknesses that can be bought; none where that is not known.
    pub stocked_mm: Vec<f64>,
}

/// A slip in reading or writing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Slip {
    /// What the reading is to be multiplied by to undo it.
    pub factor: f64,
    /// What went wrong.
    pub what: &'static str,
}

/// From where on a reading is odd.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Limits {
    /// Least and greatest that an edge reading is of the free thickness.
    pub edge: [f64; 2],
    /// Least and greatest that an imprint is of the free thickness.
    pub imprint: [f64; 2],
    /// The slips that are looked for.
    pub slips: [Slip; 4],
    /// How much thicker than the thickest edge reading an imprint is at most, mm; one that is no
    /// thinner was not squeezed.
    pub over_edge_mm: f64,
    /// How far an edge reading lies from the nearest stocked thickness at most, mm.
    pub unstocked_mm: f64,
    /// How each is told; what stands in braces is filled in.
    pub told: Told,
}

/// The sentences that tell an odd reading.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Told {
    /// Of a slip.
    pub slip: &'static str,
    /// Of an imprint thicker than its edge.
    pub over_edge: &'static str,
    /// Of an imprint that is no thinner than its edge.
    pub as_edge: &'static str,
    /// Of an edge that is near no stocked thickness.
    pub unstocked: &'static str,
}

/// The limits, all common practice: old pads read within a tenth or two of their free thickness at the
/// edge; a crushed one keeps a quarter of it under the part, and a tacky one swells a little as it is
/// peeled; soft pads scatter by a twentieth of a millimetre; pads are sold in steps of a half or a
/// quarter, so that only beyond the thinnest and the thickest is anything this far from all of them.
pub const LIMITS: Limits = Limits {
    edge: [0.7, 1.3],
    imprint: [0.25, 1.15],
    slips: [
        slip(0.1, "the decimal point is one place too far right"),
        slip(10.0, "the decimal point is one place too far left"),
        slip(0.01, "the decimal point is missing"),
        slip(25.4, "it is in inches"),
    ],
    over_edge_mm: 0.05,
    unstocked_mm: 0.3,
    told: Told {
        slip: "{reading} mm cannot be this pad; if {what}, it is {meant} mm",
        over_edge: "an imprint of {reading} mm is thicker than the edge, {edge} mm: perhaps the two are swapped",
        as_edge: "an imprint of {reading} mm is no thinner than the edge, {edge} mm: nothing squeezed the pad there, or the edge was read twice",
        unstocked: "{reading} mm is far from every stocked thickness; the nearest is {nearest} mm",
    },
};

const fn slip(factor: f64, what: &'static str) -> Slip {
    Slip { factor, what }
}

/// Why a reading is odd.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Odd {
    /// It is no thickness of this pad, and would be one with a slip undone.
    Slip {
        /// The slip.
        slip: Slip,
        /// What was meant, mm.
        meant_mm: f64,
    },
    /// The part would have made the pad thicker.
    OverEdge {
        /// The thickest edge reading, mm.
        edge_mm: f64,
    },
    /// The part has not squeezed the pad.
    AsEdge {
        /// The thickest edge reading, mm.
        edge_mm: f64,
    },
    /// No such pad can be bought.
    Unstocked {
        /// The nearest that can, mm.
        nearest_mm: f64,
    },
}

impl Odd {
    /// Says why a reading is odd.
    pub fn told(self, reading_mm: f64) -> String {
        let shown = |mm: f64| format!("{mm:.2}");
        let told = match self {
            Self::Slip { slip, meant_mm } => {
                let told = LIMITS.told.slip.replace("{what}", slip.what);
                told.replace("{meant}", &shown(meant_mm))
            }
            Self::OverEdge { edge_mm } => LIMITS.told.over_edge.replace("{edge}", &shown(edge_mm)),
            Self::AsEdge { edge_mm } => LIMITS.told.as_edge.replace("{edge}", &shown(edge_mm)),
            Self::Unstocked { nearest_mm } => {
                let nearest = nearest_mm.to_string();
                LIMITS.told.unstocked.replace("{nearest}", &nearest)
            }
        };
        told.replace("{reading}", &reading_mm.to_string())
    }
}

impl Expected {
    /// Returns what a zone's readings are judged by.
    pub fn of(book: &Book, board: &Board, zone: usize) -> Self {
        let stocked_mm = nominal::stocked_mm(&book.stock);
        let free_mm = match board.record.zone[zone].pad_mm {
            Some(pad_mm) => vec![pad_mm],
            None => read_mm(board, &board.record.zone[zone].id, &stocked_mm),
        };
        Self {
            free_mm,
            stocked_mm,
        }
    }

    /// Tells whether a reading is odd, beside the edge readings of the same pad, mm.
    ///
    /// Where no free thickness is likely, any that is stocked is.
    pub fn odd(&self, reading_mm: f64, at: Quantity, edge_mm: &[f64]) -> Option<Odd> {
        let slip = self.slip(reading_mm, at);
        let thickest = edge_mm.iter().copied().reduce(f64::max);
        let unsqueezed = thickest
            .filter(|edge_mm| at == Quantity::Imprint && reading_mm >= *edge_mm)
            .map(|edge_mm| {
                if reading_mm > edge_mm + LIMITS.over_edge_mm {
                    Odd::OverEdge { edge_mm }
                } else {
                    Odd::AsEdge { edge_mm }
                }
            });
        let unstocked = nearest(&self.stocked_mm, reading_mm)
            .filter(|nearest| {
                at == Quantity::Edge && (nearest - reading_mm).abs() > LIMITS.unstocked_mm
            })
            .map(|nearest_mm| Odd::Unstocked { nearest_mm });
        slip.or(unsqueezed).or(unstocked)
    }

    /// Returns the slip that makes a reading a thickness of this pad: of several, the one that comes
    /// nearest to its free thickness.
    pub(crate) fn slip(&self, reading_mm: f64, at: Quantity) -> Option<Odd> {
        let likely = match &self.free_mm[..] {
            [] => &self.stocked_mm,
            free => free,
        };
        let [least, greatest] = match at {
            Quantity::Edge => LIMITS.edge,
            Quantity::Imprint => LIMITS.imprint,
        };
        // How far off a believable thickness is, as a ratio; nothing where it is not believable.
        let off = |mm: f64| {
            let ratios = likely.iter().map(|free| mm / free);
            let believable = ratios.filter(|ratio| (least..=greatest).contains(ratio));
            believable.map(|ratio| ratio.ln().abs()).reduce(f64::min)
        };
        if off(reading_mm).is_some() {
            return None;
        }
        let undone = LIMITS.slips.iter().filter_map(|&slip| {
            let meant_mm = reading_mm * slip.factor;
            Some((off(meant_mm)?, Odd::Slip { slip, meant_mm }))
        });
        undone
            .min_by(|(left, _), (right, _)| left.total_cmp(right))
            .map(|(_, odd)| odd)
    }
}

/// Returns what each job read of a zone's edges on the whole, mm, where that may be a pad in stock.
fn read_mm(board: &Board, zone: &str, stocked_mm: &[f64]) -> Vec<f64> {
    let readings = board.own_jobs().flat_map(|job| &job.record.reading);
    let here = readings.filter(|reading| reading.zone == zone);
    let means = here.filter_map(|reading| Some(Sample::of(&reading.edge_mm)?.mean));
    let is_pad = |mm: &f64| {
        nearest(stocked_mm, *mm).is_none_or(|nearest| (nearest - mm).abs() <= LIMITS.unstocked_mm)
    };
    means.filter(is_pad).collect()
}

/// Returns the thickness that is nearest to a reading, mm.
fn nearest(thicknesses_mm: &[f64], reading_mm: f64) -> Option<f64> {
    let off = |mm: &f64| (mm - reading_mm).abs();
    let thicknesses = thicknesses_mm.iter().copied();
    thicknesses.min_by(|left, right| off(left).total_cmp(&off(right)))
}

#[cfg(test)]
mod tests {
    use serde::Deserialize;

    use super::*;

    /// One reading, and what is said of it: a slip's factor, "over-edge", "as-edge", "unstocked", or nothing.
    #[derive(Deserialize)]
    struct Case {
        free_mm: Vec<f64>,
        stocked_mm: Vec<f64>,
        #[serde(default)]
        edge_mm: Vec<f64>,
        #[serde(default)]
        imprint_mm: Option<f64>,
        odd: serde_json::Value,
    }

    #[test]
    fn slips_are_told_from_honest_readings() {
        let text = include_str!("../../tests/fixtures/odd-readings.json");
        let cases: Vec<Case> = serde_json::from_str(text).expect("a list of cases");
        for case in cases {
            let Case {
                free_mm,
                stocked_mm,
                ..
            } = case;
            let expected = Expected {
                free_mm,
                stocked_mm,
            };
            let (reading, at) = match case.imprint_mm {
                Some(imprint) => (imprint, Quantity::Imprint),
                None => (case.edge_mm[0], Quantity::Edge),
            };
            let odd = match expected.odd(reading, at, &case.edge_mm) {
                None => serde_json::Value::Null,
                Some(Odd::Slip { slip, .. }) => slip.factor.into(),
                Some(Odd::OverEdge { .. }) => "over-edge".into(),
                Some(Odd::AsEdge { .. }) => "as-edge".into(),
                Some(Odd::Unstocked { .. }) => "unstocked".into(),
            };
            assert_eq!(odd, case.odd, "{reading} mm of {expected:?}");
        }
    }

    #[test]
    fn an_odd_reading_is_told_with_what_was_meant() {
        let expected = Expected {
            free_mm: vec![2.0],
            stocked_mm: vec![1.0, 2.0, 3.0],
        };
        let told = |reading: f64, at, edge_mm: &[f64]| {
            let odd = expected.odd(reading, at, edge_mm);
            odd.map(|odd| odd.told(reading)).unwrap_or_default()
        };
        assert_eq!(
            told(20.0, Quantity::Edge, &[]),
            "20 mm cannot be this pad; if the decimal point is one place too far right, it is 2.00 mm",
            "a slip"
        );
        assert_eq!(
            told(2.2, Quantity::Imprint, &[2.0, 1.98]),
            "an imprint of 2.2 mm is thicker than the edge, 2.00 mm: perhaps the two are swapped",
            "swapped"
        );
        assert_eq!(
            told(2.0, Quantity::Imprint, &[2.0, 1.98]),
            "an imprint of 2 mm is no thinner than the edge, 2.00 mm: nothing squeezed the pad there, or the edge was read twice",
            "not squeezed"
        );
        assert_eq!(
            told(3.5, Quantity::Edge, &[]),
            "3.5 mm is far from every stocked thickness; the nearest is 3 mm",
            "not to be bought"
        );
    }
}

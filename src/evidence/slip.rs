//! Readings with the decimal point in the wrong place, or in inches.

/// How a reading slipped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slip {
    /// What it was likely meant to be, mm.
    pub meant: f64,
    /// Whether it was read in inches; otherwise its decimal point is misplaced.
    pub inches: bool,
}

/// Millimetres in an inch.
const INCH: f64 = 25.4;

/// The share of a pad's free thickness that an old pad can still have where it was squeezed, and at its
/// edge: from crushed to a tenth more than was bought (common practice).
const BELIEVABLE: std::ops::Range<f64> = 0.4..1.15;

/// Tells how a reading slipped, where it can be nothing else: as it stands it is less than a quarter or more
/// than four times of what is expected, and moved it is a believable reading of the pad.
///
/// No honest pad is that far from another that fits in the same gap.
///
/// # Units
/// mm; `expected`: the pad's free thickness.
pub fn slip(reading: f64, expected: f64) -> Option<Slip> {
    let share = reading / expected;
    if (0.25..4.0).contains(&share) {
        return None;
    }
    let moved = [(INCH, true), (10.0, false), (0.1, false), (0.01, false)];
    let believable = moved
        .into_iter()
        .map(|(factor, inches)| (reading * factor, inches))
        .filter(|(meant, _)| BELIEVABLE.contains(&(meant / expected)));
    let nearest = believable.min_by(|left, right| {
        let away = |one: f64| (one / expected).ln().abs();
        away(left.0).total_cmp(&away(right.0))
    });
    nearest.map(|(meant, inches)| Slip { meant, inches })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_told_from_a_pad() {
        let cases = [
            (0.079, 2.0, Some((2.0066, true))),
            (0.063, 2.0, Some((1.6002, true))), // an imprint
            (20.0, 2.0, Some((2.0, false))),
            (16.1, 2.0, Some((1.61, false))),
            (0.2, 2.0, Some((2.0, false))),
            (201.0, 2.0, Some((2.01, false))),
            (0.5, 2.0, None), // another pad
            (1.2, 2.0, None),
            (7.5, 2.0, None),
            (30.0, 2.0, None), // far out, and no slip
        ];
        for (reading, expected, wanted) in cases {
            let found = slip(reading, expected);
            let is_as_wanted = match (found, wanted) {
                (Some(slip), Some((meant, inches))) => {
                    (slip.meant - meant).abs() < 1e-9 && slip.inches == inches
                }
                (None, None) => true,
                _ => false,
            };
            assert!(is_as_wanted, "{reading} for {expected}: {found:?}");
        }
    }
}

use super::assembly::{Assembly, Cooler, DieVerdict, Faces, Gap, Material};
use super::pressure::mean_kpa;
use super::tolerance::Interval;
use crate::record::Thresholds;
use crate::units::{Point, Rect, UM_PER_MM};

/// How far corners of an evenly seated die may lie above or below its centre, as a share of the bond
/// line there: the thick edge is then at most twice the thin one.
const EVEN_SWING: f64 = 1.0 / 3.0;

/// How far off its centre an even die is pressed at most, as a share of its side; see [`Reach::pressed`].
const EVEN_OFF_CENTRE: f64 = 0.3;

/// Room for rounding, as a share of a thickness.
const ROUNDING: f64 = 1e-9;

/// Where a cooler can be while every die is pressed on, whatever the pads: what must be so, though it
/// need not be enough.
///
/// Let `z` be the bond line at a die's centre and `s` how far its corners lie off that. The die gets no
/// more than the whole load, and the mean pressure of a wedge is no less than the pressure at its middle,
/// for the law is convex: `z ≥ z(load / area)`. The verdict wants `z` below the book's limit. Paste is
/// nowhere closed, so `s ≤ z`; of an even die, `s ≤ z / 3`, and since its thinnest corner presses at
/// least as hard as its mean, `z ≤ 3/2 · z(least pressure)`. At a point that lies `ρ` half widths or
/// heights off the centre, whichever is more, the plate is then between `z − ρ·s` and `z + ρ·s` above
/// the die's face.
#[derive(Clone, Debug)]
pub(super) struct Reach {
    over: Vec<OverDie>,
    held_mm: Option<f64>,
}

/// What one die allows.
#[derive(Clone, Copy, Debug)]
struct OverDie {
    place: Rect,
    height_mm: f64,
    bond_mm: Interval,
    /// `s / z` at most.
    swing: f64,
}

impl Reach {
    /// Returns where the cooler can be while no die is worse than `worst`; nothing where that is not
    /// bounded.
    pub(super) fn of(assembly: &Assembly, worst: DieVerdict) -> Option<Self> {
        let cooler = assembly.cooler.as_ref()?;
        if let Cooler::Held { height_mm } = cooler {
            return Some(Self {
                over: Vec::new(),
                held_mm: Some(*height_mm),
            });
        }
        let load_n = cooler.load_n();
        let thresholds = &assembly.thresholds;
        let paste = assembly.paste.law;
        let most_mm = thresholds.greatest_bond_um / UM_PER_MM;
        let (swing, most_mm) = if worst == DieVerdict::Seated {
            let thinnest = paste.bond_line_mm(thresholds.least_die_kpa);
            (EVEN_SWING, most_mm.min(thinnest / (1.0 - EVEN_SWING)))
        } else {
            (1.0, most_mm)
        };
        let over = assembly.dies.iter().map(|die| OverDie {
            place: die.place,
            height_mm: die.height_mm,
            bond_mm: Interval {
                low_mm: paste.bond_line_mm(mean_kpa(load_n, die.place.area())),
                high_mm: most_mm,
            },
            swing,
        });
        (!assembly.dies.is_empty()).then(|| Self {
            over: over.collect(),
            held_mm: None,
        })
    }

    /// Returns between which heights the cooler's datum can be over a point; the low one may be above
    /// the high one, where dies exclude each other.
    fn heights(&self, at: Point) -> Interval {
        let whole = Interval {
            low_mm: self.held_mm.unwrap_or(f64::NEG_INFINITY),
            high_mm: self.held_mm.unwrap_or(f64::INFINITY),
        };
        self.over.iter().fold(whole, |so_far, die| {
            let allowed = die.heights(at);
            Interval {
                low_mm: so_far.low_mm.max(allowed.low_mm),
                high_mm: so_far.high_mm.min(allowed.high_mm),
            }
        })
    }

    /// Returns the gaps that a piece of a zone can have at its centre, where the zone's gap is known.
    pub(super) fn gaps(&self, zone: &Gap, piece: &Rect) -> Option<Interval> {
        match zone.faces {
            Faces::OnCooler { near_mm, recess_mm } => {
                let Interval { low_mm, high_mm } = self.heights(piece.centre());
                Some(Interval {
                    low_mm: low_mm - near_mm + recess_mm,
                    high_mm: high_mm - near_mm + recess_mm,
                })
            }
            Faces::Fixed { gap_mm } => Some(Interval::about(gap_mm, 0.0)),
            Faces::Unknown => None,
        }
    }

    /// Returns from which to which gap any corner of a piece can be, mm.
    pub(super) fn corner_gaps(&self, zone: &Gap, piece: &Rect) -> Option<Interval> {
        let (right, top) = (piece.right(), piece.top());
        let corners = [
            [piece.x, piece.y],
            [right, piece.y],
            [right, top],
            [piece.x, top],
        ];
        let none = Interval {
            low_mm: f64::INFINITY,
            high_mm: f64::NEG_INFINITY,
        };
        corners.into_iter().try_fold(none, |so_far, [x, y]| {
            let gaps = self.gaps(zone, &Rect::at_point(Point { x, y }))?;
            Some(Interval {
                low_mm: so_far.low_mm.min(gaps.low_mm),
                high_mm: so_far.high_mm.max(gaps.high_mm),
            })
        })
    }

    /// Returns the rectangle within which the dies' forces act together.
    ///
    /// A die's force acts somewhere on it. On an even one it lies within three tenths of its width and
    /// height of the centre: where the gap grows to twice itself across the die, the centroid of
    /// `z^-6` lies 0.291 of the width off, and tilt the other way as well brings it nearer.
    pub(super) fn pressed(&self) -> Option<Rect> {
        let within = |die: &OverDie| {
            let share = if die.swing < 1.0 {
                EVEN_OFF_CENTRE
            } else {
                0.5
            };
            let by = |side: f64| side * (share - 0.5);
            let Rect {
                x,
                y,
                width,
                height,
            } = die.place;
            Rect {
                x: x - by(width),
                y: y - by(height),
                width: 2.0 * share * width,
                height: 2.0 * share * height,
            }
        };
        self.over.iter().map(within).reduce(|one, other| {
            let (x, y) = (one.x.min(other.x), one.y.min(other.y));
            Rect {
                x,
                y,
                width: one.right().max(other.right()) - x,
                height: one.top().max(other.top()) - y,
            }
        })
    }

    /// Returns between which thicknesses a pad must be for no piece of the zone to float or be crushed;
    /// the low one may be above the high one.
    pub(super) fn thicknesses(&self, zone: &Gap, limits: &Limits) -> Option<Interval> {
        let whole = Interval {
            low_mm: 0.0,
            high_mm: f64::INFINITY,
        };
        zone.pieces.iter().try_fold(whole, |so_far, piece| {
            let gaps = self.gaps(zone, piece)?;
            Some(Interval {
                low_mm: so_far.low_mm.max(limits.least_mm(gaps.low_mm)),
                high_mm: so_far.high_mm.min(limits.greatest_mm(gaps.high_mm)),
            })
        })
    }
}

impl OverDie {
    fn heights(&self, at: Point) -> Interval {
        let centre = self.place.centre();
        let right = 2.0 * (at.x - centre.x).abs() / self.place.width;
        let up = 2.0 * (at.y - centre.y).abs() / self.place.height;
        let swing = self.swing * right.max(up);
        let down = 1.0 - swing;
        let lowest = if down < 0.0 {
            self.bond_mm.high_mm
        } else {
            self.bond_mm.low_mm
        };
        Interval {
            low_mm: self.height_mm + lowest * down,
            high_mm: self.height_mm + self.bond_mm.high_mm * (1.0 + swing),
        }
    }
}

/// The strains between which a pad neither floats nor is crushed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    floating: f64,
    crushed: f64,
}

impl Limits {
    pub(super) fn of(thresholds: &Thresholds, material: &Material) -> Self {
        Self {
            floating: thresholds.floating,
            crushed: material.max_strain.unwrap_or(thresholds.crushed),
        }
    }

    /// Returns the least thickness that does not float in a gap, mm.
    pub(super) fn least_mm(&self, gap_mm: f64) -> f64 {
        if self.floating < 1.0 {
            gap_mm / (1.0 - self.floating) * (1.0 - ROUNDING)
        } else {
            f64::INFINITY
        }
    }

    /// Returns the strain above which a pad is crushed.
    pub(super) fn crushed(&self) -> f64 {
        self.crushed
    }

    /// Returns the greatest thickness that is not crushed in a gap, mm.
    pub(super) fn greatest_mm(&self, gap_mm: f64) -> f64 {
        if self.crushed < 1.0 {
            gap_mm / (1.0 - self.crushed) * (1.0 + ROUNDING)
        } else {
            f64::INFINITY
        }
    }
}

//! A zone's window: the free thicknesses of its pads at which everything fits, the other zones held.

use rayon::prelude::*;

use super::assembly::{Assembly, Cooler, DieVerdict, Faces, Fitted, Gap, Material};
use super::reach::{Limits, Reach};
use super::seating::Plate;
use super::tolerance::Interval;
use super::trouble::Trouble;

/// How far apart the thicknesses of the scan lie at most, mm.
///
/// An interval that is wider than the step holds a point of the scan, so neither a window nor a hole in
/// one wider than this is missed. Stocked thicknesses lie a quarter of a millimetre apart or more, and
/// vary by a tenth of themselves: what is narrower is no place to fit a pad into.
pub const SCAN_STEP_MM: f64 = 0.05;

/// How near an edge is followed, mm; a fifth of the hundredth that is promised.
const EDGE_MM: f64 = 0.002;

/// The thicknesses that are scanned where no die bounds where the cooler can be, mm. Pads are stocked
/// from a quarter of a millimetre to five.
const UNBOUNDED: Interval = Interval {
    low_mm: 0.05,
    high_mm: 10.0,
};

/// Points of a scan, at most; only gaps of more than 30 mm need more, and are scanned more coarsely.
const MOST_POINTS: f64 = 1200.0;

/// Halvings of a step until an edge is near enough; five do for [`SCAN_STEP_MM`].
const MOST_HALVINGS: usize = 60;

/// How far inside its formula an edge in closed form is put, as a share: so that rounding does not make
/// it fail.
const INSIDE: f64 = 1e-9;

/// The thicknesses that fit a zone.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// All of them, as intervals in rising order. More than one where thinner and thicker pads fit but
    /// some between do not, as the cooler tilts.
    pub intervals: Vec<Interval>,
    /// The interval that holds the thickness that is fitted, or the widest.
    pub window: Option<Interval>,
    /// What fails just below it; nothing where there is no window.
    pub below: Vec<Trouble>,
    /// What fails just above it.
    pub above: Vec<Trouble>,
    /// Where there is no window: the conditions that exclude each other, with the thicknesses at which
    /// each is met. One that is met nowhere stands alone.
    pub clash: Vec<Clash>,
}

/// One of the conditions that exclude each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clash {
    /// What fails.
    pub trouble: Trouble,
    /// From the least to the greatest thickness at which it does not; nothing where it always fails.
    pub free: Option<Interval>,
}

impl Assembly {
    /// Returns the thicknesses of a material in a zone at which none of its pieces floats or is crushed
    /// and no die is held off or not reached, just screwed together, with the other zones as fitted;
    /// nothing where there is no such zone or its gap is not known.
    ///
    /// Where nothing gives, between fixed faces or under a cooler on standoffs, the pads change nothing
    /// for the dies, so only the zone's own conditions count, in closed form. Under a drawn cooler the
    /// range that the dies leave is scanned in steps of [`SCAN_STEP_MM`], whether or not the cooler
    /// tilts, and each edge bisected: as a pad grows on a tilting cooler, the force on the die may rise
    /// again.
    ///
    /// # Accuracy
    /// Edges lie within the window, and less than 0.01 mm from where a condition fails. A window or hole
    /// narrower than [`SCAN_STEP_MM`] may be missed.
    pub fn window(
        &self,
        fitted: &[Option<Fitted<'_>>],
        zone: usize,
        material: &Material,
    ) -> Option<Window> {
        let gap = self.zones.get(zone)?;
        let now_mm = fitted.get(zone).copied().flatten();
        let now_mm = now_mm.map(|pad| pad.thickness_mm);
        if let Some(level_mm) = self.level_gap_mm(gap) {
            return Some(self.level_window(zone, level_mm, material));
        }
        if gap.faces == Faces::Unknown || self.cooler.is_none() {
            return None;
        }
        let limits = Limits::of(&self.thresholds, material);
        let reach = Reach::of(self, DieVerdict::Uneven);
        let bounds = reach.and_then(|reach| reach.thicknesses(gap, &limits));
        let scan = Scan {
            assembly: self,
            fitted: padded(fitted, self.zones.len()),
            zone,
            material,
            near: self.start(fitted),
        };
        Some(scan.window(scanned(bounds), now_mm))
    }

    /// Returns the window of every zone in turn, one material for each.
    pub fn windows(
        &self,
        fitted: &[Option<Fitted<'_>>],
        materials: &[&Material],
    ) -> Vec<Option<Window>> {
        let zones = materials.par_iter().enumerate();
        zones
            .map(|(zone, material)| self.window(fitted, zone, material))
            .collect()
    }

    /// Returns a zone's gap where no pad can change it, mm.
    pub(super) fn level_gap_mm(&self, zone: &Gap) -> Option<f64> {
        match (zone.faces, &self.cooler) {
            (Faces::Fixed { gap_mm }, _) => Some(gap_mm),
            (Faces::OnCooler { near_mm, recess_mm }, Some(Cooler::Held { height_mm })) => {
                Some(height_mm - near_mm + recess_mm)
            }
            _ => None,
        }
    }

    fn level_window(&self, zone: usize, gap_mm: f64, material: &Material) -> Window {
        let limits = Limits::of(&self.thresholds, material);
        let low_mm = limits.least_mm(gap_mm) * (1.0 + 2.0 * INSIDE);
        let high_mm = limits.greatest_mm(gap_mm) * (1.0 - 2.0 * INSIDE);
        let (floats, crushed) = (Trouble::Floats { zone }, Trouble::Crushed { zone });
        if gap_mm > 0.0 && low_mm <= high_mm {
            let window = Interval { low_mm, high_mm };
            return Window {
                intervals: vec![window],
                window: Some(window),
                below: vec![floats],
                above: vec![crushed],
                clash: Vec::new(),
            };
        }
        let met = |low_mm, high_mm| Some(Interval { low_mm, high_mm });
        let clash = if gap_mm > 0.0 {
            vec![
                Clash {
                    trouble: crushed,
                    free: met(0.0, high_mm),
                },
                Clash {
                    trouble: floats,
                    free: met(low_mm, f64::INFINITY),
                },
            ]
        } else {
            vec![Clash {
                trouble: crushed,
                free: None,
            }]
        };
        Window::none(clash)
    }
}

impl Window {
    /// Tells whether a thickness, mm, lies in one of the intervals.
    pub fn holds(&self, thickness_mm: f64) -> bool {
        let mut intervals = self.intervals.iter();
        intervals.any(|one| one.low_mm <= thickness_mm && thickness_mm <= one.high_mm)
    }

    fn none(clash: Vec<Clash>) -> Self {
        Self {
            intervals: Vec::new(),
            window: None,
            below: Vec::new(),
            above: Vec::new(),
            clash,
        }
    }
}

/// Returns what is fitted, one entry for each zone.
pub(super) fn padded<'p>(fitted: &[Option<Fitted<'p>>], zones: usize) -> Vec<Option<Fitted<'p>>> {
    let mut padded = fitted.to_vec();
    padded.resize_with(zones, || None);
    padded
}

/// Returns the thicknesses to scan: the range that can hold a window, or, where none can, what lies
/// between the bounds that exclude each other.
fn scanned(bounds: Option<Interval>) -> Interval {
    let Interval { low_mm, high_mm } = bounds.unwrap_or(UNBOUNDED);
    let inside = |mm: f64| {
        if mm.is_nan() {
            UNBOUNDED.low_mm
        } else {
            mm.max(UNBOUNDED.low_mm)
        }
    };
    let (one, other) = (inside(low_mm.min(high_mm)), inside(low_mm.max(high_mm)));
    Interval {
        low_mm: one,
        high_mm: if other.is_finite() {
            other
        } else {
            one + UNBOUNDED.high_mm
        },
    }
}

/// One zone whose thickness is tried.
struct Scan<'a> {
    assembly: &'a Assembly,
    fitted: Vec<Option<Fitted<'a>>>,
    zone: usize,
    material: &'a Material,
    near: Option<Plate>,
}

/// What was found at one thickness.
#[derive(Clone, Debug)]
struct Point {
    thickness_mm: f64,
    troubles: Vec<Trouble>,
}

impl Scan<'_> {
    fn window(mut self, range: Interval, now_mm: Option<f64>) -> Window {
        let points = self.points(range);
        if points.iter().all(|point| !point.troubles.is_empty()) {
            return Window::none(clash(&points));
        }
        let mut intervals = Vec::new();
        let mut begun = None;
        for (index, point) in points.iter().enumerate() {
            let before = index.checked_sub(1).map(|before| &points[before]);
            match (begun, point.troubles.is_empty()) {
                (None, true) => {
                    begun = Some(before.map_or(point.thickness_mm, |before| {
                        self.edge(before.thickness_mm, point.thickness_mm)
                    }));
                }
                (Some(low_mm), false) => {
                    let last_mm = before.map_or(low_mm, |before| before.thickness_mm);
                    let high_mm = self.edge(point.thickness_mm, last_mm);
                    intervals.push(Interval { low_mm, high_mm });
                    begun = None;
                }
                _ => {}
            }
        }
        if let (Some(low_mm), Some(last)) = (begun, points.last()) {
            let high_mm = last.thickness_mm;
            intervals.push(Interval { low_mm, high_mm });
        }
        let window = chosen(&intervals, now_mm);
        let mut beside = |edge_mm: f64| self.at(edge_mm).troubles;
        Window {
            below: window.map_or_else(Vec::new, |one| beside(one.low_mm - 2.0 * EDGE_MM)),
            above: window.map_or_else(Vec::new, |one| beside(one.high_mm + 2.0 * EDGE_MM)),
            intervals,
            window,
            clash: Vec::new(),
        }
    }

    fn points(&mut self, range: Interval) -> Vec<Point> {
        let wide_mm = range.high_mm - range.low_mm;
        let steps = (wide_mm / SCAN_STEP_MM).ceil().clamp(1.0, MOST_POINTS);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between one and a thousand"
        )]
        let last = steps as u32;
        (0..=last)
            .map(|step| self.at(range.low_mm + wide_mm * f64::from(step) / steps))
            .collect()
    }

    /// Returns what fails at a thickness: of the zone, and of the dies.
    fn at(&mut self, thickness_mm: f64) -> Point {
        self.fitted[self.zone] = Some(Fitted {
            thickness_mm,
            material: self.material,
        });
        let mut troubles = self.assembly.troubles(&self.fitted, self.near.as_ref());
        let zone = self.zone;
        troubles.retain(|trouble| trouble.zone().is_none_or(|other| other == zone));
        Point {
            thickness_mm,
            troubles,
        }
    }

    /// Bisects between a thickness that fails and one that fits; returns the last that fits.
    fn edge(&mut self, mut fails_mm: f64, mut fits_mm: f64) -> f64 {
        for _ in 0..MOST_HALVINGS {
            if (fits_mm - fails_mm).abs() <= EDGE_MM {
                break;
            }
            let middle_mm = f64::midpoint(fails_mm, fits_mm);
            if self.at(middle_mm).troubles.is_empty() {
                fits_mm = middle_mm;
            } else {
                fails_mm = middle_mm;
            }
        }
        fits_mm
    }
}

/// Returns the interval that holds a thickness, or the widest.
fn chosen(intervals: &[Interval], now_mm: Option<f64>) -> Option<Interval> {
    let holding = intervals
        .iter()
        .find(|one| now_mm.is_some_and(|now| one.low_mm <= now && now <= one.high_mm));
    let wide = |one: &Interval| one.high_mm - one.low_mm;
    let widest = || {
        let by_width = |a: &&Interval, b: &&Interval| wide(a).total_cmp(&wide(b));
        intervals.iter().max_by(by_width)
    };
    holding.or_else(widest).copied()
}

/// Finds the fewest conditions that together fail at every thickness: one, two, or else all.
fn clash(points: &[Point]) -> Vec<Clash> {
    let fails = |point: &Point, trouble: Trouble| {
        // Where paste does not even reach, the cooler is held off as well.
        point.troubles.iter().any(|&found| match (found, trouble) {
            (Trouble::NotReached { die }, Trouble::HeldOff { die: other }) => die == other,
            _ => found == trouble,
        })
    };
    let mut all: Vec<Trouble> = points
        .iter()
        .flat_map(|point| point.troubles.iter().copied())
        .collect();
    all.sort_unstable();
    all.dedup();
    let everywhere = |troubles: &[Trouble]| {
        points
            .iter()
            .all(|point| troubles.iter().any(|&trouble| fails(point, trouble)))
    };
    let single = all.iter().map(|&one| vec![one]);
    let pairs = all
        .iter()
        .flat_map(|&one| all.iter().map(move |&other| vec![one, other]));
    let least = single.chain(pairs).find(|troubles| everywhere(troubles));
    let clash = |trouble: Trouble| {
        let mut free = points.iter().filter(|point| !fails(point, trouble));
        let first = free.next().map(|point| point.thickness_mm);
        Clash {
            trouble,
            free: first.map(|low_mm| Interval {
                low_mm,
                high_mm: free.next_back().map_or(low_mm, |point| point.thickness_mm),
            }),
        }
    };
    least.unwrap_or(all).into_iter().map(clash).collect()
}

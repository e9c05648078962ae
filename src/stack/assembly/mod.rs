//! A board's cooler in plain numbers: what carries it, what pulls it down, and how pads and dies fare.
//!
//! Nothing here looks into a record, so that thicknesses can be tried by the thousand: everything that
//! stays the same is in the [`Assembly`], and [`Assembly::seat`] takes only what is fitted.

mod seated;

use super::conduction::{drop_k, layer_mm2_k_w};
use super::pressure::force_n;
use super::{
    Domain, Law, PadCurve, PadLaw, PasteLaw, Plate, Problem, Reaction, Screw, Stop, Support, bond,
    held,
};
use crate::record::Thresholds;
use crate::units::{Point, Rect, UM_PER_MM};

pub use seated::{DieSeated, DieVerdict, Outcome, PieceSeated, Seated, Verdict, ZoneSeated};

/// Contact resistance of each face of a pad, mm²·K/W.
///
/// The order of magnitude of a soft pad on a smooth face; makers' tables lie between 10 and 50.
const CONTACT_MM2_K_W: f64 = 20.0;

/// How much thicker the bond line is at its thick edge than at its thin one in a wedge that counts as
/// uneven. The paste there presses sixty times less; the number is a choice.
const UNEVEN: f64 = 2.0;

/// How many greatest bond lines high a gap is that paste does not bridge at all. Common practice: paste
/// is applied a quarter of a millimetre thick at most.
const NOT_REACHED: f64 = 2.0;

/// A cooler on its dies and pads, without the pads.
#[derive(Clone, Debug)]
pub struct Assembly {
    /// What holds the cooler; nothing where no gap depends on it.
    pub cooler: Option<Cooler>,
    /// Dies under it that are cooled through paste.
    pub dies: Vec<Die>,
    /// The gaps that pads fill.
    pub zones: Vec<Gap>,
    /// The paste on the dies.
    pub paste: Paste,
    /// From where on something counts as ill fitted.
    pub thresholds: Thresholds,
}

/// What holds a cooler where it is.
#[derive(Clone, Debug, PartialEq)]
pub enum Cooler {
    /// Screws pull it onto dies and pads.
    Drawn {
        /// Where its separation is counted: the centre of the die it seats on.
        origin: Point,
        /// The screws.
        screws: Vec<Screw>,
        /// Standoffs on which it would bottom.
        stops: Vec<Stop>,
    },
    /// Standoffs hold its datum face at a height, mm.
    Held {
        /// The height above the board, mm.
        height_mm: f64,
    },
}

/// A die that is cooled through paste.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Die {
    /// Where it is.
    pub place: Rect,
    /// Its height above the board, mm.
    pub height_mm: f64,
    /// Its heat, W, where known.
    pub heat_w: Option<f64>,
}

/// A gap between two faces, in pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// Where its pads lie.
    pub pieces: Vec<Rect>,
    /// The faces between which it is.
    pub faces: Faces,
    /// Heat that passes through each piece, W, where known.
    pub heat_w: Option<f64>,
}

/// The two faces of a gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Faces {
    /// The far one is the cooler's: its pads carry the cooler.
    OnCooler {
        /// Height of the near face, mm.
        near_mm: f64,
        /// How far the far face lies back from the cooler's datum, mm.
        recess_mm: f64,
    },
    /// Both stay where they are, whatever lies between them.
    Fixed {
        /// The gap, mm.
        gap_mm: f64,
    },
    /// Nobody knows how far apart they are.
    Unknown,
}

/// A paste.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paste {
    /// How it thins.
    pub law: PasteLaw,
    /// Its conductivity, W/(m·K).
    pub conductivity_w_mk: f64,
}

/// A pad material.
#[derive(Clone, Debug)]
pub struct Material {
    /// How hard it pushes.
    pub curve: PadCurve,
    /// Its conductivity, W/(m·K), where known.
    pub conductivity_w_mk: Option<f64>,
    /// The strain above which it is crushed, where its maker gives one.
    pub max_strain: Option<f64>,
    /// The fraction of its pressure that stays.
    pub relaxed: f64,
}

/// A pad in a gap.
#[derive(Clone, Copy, Debug)]
pub struct Fitted<'a> {
    /// Its free thickness, mm.
    pub thickness_mm: f64,
    /// Its material.
    pub material: &'a Material,
}

/// When a stack-up is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moment {
    /// Just screwed together: the pads push hardest.
    Assembly,
    /// After the pads have given way.
    Relaxed,
}

/// Where a cooler comes to rest, and how hard on each standoff, N, and each support.
#[derive(Default)]
struct Rest {
    plate: Option<Plate>,
    stops_n: Vec<f64>,
    reactions: Vec<Reaction>,
}

impl Cooler {
    /// Returns the force with which screws draw it, N; none where standoffs hold it.
    pub(super) fn load_n(&self) -> f64 {
        match self {
            Self::Drawn { screws, .. } => screws.iter().map(|screw| screw.force_n).sum(),
            Self::Held { .. } => 0.0,
        }
    }
}

impl Assembly {
    /// Returns the area of the dies, mm².
    pub(super) fn dies_mm2(&self) -> f64 {
        self.dies.iter().map(|die| die.place.area()).sum()
    }

    /// Seats the cooler on these pads, one entry for each zone: at assembly and relaxed.
    ///
    /// # Errors
    /// [`Domain`] where nothing carries the cooler, the load passes beside what does, or a value makes no
    /// sense.
    pub fn seat(&self, fitted: &[Option<Fitted<'_>>]) -> Result<Outcome, Domain> {
        Ok(Outcome {
            peak: self.seat_at(fitted, Moment::Assembly)?,
            relaxed: self.seat_at(fitted, Moment::Relaxed)?,
        })
    }

    /// Seats the cooler on these pads at one moment; a zone without an entry has no pad.
    ///
    /// # Errors
    /// As [`Assembly::seat`].
    pub fn seat_at(&self, fitted: &[Option<Fitted<'_>>], moment: Moment) -> Result<Seated, Domain> {
        self.seat_near(fitted, moment, None)
    }

    /// Does the same, beginning at a position near which the cooler is expected; that only saves time.
    pub(super) fn seat_near(
        &self,
        fitted: &[Option<Fitted<'_>>],
        moment: Moment,
        near: Option<&Plate>,
    ) -> Result<Seated, Domain> {
        let supports = self.supports(fitted, moment)?;
        let Rest {
            plate,
            stops_n,
            reactions,
        } = self.rest(supports, near)?;
        let (of_dies, of_pads) = reactions.split_at(plate.map_or(0, |_| self.dies.len()));

        let mut dies = Vec::with_capacity(of_dies.len());
        if let Some(plate) = plate {
            for (die, reaction) in self.dies.iter().zip(of_dies) {
                dies.push(self.die(die, reaction, &plate)?);
            }
        }
        let mut of_pads = of_pads.iter();
        let mut zones = Vec::with_capacity(self.zones.len());
        for (zone, pad) in self.zones_with(fitted) {
            let Some(pad) = pad else {
                zones.push(None);
                continue;
            };
            zones.push(match zone.faces {
                Faces::OnCooler { .. } => {
                    let mut next = || of_pads.next().copied();
                    let reactions = zone.pieces.iter().map_while(|_| next());
                    Some(self.zone(zone, pad, reactions))
                }
                Faces::Fixed { gap_mm } => Some(self.level(zone, pad, gap_mm, moment)?),
                Faces::Unknown => None,
            });
        }
        Ok(Seated {
            plate,
            stops_n,
            dies,
            zones,
        })
    }

    /// Pairs each zone with what is fitted there.
    fn zones_with<'a, 'p>(
        &'a self,
        fitted: &'a [Option<Fitted<'p>>],
    ) -> impl Iterator<Item = (&'a Gap, Option<&'a Fitted<'p>>)> {
        let fitted = fitted.iter().map(Option::as_ref);
        self.zones.iter().zip(fitted.chain(std::iter::repeat(None)))
    }

    /// Returns what carries the cooler: the dies' paste, then the pads, piece by piece.
    fn supports<'p>(
        &self,
        fitted: &[Option<Fitted<'p>>],
        moment: Moment,
    ) -> Result<Vec<Support<'p>>, Domain> {
        if self.cooler.is_none() {
            return Ok(Vec::new());
        }
        let die = |die: &Die| Support {
            place: die.place,
            face_mm: die.height_mm,
            law: Law::Paste(self.paste.law),
        };
        let mut supports: Vec<Support<'p>> = self.dies.iter().map(die).collect();
        for (zone, pad) in self.zones_with(fitted) {
            let (Faces::OnCooler { near_mm, recess_mm }, Some(pad)) = (zone.faces, pad) else {
                continue;
            };
            let law = Law::Pad(pad.law(moment)?);
            supports.extend(zone.pieces.iter().map(|&place| Support {
                place,
                face_mm: near_mm - recess_mm,
                law,
            }));
        }
        Ok(supports)
    }

    /// Brings the cooler to rest.
    fn rest(&self, supports: Vec<Support<'_>>, near: Option<&Plate>) -> Result<Rest, Domain> {
        match &self.cooler {
            None => Ok(Rest::default()),
            Some(Cooler::Held { height_mm }) => {
                let plate = Plate {
                    origin: Point { x: 0.0, y: 0.0 },
                    separation_mm: *height_mm,
                    tilt: [0.0; 2],
                };
                let reactions = held(&supports, &plate)?;
                Ok(Rest {
                    plate: Some(plate),
                    stops_n: Vec::new(),
                    reactions,
                })
            }
            Some(Cooler::Drawn {
                origin,
                screws,
                stops,
            }) => {
                let problem = Problem {
                    origin: *origin,
                    supports,
                    screws: screws.clone(),
                    stops: stops.clone(),
                };
                let seating = match near {
                    Some(plate) => problem.solve_from(plate)?,
                    None => problem.solve()?,
                };
                Ok(Rest {
                    plate: Some(seating.plate),
                    stops_n: seating.stops_n,
                    reactions: seating.supports,
                })
            }
        }
    }

    fn die(&self, die: &Die, reaction: &Reaction, plate: &Plate) -> Result<DieSeated, Domain> {
        let drop_k = match die.heat_w {
            Some(heat_w) if !self.is_air(reaction) => {
                let inverse_gap = bond::inverse_gap_mm(die.place, die.height_mm, plate)?;
                let drop = bond::drop_k(heat_w, self.paste.conductivity_w_mk, inverse_gap)?;
                Some(drop)
            }
            _ => None,
        };
        Ok(DieSeated {
            force_n: reaction.force_n,
            mean_kpa: reaction.mean_kpa,
            bond_um: [
                UM_PER_MM * reaction.least_gap_mm,
                UM_PER_MM * reaction.greatest_gap_mm,
            ],
            drop_k,
            verdict: self.die_verdict(die, reaction),
        })
    }

    /// Tells whether the gap over a die is more than paste bridges.
    fn is_air(&self, reaction: &Reaction) -> bool {
        reaction.gap_mm > NOT_REACHED * self.thresholds.greatest_bond_um / UM_PER_MM
    }

    fn die_verdict(&self, die: &Die, reaction: &Reaction) -> DieVerdict {
        let most_mm = self.thresholds.greatest_bond_um / UM_PER_MM;
        let (least, greatest) = (reaction.least_gap_mm, reaction.greatest_gap_mm);
        if self.is_air(reaction) && self.is_out_of_reach(die) {
            DieVerdict::NotReached
        } else if reaction.mean_kpa < self.thresholds.least_die_kpa || reaction.gap_mm > most_mm {
            DieVerdict::HeldOff
        } else if greatest > UNEVEN * least || greatest > most_mm {
            DieVerdict::Uneven
        } else {
            DieVerdict::Seated
        }
    }

    /// Returns how a zone's pads fare between level faces.
    pub(super) fn level(
        &self,
        zone: &Gap,
        pad: &Fitted<'_>,
        gap_mm: f64,
        moment: Moment,
    ) -> Result<ZoneSeated, Domain> {
        let law = pad.law(moment)?;
        let reactions = zone.pieces.iter().map(|piece| at_gap(law, *piece, gap_mm));
        Ok(self.zone(zone, pad, reactions))
    }

    /// Tells whether no pad could be to blame: standoffs hold the cooler, or a taller die does.
    fn is_out_of_reach(&self, die: &Die) -> bool {
        let drawn = matches!(self.cooler, Some(Cooler::Drawn { .. }));
        !drawn
            || self
                .dies
                .iter()
                .any(|other| other.height_mm > die.height_mm)
    }

    fn zone(
        &self,
        zone: &Gap,
        pad: &Fitted<'_>,
        reactions: impl Iterator<Item = Reaction>,
    ) -> ZoneSeated {
        let mut seated = ZoneSeated {
            gap_mm: 0.0,
            force_n: 0.0,
            verdict: Verdict::Good,
            pieces: Vec::with_capacity(zone.pieces.len()),
        };
        for (place, reaction) in zone.pieces.iter().zip(reactions) {
            let piece = self.piece(zone, place, pad, &reaction);
            seated.gap_mm += piece.gap_mm;
            seated.force_n += piece.force_n;
            seated.verdict = seated.verdict.max(piece.verdict);
            seated.pieces.push(piece);
        }
        #[expect(clippy::cast_precision_loss, reason = "a few thousand pieces at most")]
        let count = seated.pieces.len().max(1) as f64;
        seated.gap_mm /= count;
        seated
    }

    fn piece(
        &self,
        zone: &Gap,
        place: &Rect,
        pad: &Fitted<'_>,
        reaction: &Reaction,
    ) -> PieceSeated {
        let strain_at = |gap_mm: f64| 1.0 - gap_mm / pad.thickness_mm;
        let strain = strain_at(reaction.gap_mm);
        let tightest = strain_at(reaction.least_gap_mm);
        let touches = strain > 0.0;
        let drop_k = pad.material.drop_k(zone.heat_w, place, reaction.gap_mm);
        PieceSeated {
            gap_mm: reaction.gap_mm,
            strain,
            pressure_kpa: reaction.mean_kpa,
            force_n: reaction.force_n,
            drop_k: drop_k.filter(|_| touches),
            verdict: self.verdict(strain, tightest, pad.material),
        }
    }

    /// Judges a strain at a piece's centre and one at its tightest corner.
    pub(crate) fn verdict(&self, strain: f64, tightest: f64, material: &Material) -> Verdict {
        let thresholds = &self.thresholds;
        if tightest > material.max_strain.unwrap_or(thresholds.crushed) {
            Verdict::Crushed
        } else if strain < thresholds.floating {
            Verdict::Floating
        } else if tightest > thresholds.hard {
            Verdict::Hard
        } else if strain < thresholds.light {
            Verdict::Light
        } else {
            Verdict::Good
        }
    }
}

impl Material {
    /// Returns the temperature drop across a piece that fills its gap, K, where heat and conductivity
    /// are known.
    pub(super) fn drop_k(&self, heat_w: Option<f64>, piece: &Rect, gap_mm: f64) -> Option<f64> {
        let pad = layer_mm2_k_w(gap_mm.max(0.0), self.conductivity_w_mk?).ok()?;
        let through = [CONTACT_MM2_K_W, CONTACT_MM2_K_W, pad];
        drop_k(heat_w?, &through, piece.area()).ok()
    }
}

impl<'a> Fitted<'a> {
    pub(super) fn law(&self, moment: Moment) -> Result<PadLaw<'a>, Domain> {
        let law = PadLaw::new(&self.material.curve, self.thickness_mm)?;
        match moment {
            Moment::Assembly => Ok(law),
            Moment::Relaxed => law.relaxed(self.material.relaxed),
        }
    }
}

/// Returns what a pad does between two level faces.
fn at_gap(law: PadLaw<'_>, place: Rect, gap_mm: f64) -> Reaction {
    let pressure_kpa = law.at(gap_mm).pressure_kpa;
    Reaction {
        force_n: force_n(pressure_kpa, place.area()),
        mean_kpa: pressure_kpa,
        gap_mm,
        least_gap_mm: gap_mm,
        greatest_gap_mm: gap_mm,
        strain: Some(law.strain_at(gap_mm)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 100 kPa at a fifth, 400 kPa at two fifths; half of it stays.
    fn material() -> Material {
        Material {
            curve: PadCurve::new(&[[0.2, 100.0], [0.4, 400.0]]).expect("rises"),
            conductivity_w_mk: Some(5.0),
            max_strain: None,
            relaxed: 0.5,
        }
    }

    fn square(x: f64, y: f64, side: f64) -> Rect {
        Rect::from([x - side / 2.0, y - side / 2.0, side, side])
    }

    /// A die of 20 by 20 mm, 2 mm high, with four pieces of 10 by 10 mm round it on parts 1.2 mm high.
    fn assembly(screw_n: f64) -> Assembly {
        let corners = [[-30.0, -30.0], [30.0, -30.0], [30.0, 30.0], [-30.0, 30.0]];
        let screw = |&at: &[f64; 2]| Screw {
            at: at.into(),
            force_n: screw_n,
        };
        Assembly {
            cooler: Some(Cooler::Drawn {
                origin: Point { x: 0.0, y: 0.0 },
                screws: corners.iter().map(screw).collect(),
                stops: Vec::new(),
            }),
            dies: vec![Die {
                place: square(0.0, 0.0, 20.0),
                height_mm: 2.0,
                heat_w: Some(100.0),
            }],
            zones: vec![Gap {
                pieces: corners.iter().map(|&[x, y]| square(x, y, 10.0)).collect(),
                faces: Faces::OnCooler {
                    near_mm: 1.2,
                    recess_mm: 0.7584,
                },
                heat_w: Some(2.0),
            }],
            paste: Paste {
                law: PasteLaw::new(100.0).expect("positive"),
                conductivity_w_mk: 4.0,
            },
            thresholds: Thresholds::default(),
        }
    }

    fn assert_near(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
    }

    fn seat(assembly: &Assembly, thickness_mm: f64) -> Outcome {
        let material = material();
        let fitted = Fitted {
            thickness_mm,
            material: &material,
        };
        assembly.seat(&[Some(fitted)]).expect("balances")
    }

    /// 80 N pull; the pads of 2 mm, squeezed by a fifth at 100 kPa over 400 mm², push 40 N; the die gets
    /// the other 40 N, 100 kPa, under which this paste is 41.6 µm thin: the gap is then 1.6 mm.
    #[test]
    fn the_die_gets_what_the_pads_leave() {
        let outcome = seat(&assembly(20.0), 2.0);
        let (die, zone) = (outcome.peak.dies[0], outcome.peak.zones[0].clone());
        let zone = zone.expect("fitted");
        assert_near(die.force_n, 40.0, 0.4);
        assert_near(die.mean_kpa, 100.0, 1.0);
        assert_near(die.bond_um[0], 41.6, 0.1);
        assert_near(die.bond_um[1], 41.6, 0.1);
        assert_eq!(die.verdict, DieVerdict::Seated, "70 kPa is the least");
        // 100 W through 41.6 µm of 4 W/mK over 400 mm².
        assert_near(die.drop_k.expect("heat known"), 2.6, 0.01);
        assert_near(zone.force_n, 40.0, 0.4);
        assert_near(zone.gap_mm, 1.6, 0.001);
        assert_eq!(zone.verdict, Verdict::Good, "a fifth");
        // 2 W through 1.6 mm of 5 W/mK and two contacts of 20 mm²K/W over 100 mm².
        assert_near(zone.pieces[0].drop_k.expect("known"), 7.2, 0.01);
        assert!(outcome.peak.holds(), "everything holds");

        let later = outcome.relaxed.dies[0];
        assert_near(later.force_n, 60.0, 0.5);
    }

    /// Pads of 2.6 mm would be squeezed by 0.385, to some 370 kPa: they carry the 80 N alone.
    #[test]
    fn an_oversized_pad_holds_the_cooler_off() {
        let peak = seat(&assembly(20.0), 2.6).peak;
        assert_eq!(peak.dies[0].verdict, DieVerdict::HeldOff, "by pads");
        assert!(peak.dies[0].force_n < 1.0, "nothing is left for the die");
        assert!(!peak.holds(), "a condition fails");
    }

    /// The die alone carries 80 N, 200 kPa, on 37.1 µm: the gap is 1.5955 mm.
    #[test]
    fn a_pad_thinner_than_its_gap_floats() {
        let peak = seat(&assembly(20.0), 1.59).peak;
        let zone = peak.zones[0].clone().expect("fitted");
        assert_eq!(zone.verdict, Verdict::Floating, "no squeeze");
        assert_near(zone.force_n, 0.0, 1e-9);
        assert_eq!(zone.pieces[0].drop_k, None, "no path");
    }

    #[test]
    fn strains_are_judged_at_the_book_s_thresholds() {
        let (assembly, mut material) = (assembly(20.0), material());
        let verdict = |strain, material: &Material| assembly.verdict(strain, strain, material);
        for (strain, wanted) in [
            (-0.1, Verdict::Floating),
            (0.049, Verdict::Floating),
            (0.051, Verdict::Light),
            (0.101, Verdict::Good),
            (0.299, Verdict::Good),
            (0.301, Verdict::Hard),
            (0.501, Verdict::Crushed),
        ] {
            assert_eq!(verdict(strain, &material), wanted, "{strain}");
        }
        material.max_strain = Some(0.4);
        assert_eq!(verdict(0.41, &material), Verdict::Crushed, "its own limit");
    }

    /// Standoffs 2.25 mm high: the die is a quarter of a millimetre away, the pads keep their gap.
    #[test]
    fn a_cooler_on_standoffs_may_not_reach_the_die() {
        let mut assembly = assembly(20.0);
        assembly.cooler = Some(Cooler::Held { height_mm: 2.25 });
        let peak = seat(&assembly, 2.0).peak;
        assert_eq!(peak.dies[0].verdict, DieVerdict::NotReached, "0.25 mm");
        assert_near(peak.zones[0].clone().expect("fitted").gap_mm, 1.8084, 1e-9);
    }

    /// A second die, half a millimetre lower than the one the cooler seats on.
    #[test]
    fn a_lower_die_is_not_reached() {
        let mut assembly = assembly(20.0);
        assembly.dies.push(Die {
            place: square(0.0, 25.0, 8.0),
            height_mm: 1.5,
            heat_w: Some(5.0),
        });
        let dies = seat(&assembly, 2.0).peak.dies;
        assert_eq!(dies[0].verdict, DieVerdict::Seated, "the taller");
        assert_eq!(dies[1].verdict, DieVerdict::NotReached, "the lower");
        assert_eq!(dies[1].drop_k, None, "air");
    }

    #[test]
    fn a_fixed_gap_needs_no_cooler() {
        let mut assembly = assembly(20.0);
        assembly.cooler = None;
        assembly.zones[0].faces = Faces::Fixed { gap_mm: 1.2 };
        let outcome = seat(&assembly, 2.0);
        assert_eq!(outcome.peak.plate, None, "no cooler");
        let force = |seated: &Seated| seated.zones[0].clone().expect("fitted").force_n;
        // 400 kPa over 400 mm², and half of it.
        assert_near(force(&outcome.peak), 160.0, 1e-9);
        assert_near(force(&outcome.relaxed), 80.0, 1e-9);
        assembly.zones[0].faces = Faces::Unknown;
        assert_eq!(seat(&assembly, 2.0).peak.zones, [None], "not known");
    }

    #[test]
    fn what_cannot_balance_is_an_error() {
        let beside = |at: [f64; 2]| {
            let mut assembly = assembly(20.0);
            assembly.zones.clear();
            if let Some(Cooler::Drawn { screws, .. }) = &mut assembly.cooler {
                *screws = vec![Screw {
                    at: at.into(),
                    force_n: 20.0,
                }];
            }
            assembly.seat(&[])
        };
        assert!(
            matches!(beside([45.0, 0.0]), Err(Domain::CannotBalance { .. })),
            "35 mm beside the die"
        );
        let mut unscrewed = assembly(20.0);
        unscrewed.cooler = Some(Cooler::Drawn {
            origin: Point { x: 0.0, y: 0.0 },
            screws: Vec::new(),
            stops: Vec::new(),
        });
        assert_eq!(unscrewed.seat(&[]), Err(Domain::NoLoad), "no screw");
        let mut bare = assembly(20.0);
        bare.dies.clear();
        assert_eq!(bare.seat(&[]), Err(Domain::NoSupport), "no die, no pad");
    }
}

//! How everything lies once it is screwed together, and whether that is well.

use crate::record::schema::{Words, words};
use crate::stack::Plate;

words! {
    /// How a pad fares; the worst comes last.
    #[derive(PartialOrd, Ord)]
    pub enum Verdict {
        /// It is squeezed as it should be.
        Good = "good",
        /// It hardly touches.
        Light = "light",
        /// It pushes harder than it should.
        Hard = "hard",
        /// It does not touch, or might not.
        Floating = "floating",
        /// It is squeezed beyond what its material takes.
        Crushed = "crushed",
    }
}

words! {
    /// How a die fares; the worst comes last.
    #[derive(PartialOrd, Ord)]
    pub enum DieVerdict {
        /// The cooler presses evenly on it.
        Seated = "seated",
        /// The cooler presses on it at a tilt.
        Uneven = "uneven",
        /// Something keeps the cooler from pressing on it.
        HeldOff = "held off",
        /// Standoffs or a taller die keep the cooler too far away for paste to bridge.
        NotReached = "not reached",
    }
}

/// How everything lies, at assembly and later.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Just screwed together; verdicts are given for this.
    pub peak: Seated,
    /// After the pads have given way.
    pub relaxed: Seated,
}

/// How everything lies at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Seated {
    /// Where the cooler is; nothing where there is none.
    pub plate: Option<Plate>,
    /// How hard it rests on each standoff, N, in the assembly's order; zero where it does not touch.
    pub stops_n: Vec<f64>,
    /// The dies, in the assembly's order.
    pub dies: Vec<DieSeated>,
    /// The zones, in the assembly's order; nothing where nothing is fitted or the gap is not known.
    pub zones: Vec<Option<ZoneSeated>>,
}

/// How one die fares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DieSeated {
    /// The force it gets, N.
    pub force_n: f64,
    /// Its mean pressure, kPa.
    pub mean_kpa: f64,
    /// Least and greatest bond line, µm.
    pub bond_um: [f64; 2],
    /// Temperature drop across the paste, K, where the heat is known and paste bridges the gap.
    pub drop_k: Option<f64>,
    /// Whether that is well.
    pub verdict: DieVerdict,
}

/// How the pads of one zone fare.
#[derive(Clone, Debug, PartialEq)]
pub struct ZoneSeated {
    /// The mean of its pieces' gaps, mm.
    pub gap_mm: f64,
    /// How hard they push together, N.
    pub force_n: f64,
    /// The worst piece's verdict.
    pub verdict: Verdict,
    /// Its pieces.
    pub pieces: Vec<PieceSeated>,
}

/// How one piece of pad fares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PieceSeated {
    /// The gap at its centre, mm.
    pub gap_mm: f64,
    /// The strain at its centre; negative where it floats.
    pub strain: f64,
    /// Its mean pressure, kPa.
    pub pressure_kpa: f64,
    /// How hard it pushes, N.
    pub force_n: f64,
    /// Temperature drop from face to face, K, where heat and conductivity are known and it touches.
    pub drop_k: Option<f64>,
    /// Whether that is well: too loose is judged at its centre, too tight at its tightest corner.
    pub verdict: Verdict,
}

impl Seated {
    /// Returns how hard the cooler rests on standoffs, N, where its screws bottom on any.
    pub fn standoffs_n(&self) -> Option<f64> {
        (!self.stops_n.is_empty()).then(|| self.stops_n.iter().sum())
    }

    /// Tells whether standoffs carry more than the pads of any zone.
    pub fn is_on_standoffs(&self) -> bool {
        let zones = self.zones.iter().flatten();
        let of_pads = zones.map(|zone| zone.force_n).fold(0.0, f64::max);
        self.standoffs_n().is_some_and(|force_n| force_n > of_pads)
    }

    /// Tells whether every condition holds: no pad floats or is crushed, and no die is held off or not
    /// reached.
    pub fn holds(&self) -> bool {
        let mut pads = self.zones.iter().flatten();
        let mut dies = self.dies.iter();
        pads.all(|zone| zone.verdict < Verdict::Floating)
            && dies.all(|die| die.verdict < DieVerdict::HeldOff)
    }
}

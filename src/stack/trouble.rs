use super::assembly::{Assembly, DieVerdict, Fitted, Moment, Seated, Verdict};
use super::seating::Plate;

/// A condition of a good stack-up that fails, and where.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trouble {
    /// The cooler cannot balance on what is fitted.
    Unbalanced,
    /// Paste does not bridge the gap over a die.
    NotReached {
        /// The die, by position in the assembly.
        die: usize,
    },
    /// Something keeps the cooler from pressing on a die.
    HeldOff {
        /// The die, by position in the assembly.
        die: usize,
    },
    /// A piece of pad is squeezed beyond what its material takes.
    Crushed {
        /// The zone, by position in the assembly.
        zone: usize,
    },
    /// A piece of pad does not touch, or might not.
    Floats {
        /// The zone, by position in the assembly.
        zone: usize,
    },
}

impl Trouble {
    /// Returns the zone whose pads are the trouble, where pads are.
    pub fn zone(self) -> Option<usize> {
        match self {
            Self::Crushed { zone } | Self::Floats { zone } => Some(zone),
            Self::Unbalanced | Self::NotReached { .. } | Self::HeldOff { .. } => None,
        }
    }
}

impl Seated {
    /// Returns every condition that fails, the gravest first; none where [`Seated::holds`].
    pub fn troubles(&self) -> Vec<Trouble> {
        let mut troubles = Vec::new();
        for (die, seated) in self.dies.iter().enumerate() {
            match seated.verdict {
                DieVerdict::NotReached => troubles.push(Trouble::NotReached { die }),
                DieVerdict::HeldOff => troubles.push(Trouble::HeldOff { die }),
                DieVerdict::Seated | DieVerdict::Uneven => {}
            }
        }
        for (zone, seated) in self.zones.iter().enumerate() {
            let any = |verdict: Verdict| {
                let mut pieces = seated.iter().flat_map(|zone| &zone.pieces);
                pieces.any(|piece| piece.verdict == verdict)
            };
            if any(Verdict::Crushed) {
                troubles.push(Trouble::Crushed { zone });
            }
            if any(Verdict::Floating) {
                troubles.push(Trouble::Floats { zone });
            }
        }
        troubles.sort_unstable();
        troubles
    }
}

impl Assembly {
    /// Returns what fails with these pads just screwed together, beginning the search at a position.
    pub(super) fn troubles(
        &self,
        fitted: &[Option<Fitted<'_>>],
        near: Option<&Plate>,
    ) -> Vec<Trouble> {
        match self.seat_near(fitted, Moment::Assembly, near) {
            Ok(seated) => seated.troubles(),
            Err(_) => vec![Trouble::Unbalanced],
        }
    }

    /// Returns where the cooler rests on these pads, as a start for similar ones.
    pub(super) fn start(&self, fitted: &[Option<Fitted<'_>>]) -> Option<Plate> {
        self.seat_at(fitted, Moment::Assembly).ok()?.plate
    }
}

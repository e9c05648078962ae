//! The usual cautions of each phase, with signal words in the sense of ANSI Z535.6: WARNING could
//! kill or badly injure, CAUTION could injure, NOTICE could damage the board.

use serde::Serialize;

use crate::record::{NoteKind, Phase};

/// One caution.
#[derive(Clone, Copy, Debug, Serialize)]
pub(super) struct Caution {
    /// Its signal word.
    pub kind: NoteKind,
    /// The hazard, what it does, and how to avoid it.
    pub text: &'static str,
}

const fn warning(text: &'static str) -> Caution {
    Caution {
        kind: NoteKind::Warning,
        text,
    }
}

const fn caution(text: &'static str) -> Caution {
    Caution {
        kind: NoteKind::Caution,
        text,
    }
}

const fn notice(text: &'static str) -> Caution {
    Caution {
        kind: NoteKind::Notice,
        text,
    }
}

/// What comes before everything else, on every sheet.
pub(super) const FIRST: &str = "The maker's instructions and the rules of your country and workplace \
    come first. Work on mains supplies and batteries belongs to people licensed for it.";

const UNPLUGGED: Caution = warning(
    "Mains voltage and charged capacitors can kill. Switch off, pull the plug, hold the power button \
     for ten seconds and wait a minute. Never open a power supply.",
);

/// Bare metal at 48 °C burns in ten minutes, at 51 °C in one (ISO 13732-1, from memory).
const HOT: Caution = caution(
    "Heat sinks stay hot after switching off and can burn. Let the board cool until you can keep a \
     hand on it.",
);

const SHARP: Caution = caution(
    "Fins, stamped brackets and fan blades cut. Hold bodies by their edges, keep fingers out of fans.",
);

const STATIC: Caution = notice(
    "A spark you cannot feel can kill a chip. Wear a grounded wrist strap, work on a dissipative mat.",
);

/// Isopropanol's flash point is 12 °C (NIOSH Pocket Guide).
const SOLVENT: Caution = warning(
    "Isopropanol burns at room temperature and its vapour makes dizzy. Air the room, keep flames, \
     sparks and soldering irons away, and let it dry before power returns.",
);

const BLADE: Caution =
    caution("A blade slips on silicone. Cut away from yourself against a metal ruler.");

const CONDUCTIVE: Caution = notice(
    "Some pastes and all liquid metals conduct electricity: one drop beside the die can short it. \
     Read what yours does before you open it.",
);

const DIE_EDGE: Caution = notice(
    "A bare die chips when a cooler lands on one edge. Lower it level, hold it, and tighten crosswise.",
);

const TORQUE: Caution = notice(
    "Too tight bends the board and cracks solder joints. Where no torque is given: snug, and stop.",
);

const RUNNING: Caution = caution(
    "A running board has turning fans and hot metal. Measure with sensors, not with fingers.",
);

const LEAVE_IT: Caution = notice(
    "A board well inside its limits is best left closed: opening it for a few degrees is how most of \
     them die.",
);

/// Returns the usual cautions of a phase, the gravest first.
pub(super) fn of_phase(phase: Phase) -> &'static [Caution] {
    match phase {
        Phase::Decide => &[RUNNING, LEAVE_IT],
        Phase::Open => &[UNPLUGGED, HOT, SHARP, STATIC],
        Phase::Measure => &[SHARP, STATIC],
        Phase::Fit => &[SOLVENT, BLADE, STATIC, CONDUCTIVE],
        Phase::Close => &[SHARP, STATIC, DIE_EDGE, TORQUE],
        Phase::Prove => &[UNPLUGGED, RUNNING],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::schema::Words as _;

    #[test]
    fn the_gravest_comes_first() {
        for phase in Phase::ALL {
            let kinds: Vec<NoteKind> = of_phase(*phase).iter().map(|one| one.kind).collect();
            assert!(kinds.is_sorted(), "{phase}");
        }
    }
}

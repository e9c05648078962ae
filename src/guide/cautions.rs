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
     for ten seconds and wait a minute. A battery keeps a board live (laptops): unplug it as soon as you \
     reach it, before anything else, and never bend it. Never open a power supply.",
);

/// Bare metal at 48 °C burns in ten minutes, at 51 °C in one (ISO 13732-1, from memory).
const HOT: Caution = caution(
    "Heat sinks stay hot after switching off and can burn. Let the board cool; before you take hold, \
     bring the back of a hand near it, or a thermometer.",
);

const SHARP: Caution = caution(
    "Fins, stamped brackets and fan blades cut. Hold bodies by their edges, keep fingers out of fans.",
);

const STATIC: Caution = notice(
    "A spark you cannot feel can kill a chip. Wear a grounded wrist strap, work on a dissipative mat.",
);

/// Isopropanol's flash point is 12 °C (NIOSH Pocket Guide).
const SOLVENT: Caution = warning(
    "Isopropanol can catch fire at room temperature, and its vapour makes you dizzy. Air the room, \
     keep flames, sparks and soldering irons away, and let it dry before power returns.",
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

/// IEC 62368-1 table 38 (TS1): metal that is touched for up to ten seconds may have 60 °C, held for up to a
/// minute 51 °C (48 and 51 read, 60 from memory). ISO 13732-1: bare metal burns within half a second from
/// 65 °C on, in a minute at 51 °C (from memory).
const TOUCH: Caution = caution(
    "Bare metal at 51\u{a0}°C burns in a minute, at 65\u{a0}°C in half a second. Right after a run under load a heat \
     sink can be hotter than that: switch off, let the fans run on or wait fifteen minutes, and hold it only once \
     it is below 48\u{a0}°C.",
);

const LEAVE_IT: Caution = notice(
    "A board well inside its limits is best left closed: opening it for a few degrees is how most of \
     them die.",
);

/// Returns the usual cautions of a phase, the gravest first. `is_pasted` tells whether a die of the board
/// touches its cooler through paste: only such a board has paste to spill and a bare die to chip.
pub(super) fn of_phase(phase: Phase, is_pasted: bool) -> Vec<Caution> {
    let usual: &[Caution] = match phase {
        Phase::Decide => &[RUNNING, TOUCH, LEAVE_IT],
        Phase::Open => &[UNPLUGGED, HOT, SHARP, STATIC],
        Phase::Measure => &[SHARP, STATIC],
        Phase::Fit => &[SOLVENT, BLADE, STATIC],
        Phase::Close => &[SHARP, STATIC, TORQUE],
        Phase::Prove => &[RUNNING, TOUCH],
    };
    let of_paste: &[Caution] = match phase {
        Phase::Fit => &[CONDUCTIVE],
        Phase::Close => &[DIE_EDGE],
        _ => &[],
    };
    let of_paste = of_paste.iter().filter(|_| is_pasted);
    usual.iter().chain(of_paste).copied().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::schema::Words as _;

    #[test]
    fn the_gravest_comes_first() {
        for phase in Phase::ALL {
            for is_pasted in [false, true] {
                let cautions = of_phase(*phase, is_pasted);
                assert!(cautions.is_sorted_by_key(|one| one.kind), "{phase}");
            }
        }
    }

    /// IEC 62368-1, table 38: 48 °C held longer than a minute, 51 °C up to one (both read on a stored page).
    /// ISO 13732-1: bare metal 51 °C for a minute, 65 °C for half a second (from memory).
    #[test]
    fn touch_temperatures_are_those_of_the_standards() {
        for phase in [Phase::Decide, Phase::Prove] {
            let cautions = of_phase(phase, true);
            let touch = cautions
                .iter()
                .find(|one| one.text.contains("burns in a minute"));
            let text = touch.expect("a board under load is hot").text;
            for wanted in [
                "51\u{a0}°C burns in a minute",
                "65\u{a0}°C in half a second",
                "below 48\u{a0}°C",
            ] {
                assert!(text.contains(wanted), "{phase}: {text}");
            }
        }
    }

    #[test]
    fn only_a_bare_die_can_chip() {
        let texts = |is_pasted| {
            let cautions = of_phase(Phase::Close, is_pasted);
            cautions.iter().map(|one| one.text).collect::<Vec<_>>()
        };
        assert!(texts(true).contains(&DIE_EDGE.text), "pasted");
        assert!(!texts(false).contains(&DIE_EDGE.text), "padded");
    }
}

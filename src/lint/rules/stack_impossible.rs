use std::collections::BTreeSet;

use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::{Report, StackUp};
use crate::source::keys;
use crate::stack::gap::{Evidence, Finding, Source};

declare_rule! {
    /// Weighs what is known of each gap: the recorded heights within their tolerances, the imprints of old
    /// pads, and the maker's pad, which a healthy board squeezes within limits. Two of them may exclude each
    /// other.
    ///
    /// ## Why
    ///
    /// A gap has one width. Where the heights ask for one and the pad for another, one of the two records is
    /// false, and a guide made from it would have somebody fit the wrong pad.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "die" }
    ///
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[38.0, 20.0, 24.0, 20.0]]
    /// height_mm = 1.9
    /// tolerance_mm = 0.05
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[18.0, 23.0, 12.0, 14.0], [70.0, 23.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    /// recess_mm = 1.8
    /// recess_tolerance_mm = 0.1
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 40.0
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "die" }
    ///
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[38.0, 20.0, 24.0, 20.0]]
    /// height_mm = 1.9
    /// tolerance_mm = 0.05
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[18.0, 23.0, 12.0, 14.0], [70.0, 23.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    /// recess_mm = 0.8
    /// recess_tolerance_mm = 0.1
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 40.0
    /// ```
    ///
    /// ## What to do
    ///
    /// Look at both lines. Common are a recess with its sign turned, a height from the wrong surface, a
    /// standoff that was forgotten, and the pad of another zone. Measure the one that is easier to reach again.
    "stack-impossible", Consistency, Error,
    "what is known of a gap excludes itself",
    Stack(check)
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    let mut told = BTreeSet::new();
    for stack in stacks {
        for zone in &stack.fit.zones {
            let Finding::Impossible { narrow, wide } = &zone.finding.gap else {
                continue;
            };
            if !told.insert(zone.zone) {
                continue;
            }
            let message = format!(
                "the gap at `{}` cannot be{}: {} ask for {:.2} mm at most, {} for {:.2} mm at least",
                zone.id,
                stack.on(),
                name(narrow),
                narrow.allows.high_mm,
                name(wide),
                wide.allows.low_mm,
            );
            let own = board.at(keys!["zone", zone.zone, "id"]);
            let mut marks = [narrow, wide]
                .into_iter()
                .flat_map(|one| one.places.iter().map(move |place| (place, asks(one))));
            let first = marks.next();
            let place = first.as_ref().map_or(own, |(place, _)| (*place).clone());
            let finding = report.find(place, message);
            finding.help("measure one of the two again; the other may be false as well");
            if let Some((_, label)) = first {
                finding.label(label);
            }
            for (place, label) in marks {
                finding.also(place.clone(), label);
            }
        }
    }
}

/// Returns what a piece of evidence is called, in the plural.
fn name(evidence: &Evidence) -> &'static str {
    match evidence.source {
        Source::Geometry => "the recorded heights",
        Source::Imprints => "the imprints",
        Source::MakersPad => "healthy squeezes of the maker's pad",
    }
}

fn asks(evidence: &Evidence) -> String {
    let allows = &evidence.allows;
    let (low_mm, high_mm) = (allows.low_mm, allows.high_mm);
    // A value of many jobs asks for what none of them need ask for alone.
    let who = match evidence.source {
        Source::Imprints if evidence.places.len() > 1 => "the imprints together ask",
        _ => "asks",
    };
    format!("{who} for {low_mm:.2} to {high_mm:.2} mm")
}

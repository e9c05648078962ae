use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Board, Book, Face, share_a_revision};
use crate::lint::Report;
use crate::lint::phrase::and_more;
use crate::lint::rule::declare_rule;
use crate::record;
use crate::units::Clash;

declare_rule! {
    /// Looks for pieces of two zones on one side that share more than 0.1 mm in both directions though
    /// their pads differ in thickness. Zones that lie one above the other, with a body between them, may.
    ///
    /// ## Why
    ///
    /// Two pads cannot fill one spot. Laid over each other they are as thick as both together, and that
    /// lifts the cooler off the die.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[part]]
    /// id = "hub"
    /// kind = "controller"
    /// side = "front"
    /// height_mm = 1.5
    /// at = [[33.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    /// at = [[20.0, 20.0, 12.8, 14.0]]
    ///
    /// [[zone]]
    /// id = "hub"
    /// between = ["hub", "cooler"]
    /// pad_mm = 1.5
    /// at = [[32.4, 20.0, 12.6, 14.0]]
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[part]]
    /// id = "hub"
    /// kind = "controller"
    /// side = "front"
    /// height_mm = 1.5
    /// at = [[33.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    ///
    /// [[zone]]
    /// id = "hub"
    /// between = ["hub", "cooler"]
    /// pad_mm = 1.5
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Trim one zone's pieces; without `at` they are just as large as the part. If the two belong to
    /// different revisions, say so with `only`.
    "overlapping-pads", Geometry, Error,
    "two pads of different thickness lie on one spot",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let stack = Stack::of(board);
    for later in 0..board.zones.len() {
        let clash_with = |earlier| Some((earlier, clash(board, &stack, earlier, later)?));
        let Some((earlier, clash)) = (0..later).find_map(clash_with) else {
            continue;
        };
        let [one, other] = [later, earlier].map(|zone| &board.record.zone[zone]);
        let (theirs, own) = clash.first;
        let message = format!(
            "pads of `{}` and `{}` share {:.1} x {:.1} mm{}",
            one.id,
            other.id,
            clash.shared.width,
            clash.shared.height,
            and_more(clash.count),
        );
        let thickness = |zone: &record::Zone| {
            format!(
                "`{}`, {:.2} mm thick",
                zone.id,
                zone.pad_mm.unwrap_or_default()
            )
        };
        report
            .find(board.at(board.piece_path(later, own)), message)
            .label(thickness(one))
            .also(
                board.at(board.piece_path(earlier, theirs)),
                thickness(other),
            )
            .help("trim one of them to its part");
    }
}

/// Returns where two zones overlap whose pads cannot lie on one spot.
fn clash(board: &Board, stack: &Stack, earlier: usize, later: usize) -> Option<Clash> {
    let [one, other] = [earlier, later].map(|zone| &board.record.zone[zone]);
    let [lower, upper] = [earlier, later].map(|zone| &board.zones[zone]);
    let differ = (one.pad_mm? - other.pad_mm?).abs() > f64::EPSILON;
    let meet = lower.side.is_some() && lower.side == upper.side;
    let [only, other_only] = [earlier, later].map(|zone| board.revisions_of_zone(zone));
    if !(differ && meet && share_a_revision(only, other_only)) {
        return None;
    }
    let clash = Clash::between(&lower.pieces, &upper.pieces)?;
    (!stack.has(earlier, later) && !stack.has(later, earlier)).then_some(clash)
}

/// Which bodies lie over which, as far as zones between them tell.
struct Stack {
    /// The bodies that each zone begins and ends on, as a whole.
    ends: Vec<[Option<usize>; 2]>,
    /// By a body that a zone ends on, itself and every body above it.
    above: BTreeMap<usize, BTreeSet<usize>>,
}

impl Stack {
    fn of(board: &Board) -> Self {
        let end = |face: Option<Face>| match face {
            Some(Face::Body(body)) => Some(board.whole(body)),
            _ => None,
        };
        let ends: Vec<_> = board.zones.iter().map(|zone| zone.faces.map(end)).collect();
        let links: BTreeSet<(usize, usize)> = ends
            .iter()
            .filter_map(|&[near, far]| near.zip(far))
            .collect();
        let far = ends.iter().filter_map(|&[_, far]| far);
        let above = far.map(|body| (body, reach(body, &links))).collect();
        Self { ends, above }
    }

    /// Tells whether the upper zone begins on a body that lies above the lower one.
    fn has(&self, lower: usize, upper: usize) -> bool {
        let ([_, Some(far)], [Some(near), _]) = (self.ends[lower], self.ends[upper]) else {
            return false;
        };
        self.above
            .get(&far)
            .is_some_and(|above| above.contains(&near))
    }
}

/// Returns a body and all that links lead to from it.
fn reach(body: usize, links: &BTreeSet<(usize, usize)>) -> BTreeSet<usize> {
    let mut found = BTreeSet::from([body]);
    let mut next = vec![body];
    while let Some(body) = next.pop() {
        let on_it = links.range((body, 0)..=(body, usize::MAX));
        next.extend(on_it.filter_map(|&(_, other)| found.insert(other).then_some(other)));
    }
    found
}

use crate::book::{Board, Book, is_on};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::PartKind;
use crate::source::keys;
use crate::units::{Rect, covered_area, shared_area};

declare_rule! {
    /// Adds up how much of a memory or power-stage part its pads cover, over all its places and for each
    /// revision on its own, and finds those under a half.
    ///
    /// ## Why
    ///
    /// Pads on some of the places are easily taken for all of them: the rest stays bare, and burns.
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
    /// at = [[20.0, 20.0, 12.0, 14.0], [40.0, 20.0, 12.0, 14.0], [60.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    /// at = [[20.0, 20.0, 12.0, 14.0]]
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
    /// at = [[20.0, 20.0, 12.0, 14.0], [40.0, 20.0, 12.0, 14.0], [60.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
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
    /// Add the missing pieces; without `at` a zone has one for each place of its part. Places that the maker
    /// left bare on purpose belong in a part of their own.
    "part-barely-covered", Completeness, Warning,
    "pads cover less than half of a part",
    Board(check)
}

/// The share of a part's area that its pads cover at least; common practice covers nearly all of it.
const LEAST_SHARE: f64 = 0.5;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, part) in board.record.part.iter().enumerate() {
        if !matches!(part.kind, PartKind::Memory | PartKind::PowerStage) {
            continue;
        }
        let zones: Vec<usize> = board
            .zones()
            .filter(|(_, _, zone)| zone.part() == Some(index))
            .map(|(zone, _, _)| zone)
            .collect();
        let shares = revisions(board, &zones).into_iter().map(|revision| {
            let zones = on_revision(board, &zones, revision);
            (share(board, &zones, &part.at), revision, zones)
        });
        // Pads that touch nothing of the part lie off it, and no pads at all are none to judge.
        let least = shares
            .filter(|&(share, ..)| share > f64::EPSILON && share < LEAST_SHARE)
            .min_by(|left, right| left.0.total_cmp(&right.0));
        let Some((share, revision, zones)) = least else {
            continue;
        };
        let on = revision.map_or_else(String::new, |revision| format!(" on {revision}"));
        let message = format!(
            "pads cover {:.0} % of `{}`{on}; at least {:.0} % is usual",
            100.0 * share,
            part.id,
            100.0 * LEAST_SHARE,
        );
        let finding = report.find(board.at(keys!["part", index, "at"]), message);
        finding.help("add the missing pieces, or leave `at` out for one on each place");
        for zone in zones {
            finding.also(board.at(keys!["zone", zone, "at"]), "these pads");
        }
    }
}

/// Returns the revisions to judge a part's zones on; `None` is any, where no zone tells them apart.
fn revisions<'a>(board: &'a Board, zones: &[usize]) -> Vec<Option<&'a str>> {
    let tells = |&zone: &usize| !board.revisions_of_zone(zone).is_empty();
    if zones.iter().any(tells) {
        let listed = board.record.board.revisions.iter();
        listed.map(|revision| Some(revision.as_str())).collect()
    } else {
        vec![None]
    }
}

fn on_revision(board: &Board, zones: &[usize], revision: Option<&str>) -> Vec<usize> {
    let has = |&zone: &usize| is_on(board.revisions_of_zone(zone), revision);
    zones.iter().copied().filter(has).collect()
}

/// Returns the share of a part's places that the pads of some of its zones cover.
fn share(board: &Board, zones: &[usize], places: &[Rect]) -> f64 {
    if zones
        .iter()
        .any(|&zone| board.record.zone[zone].at.is_empty())
    {
        return 1.0;
    }
    let pieces = zones.iter().flat_map(|&zone| &board.zones[zone].pieces);
    let pieces: Vec<Rect> = pieces.copied().collect();
    shared_area(&pieces, places) / covered_area(places)
}

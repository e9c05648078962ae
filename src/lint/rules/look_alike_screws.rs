use crate::book::{Board, Book, share_a_revision};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::order::tray_letter;
use crate::record::{FastenerKind, Fasteners, NoteKind, Phase};
use crate::source::keys;

declare_rule! {
    /// Looks for groups of screws with the same thread and drive and another length, of which no note says
    /// how they are told apart. Captive screws stay where they are.
    ///
    /// ## Why
    ///
    /// They fit each other's holes. The longer one in the shorter one's place presses on the board, or on a
    /// part behind it, before its head is down; the shorter one holds by a thread or two. Two trays keep them
    /// apart only if somebody was told that there are two.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "long"
    /// thread = "M2"
    /// length_mm = 8.0
    /// drive = "PH0"
    /// from = "front"
    /// at = [[10.0, 10.0]]
    /// holds = ["cover", "pcb"]
    ///
    /// [[fasteners]]
    /// id = "short"
    /// thread = "M2"
    /// length_mm = 4.0
    /// drive = "PH0"
    /// from = "front"
    /// at = [[90.0, 10.0]]
    /// holds = ["cover", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "long"
    /// thread = "M2"
    /// length_mm = 8.0
    /// drive = "PH0"
    /// from = "front"
    /// at = [[10.0, 10.0]]
    /// holds = ["cover", "pcb"]
    ///
    /// [[fasteners]]
    /// id = "short"
    /// thread = "M2"
    /// length_mm = 4.0
    /// drive = "PH0"
    /// from = "front"
    /// at = [[90.0, 10.0]]
    /// holds = ["cover", "pcb"]
    ///
    /// [[note]]
    /// on = "long"
    /// when = "open"
    /// kind = "notice"
    /// text = "The long one belongs at the hinge, and nowhere else."
    /// ```
    ///
    /// ## What to do
    ///
    /// Write a note on one of the groups, for opening or closing, that says where the longer ones belong and
    /// how they are told. Or accept it with a reason, if any of them does in every hole.
    "look-alike-screws", Completeness, Warning,
    "screws that fit each other's holes differ in length",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let groups = &board.record.fasteners;
    let mut told: Vec<usize> = Vec::new();
    for (index, group) in groups.iter().enumerate() {
        let is_alike = |other: &usize| are_alike(board, index, *other);
        let alike: Vec<usize> = (0..groups.len()).filter(is_alike).collect();
        let has_note = alike
            .iter()
            .chain([&index])
            .any(|&one| has_note(board, &groups[one]));
        if alike.is_empty() || has_note || told.contains(&index) {
            continue;
        }
        told.extend(&alike);
        let message = format!(
            "tray {}, `{}`, {} and {} {}",
            tray_letter(index),
            group.id,
            length(group),
            others(groups, &alike),
            what(group)
        );
        let finding = report.find(board.at(keys!["fasteners", index, "length_mm"]), message);
        for &other in &alike {
            finding.also(
                board.at(keys!["fasteners", other, "length_mm"]),
                length(&groups[other]),
            );
        }
        finding.help(
            "say in a note on one of them where the longer ones belong, and how to tell them",
        );
    }
}

/// Tells whether two groups fit each other's holes and have different lengths.
fn are_alike(board: &Board, one: usize, other: usize) -> bool {
    let groups = &board.record.fasteners;
    let (left, right) = (&groups[one], &groups[other]);
    let are_screws = [left, right]
        .iter()
        .all(|group| group.kind == FastenerKind::Screw && !group.captive);
    let same = left.thread.is_some() && left.thread == right.thread && left.drive == right.drive;
    let differ = match (left.length_mm, right.length_mm) {
        (Some(left), Some(right)) => (left - right).abs() > SAME_MM,
        _ => false,
    };
    let (only, other_only) = (
        board.revisions_of_fasteners(one),
        board.revisions_of_fasteners(other),
    );
    are_screws && same && differ && share_a_revision(only, other_only)
}

/// Lengths that differ by no more than this, mm, are the same screw.
const SAME_MM: f64 = 0.01;

fn has_note(board: &Board, group: &Fasteners) -> bool {
    board.record.note.iter().any(|note| {
        let is_in_time = matches!(note.when, Phase::Open | Phase::Close);
        note.on == group.id && is_in_time && note.kind != NoteKind::Tip
    })
}

fn length(group: &Fasteners) -> String {
    group
        .length_mm
        .map_or_else(String::new, |length| format!("{length} mm"))
}

fn others(groups: &[Fasteners], alike: &[usize]) -> String {
    let named = alike.iter().map(|&other| {
        let group = &groups[other];
        format!(
            "tray {}, `{}`, {}",
            tray_letter(other),
            group.id,
            length(group)
        )
    });
    named.collect::<Vec<_>>().join(" and ")
}

fn what(group: &Fasteners) -> String {
    let thread = group.thread.as_deref().unwrap_or_default();
    let drive = group.drive.as_deref().unwrap_or("of a bit not known");
    format!("are all {thread} {drive}")
}

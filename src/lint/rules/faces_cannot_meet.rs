use crate::book::{Board, Book, Face, Zone, share_a_revision};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::{BodyKind, Side};
use crate::source::keys;

declare_rule! {
    /// Looks for zones whose two faces have no gap between them: both on one body, or on a body and what is
    /// part of it; both on parts or the bare board; on different sides; on different revisions; on a label
    /// or an I/O bracket; or named with the farther one first.
    ///
    /// ## Why
    ///
    /// A pad lies between two faces that the closed board brings together. If these do not meet, one of
    /// them is the wrong one, and every thickness worked out for the zone is wrong with it.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "backplate"
    /// kind = "backplate"
    /// side = "back"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "backplate"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "backplate-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["backplate", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "backplate"
    /// kind = "backplate"
    /// side = "back"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "back"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "backplate"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "backplate-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["backplate", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Name the two faces that the pad touches, the one nearer to the board first. Pads behind a part, on
    /// the other side of the board, lie between `"pcb"` and the body there.
    "faces-cannot-meet", Consistency, Error,
    "a zone lies between faces that do not meet",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, written, zone) in board.zones() {
        let Some(reason) = reason(board, zone) else {
            continue;
        };
        let [near, far] = &written.between;
        let message = format!("`{near}` and `{far}` do not face each other: {reason}");
        report
            .find(board.at(keys!["zone", index, "between"]), message)
            .help("name the two faces that the pad touches, the one nearer to the board first");
    }
}

/// Says why a zone's faces have no gap between them, if they have none.
fn reason(board: &Board, zone: &Zone) -> Option<String> {
    let [Some(near), Some(far)] = zone.faces else {
        return None;
    };
    let bare = [near, far]
        .into_iter()
        .find_map(|face| takes_no_pads(board, face));
    if let Some(kind) = bare {
        return Some(format!("no pad lies on {kind}"));
    }
    match (near, far) {
        (Face::Body(near), Face::Body(far)) if board.whole(near) == board.whole(far) => {
            return Some("they are one body".into());
        }
        (Face::Body(_), Face::Part(_) | Face::Pcb) => {
            return Some("the one nearer to the board comes first".into());
        }
        (Face::Part(_) | Face::Pcb, Face::Part(_) | Face::Pcb) => {
            return Some("neither is a body".into());
        }
        _ => {}
    }
    let ((near_side, near_only), (far_side, far_only)) = (home(board, near), home(board, far));
    match (near_side, far_side) {
        (Some(near), Some(far)) if near != far => {
            Some(format!("one is on the {near}, the other on the {far}"))
        }
        _ if !share_a_revision(near_only, far_only) => {
            Some("no revision of the board has both".into())
        }
        _ => None,
    }
}

/// Returns what a body is, with its article, if its kind takes no pads.
fn takes_no_pads(board: &Board, face: Face) -> Option<&'static str> {
    let Face::Body(body) = face else { return None };
    match board.record.body[body].kind {
        BodyKind::Label => Some("a label"),
        BodyKind::IoBracket => Some("an I/O bracket"),
        _ => None,
    }
}

/// Returns a face's side and the revisions that have it; the bare board has both sides, on all.
fn home(board: &Board, face: Face) -> (Option<Side>, &[String]) {
    match face {
        Face::Pcb => (None, &[]),
        Face::Part(part) => {
            let part = &board.record.part[part];
            (Some(part.side), &part.only)
        }
        Face::Body(body) => {
            let body = &board.record.body[body];
            (Some(body.side), &body.only)
        }
    }
}

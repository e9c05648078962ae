//! What most often kills a board of a build before the first pull, in sentences.

use crate::book::Board;
use crate::order;
use crate::record::BodyKind;

/// Says what is separate from what, what hides screws, which cables hold, and what has no order.
pub(super) fn pulling(board: &Board) -> Vec<String> {
    [
        plates(board),
        hidden_trays(board),
        cables(board),
        stuck(board),
    ]
    .concat()
}

/// Tells plates that stay on the board when the cooler lifts from those that come with it.
fn plates(board: &Board) -> Vec<String> {
    let is_plate = |kind| matches!(kind, BodyKind::Bracket | BodyKind::Stiffener);
    let bodies = &board.record.body;
    let plates = bodies.iter().filter(|body| is_plate(body.kind));
    let sentence = |plate: &crate::record::Body| {
        let name = board.name(&plate.id);
        if let Some(parent) = &plate.part_of {
            return Some(format!(
                "The {name} is one piece with the {}.",
                board.name(parent)
            ));
        }
        let over = bodies.iter().find(|body| body.over.contains(&plate.id))?;
        let over = board.name(&over.id);
        Some(format!(
            "The {name} is separate: it stays when the {over} lifts."
        ))
    };
    plates.filter_map(sentence).collect()
}

fn hidden_trays(board: &Board) -> Vec<String> {
    let mut hidden: Vec<(&[String], Vec<String>)> = Vec::new();
    for (index, group) in board.record.fasteners.iter().enumerate() {
        let letter = order::tray_letter(index);
        match hidden.iter_mut().find(|(under, _)| *under == group.under) {
            _ if group.under.is_empty() => {}
            Some((_, letters)) => letters.push(letter),
            None => hidden.push((&group.under, vec![letter])),
        }
    }
    let sentence = |(under, letters): (&[String], Vec<String>)| {
        let covers: Vec<String> = under.iter().map(|id| board.name(id)).collect();
        let (trays, are) = match letters.len() {
            1 => ("Tray", "is"),
            _ => ("Trays", "are"),
        };
        format!(
            "{trays} {} {are} hidden by the {}.",
            letters.join(" and "),
            covers.join(" and the ")
        )
    };
    hidden.into_iter().map(sentence).collect()
}

fn cables(board: &Board) -> Vec<String> {
    let sentence = |body: &crate::record::Body| {
        let plugs = board.record.connector.iter();
        let ties: Vec<_> = plugs
            .filter(|plug| plug.ties.as_ref() == Some(&body.id))
            .collect();
        let cables = match ties.len() {
            0 => return None,
            1 => "One cable holds".to_owned(),
            count => format!("{count} cables hold"),
        };
        let least = ties
            .iter()
            .filter_map(|plug| plug.slack_mm)
            .reduce(f64::min);
        let slack = least.map_or_else(
            || "slack not known".to_owned(),
            |slack| format!("{slack}\u{a0}mm of slack"),
        );
        Some(format!("{cables} the {} ({slack}).", board.name(&body.id)))
    };
    board.record.body.iter().filter_map(sentence).collect()
}

fn stuck(board: &Board) -> Vec<String> {
    let stuck = order::opening(board).stuck;
    let name = |&body: &usize| board.name(&board.record.body[body].id);
    let names: Vec<String> = stuck.iter().map(name).collect();
    if names.is_empty() {
        return Vec::new();
    }
    vec![format!(
        "The record gives no order for the {}.",
        names.join(" and the ")
    )]
}

use gapbook::book::{Board, Book, HeightOrigin};
use gapbook::order::{bodies, tray_letter};
use serde_json::{Value, json};

/// Returns a board's record and what follows from it, as JSON.
pub(super) fn of(book: &Book, board: &Board) -> Value {
    json!({
        "folder": board.folder,
        "record": board.record,
        "resolved": {
            "trays": trays(board),
            "order": order(board),
            "zones": zones(board),
            "heights": heights(board),
            "jobs": board.jobs.iter().map(|job| &book.file(job.file).name).collect::<Vec<_>>(),
        },
    })
}

fn trays(board: &Board) -> Vec<Value> {
    let groups = board.record.fasteners.iter().enumerate();
    groups
        .map(|(index, group)| {
            json!({
                "tray": tray_letter(index),
                "fasteners": group.id,
                "screws": group.at.len(),
            })
        })
        .collect()
}

fn order(board: &Board) -> Value {
    let order = bodies(board);
    let ids = |bodies: &[usize]| -> Vec<&str> {
        let id = |&body: &usize| &*board.record.body[body].id;
        bodies.iter().map(id).collect()
    };
    let steps: Vec<Vec<&str>> = order.steps.iter().map(|step| ids(step)).collect();
    json!({ "steps": steps, "stuck": ids(&order.stuck) })
}

fn zones(board: &Board) -> Vec<Value> {
    board
        .zones()
        .map(|(_, written, zone)| {
            json!({ "zone": written.id, "side": zone.side, "pieces": zone.pieces })
        })
        .collect()
}

fn heights(board: &Board) -> Vec<Value> {
    let parts = board.record.part.iter().zip(&board.heights);
    parts
        .map(|(part, height)| {
            let from = height.map(|height| match height.origin {
                HeightOrigin::Record => "record",
                HeightOrigin::Package => "package",
            });
            json!({
                "part": part.id,
                "height_mm": height.map(|height| height.value_mm),
                "tolerance_mm": height.and_then(|height| height.tolerance_mm),
                "from": from,
            })
        })
        .collect()
}

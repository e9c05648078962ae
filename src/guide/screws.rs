//! The screw sheet: each screw at its own place and size, to be laid on as it comes out.

use minijinja::value::Value;
use serde::Serialize;

use super::BookFacts;
use super::templates::Templates;
use crate::Failure;
use crate::book::Board;
use crate::drawing::{self, Element, fifty_mm};
use crate::record::Side;
use crate::record::schema::Words as _;

/// A page of the screw sheet.
#[derive(Debug, Serialize)]
struct Page {
    side: Side,
    number: usize,
    count: usize,
    svg: Value,
}

#[derive(Serialize)]
struct Context<'a> {
    book: &'a BookFacts,
    root: &'static str,
    board: Value,
    fifty_mm: Value,
    screw_sheets: &'a [Page],
}

/// Renders the screw sheet of a board; nothing where no screw can be drawn.
///
/// # Errors
/// If the template cannot be rendered.
pub(super) fn render(
    templates: &Templates,
    book: &BookFacts,
    board: &Board,
    told: &Value,
) -> Result<Option<String>, Failure> {
    let pages = pages(board);
    if pages.is_empty() {
        return Ok(None);
    }
    let context = Context {
        book,
        root: "../../",
        board: told.clone(),
        fifty_mm: Value::from_safe_string(fifty_mm().serialise()),
        screw_sheets: &pages,
    };
    templates.render("sheets/screws.html", context).map(Some)
}

/// Draws the screws of each side at their own size.
fn pages(board: &Board) -> Vec<Page> {
    let of_side = |side: Side| {
        let pages = drawing::screw_sheets(board, side);
        let count = pages.len();
        let sheet = move |(index, svg): (usize, Element)| Page {
            side,
            number: index + 1,
            count,
            svg: Value::from_safe_string(svg.serialise()),
        };
        pages.into_iter().enumerate().map(sheet)
    };
    let groups = &board.record.fasteners;
    let has_screws = |side: &Side| groups.iter().any(|group| group.from.seen_on() == *side);
    let sides = Side::ALL.iter().copied().filter(has_screws);
    sides.flat_map(of_side).collect()
}

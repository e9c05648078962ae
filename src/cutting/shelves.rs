//! Pieces in rows: the plan anybody would make, and the one to beat.

use super::order::{Order, Size};
use super::plan::Axis;
use super::tree::Node;

/// One row across a sheet.
struct Shelf {
    height: u32,
    /// How far it is filled.
    filled: u32,
    pieces: Vec<(u32, Node)>,
}

/// Cuts a grown order of distinct kinds from sheets in rows, the highest pieces first, each where it fits
/// first.
///
/// # References
/// Coffman, Garey, Johnson and Tarjan (1980): first fit by decreasing height; rows are then put on
/// sheets the same way.
pub(super) fn shelves(order: &Order) -> Vec<Node> {
    let mut lying: Vec<(usize, bool, Size)> = Vec::new();
    for (kind, piece) in order.pieces.iter().enumerate() {
        let ways = order
            .ways(piece.size)
            .filter(|(_, way)| order.sheet.holds(*way));
        let lowest = ways.min_by_key(|(_, way)| way.height);
        let (turned, way) = lowest.expect("invariant: the order was checked");
        lying.extend(std::iter::repeat_n(
            (kind, turned, way),
            piece.count as usize,
        ));
    }
    lying.sort_by_key(|&(kind, _, way)| (std::cmp::Reverse(way.height), kind));
    let mut shelves: Vec<Shelf> = Vec::new();
    for (piece, turned, way) in lying {
        let fits = |shelf: &&mut Shelf| shelf.filled + way.width <= order.sheet.width;
        let node = Node::Piece { piece, turned };
        let own = Size::new(way.width, 0);
        if let Some(shelf) = shelves.iter_mut().find(fits) {
            let slot = own.with(Axis::Y, shelf.height);
            shelf.pieces.push((way.width, node.in_corner(way, slot)));
            shelf.filled += way.width;
        } else {
            shelves.push(Shelf {
                height: way.height,
                filled: way.width,
                pieces: vec![(way.width, node)],
            });
        }
    }
    on_sheets(order.sheet, shelves)
}

/// Puts rows on sheets, each on the first that has room.
fn on_sheets(sheet: Size, shelves: Vec<Shelf>) -> Vec<Node> {
    let mut sheets: Vec<(u32, Vec<(u32, Node)>)> = Vec::new();
    for shelf in shelves {
        let rest = (sheet.width - shelf.filled, Node::Free);
        let row = Node::slices(Axis::X, shelf.pieces.into_iter().chain([rest]));
        let fits = |(filled, _): &&mut (u32, _)| *filled + shelf.height <= sheet.height;
        if let Some((filled, rows)) = sheets.iter_mut().find(fits) {
            *filled += shelf.height;
            rows.push((shelf.height, row));
        } else {
            sheets.push((shelf.height, vec![(shelf.height, row)]));
        }
    }
    let whole = |(filled, rows): (u32, Vec<(u32, Node)>)| {
        let rest = (sheet.height - filled, Node::Free);
        Node::slices(Axis::Y, rows.into_iter().chain([rest]))
    };
    sheets.into_iter().map(whole).collect()
}

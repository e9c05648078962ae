use crate::book::{Board, Book};
use crate::cutting::fits_a_sheet;
use crate::lint::Report;
use crate::lint::phrase::and_more;
use crate::lint::rule::declare_rule;
use crate::record::Pad;

declare_rule! {
    /// Looks for pieces that no sheet of their material gives, whichever way they are laid on it. A
    /// material that conducts differently along and across its sheet is not turned.
    ///
    /// ## Why
    ///
    /// Whoever buys the sheets finds out at the bench, with the board open, that the longest piece has to be
    /// patched; and a patch has a joint over the very part that it was to cool.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "backplate"
    /// kind = "backplate"
    /// side = "back"
    /// seats = { on = "standoffs", height_mm = 2.0 }
    ///
    /// [[zone]]
    /// id = "back"
    /// between = ["pcb", "backplate"]
    /// pad_mm = 2.5
    /// pad = "slim"
    /// recess_mm = 0.0
    /// at = [[20.0, 20.0, 50.0, 12.0]]
    ///
    /// [[fasteners]]
    /// id = "backplate-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["backplate", "pcb"]
    /// # file: stock/pads.toml
    /// schema = 1
    /// [[pad]]
    /// id = "slim"
    /// name = "Slim"
    /// conductivity_w_mk = 6.0
    /// thickness_mm = [2.0, 2.5, 3.0]
    /// sheet_mm = [40.0, 20.0]
    /// source = "example"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "backplate"
    /// kind = "backplate"
    /// side = "back"
    /// seats = { on = "standoffs", height_mm = 2.0 }
    ///
    /// [[zone]]
    /// id = "back"
    /// between = ["pcb", "backplate"]
    /// pad_mm = 2.5
    /// pad = "slim"
    /// recess_mm = 0.0
    /// at = [[20.0, 20.0, 25.0, 12.0], [45.0, 20.0, 25.0, 12.0]]
    ///
    /// [[fasteners]]
    /// id = "backplate-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["backplate", "pcb"]
    /// # file: stock/pads.toml
    /// schema = 1
    /// [[pad]]
    /// id = "slim"
    /// name = "Slim"
    /// conductivity_w_mk = 6.0
    /// thickness_mm = [2.0, 2.5, 3.0]
    /// sheet_mm = [40.0, 20.0]
    /// source = "example"
    /// ```
    ///
    /// ## What to do
    ///
    /// Write the pieces that are really laid, with the joint where no part is, or name a material with larger
    /// sheets. Correct the sheet's size in the stock if it is wrong there.
    "pad-larger-than-sheet", Geometry, Warning,
    "a pad that no sheet of its material gives",
    Board(check)
}

fn check(book: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, written, zone) in board.zones() {
        let pad = written.pad.as_deref().and_then(|id| book.stock.pad(id));
        let Some((pad, [width, height])) = pad.and_then(|pad| Some((pad, pad.sheet_mm?))) else {
            continue;
        };
        let is_larger = |pad: &Pad, piece: usize| {
            let piece = &zone.pieces[piece];
            !fits_a_sheet(Some(pad), [piece.width, piece.height])
        };
        let larger: Vec<usize> = (0..zone.pieces.len())
            .filter(|&piece| is_larger(pad, piece))
            .collect();
        let Some(&first) = larger.first() else {
            continue;
        };
        let piece = &zone.pieces[first];
        let message = format!(
            "a pad of zone `{}` measures {} × {} mm{}, and a sheet of `{}` only {width} × {height} mm",
            written.id,
            piece.width,
            piece.height,
            and_more(larger.len()),
            pad.id,
        );
        let others = book.stock.pads.iter();
        let gives_all = |other: &&Pad| {
            other.sheet_mm.is_some() && larger.iter().all(|&piece| !is_larger(other, piece))
        };
        let others: Vec<String> = others
            .filter(gives_all)
            .map(|other| format!("`{}`", other.id))
            .collect();
        let help = if others.is_empty() {
            "write the pieces that are really laid; no sheet in stock is as large".to_owned()
        } else {
            let others = others.join(", ");
            format!(
                "write the pieces that are really laid; sheets as large are in stock of {others}"
            )
        };
        report
            .find(board.at(board.piece_path(index, first)), message)
            .help(help);
    }
}

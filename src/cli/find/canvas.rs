use std::io::{self, Write};

use clap::builder::styling::Style;
use gapbook::units::{Point, Rect};

use crate::cli::output::{DIM, WARNING};

/// Columns that the drawing stands in from the left.
const INDENT: usize = 2;

/// Columns beside the board: the frame's two, and up to one lost to rounding at each of three edges.
const BESIDE: usize = 5;

/// Most rows of a drawing: with its caption it stays on a large screen.
const MOST_ROWS: f64 = 48.0;

/// How many times as high as wide a terminal's character cell is.
const CELL_ASPECT: f64 = 2.0;

/// What a character of the drawing stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) enum Ink {
    /// Nothing, or a pad.
    Plain,
    /// The board's edge, or a part.
    Faint,
    /// A screw.
    Strong,
}

impl Ink {
    fn style(self) -> Style {
        match self {
            Self::Plain => Style::new(),
            Self::Faint => DIM,
            Self::Strong => WARNING,
        }
    }
}

/// A board's plan in characters, to scale.
#[derive(Debug)]
pub(in crate::cli) struct Canvas {
    cells: Vec<Vec<(char, Ink)>>,
    /// Size of the board, mm.
    size: [f64; 2],
    /// Size of a character cell, mm.
    cell: [f64; 2],
    /// Cells left of the board and above it.
    origin: [i32; 2],
    mirrored: bool,
}

/// Cells from the first to before the last, across and down.
struct Cells {
    across: std::ops::Range<i32>,
    down: std::ops::Range<i32>,
}

impl Canvas {
    /// Returns the frame of a board in so many columns, with room for `reach`, which may be larger
    /// than the board.
    pub(in crate::cli) fn new(
        size: [f64; 2],
        reach: &Rect,
        columns: usize,
        mirrored: bool,
    ) -> Self {
        let columns = u32::try_from(columns.saturating_sub(INDENT + BESIDE).max(1));
        let columns = f64::from(columns.unwrap_or(u32::MAX));
        let fitting = (reach.width / columns).max(reach.height / MOST_ROWS / CELL_ASPECT);
        let cell = [fitting, fitting * CELL_ASPECT];
        let [width, height] = size;
        let (left, right) = (-reach.x, reach.right() - width);
        let (left, right) = if mirrored {
            (right, left)
        } else {
            (left, right)
        };
        let cells = |length: f64, axis: usize| whole((length / cell[axis]).ceil());
        let origin = [1 + cells(left, 0), 1 + cells(reach.top() - height, 1)];
        let across = origin[0] + cells(width, 0) + 1 + cells(right, 0);
        let down = origin[1] + cells(height, 1) + 1 + cells(-reach.y, 1);
        let row = vec![(' ', Ink::Plain); usize::try_from(across).unwrap_or(0)];
        let mut canvas = Self {
            cells: vec![row; usize::try_from(down).unwrap_or(0)],
            size,
            cell,
            origin,
            mirrored,
        };
        let [x, y] = origin;
        canvas.frame(&Cells {
            across: x - 1..x + cells(width, 0) + 1,
            down: y - 1..y + cells(height, 1) + 1,
        });
        canvas
    }

    /// Fills a rectangle, at least one cell of it; writes a word into it where it fits.
    pub(in crate::cli) fn fill(&mut self, rect: &Rect, glyph: char, ink: Ink, word: &str) {
        let cells = self.cells_of(rect);
        let within = |cells: &std::ops::Range<i32>, most: usize| {
            let clamp = |at: i32| usize::try_from(at).unwrap_or(0).min(most);
            clamp(cells.start)..clamp(cells.end)
        };
        let down = within(&cells.down, self.cells.len());
        for row in &mut self.cells[down] {
            let across = within(&cells.across, row.len());
            row[across].fill((glyph, ink));
        }
        self.write_into(&cells, word, ink);
    }

    /// Draws a rectangle's edge, or fills it where there is no room for one; tells which, by whether
    /// it was filled. A word is written into it where it fits.
    pub(in crate::cli) fn outline(&mut self, rect: &Rect, glyph: char, word: &str) -> bool {
        let cells = self.cells_of(rect);
        if cells.across.len() < 3 || cells.down.len() < 3 {
            self.fill(rect, glyph, Ink::Faint, word);
            return true;
        }
        self.frame(&cells);
        let inner = Cells {
            across: cells.across.start + 1..cells.across.end - 1,
            down: cells.down.start + 1..cells.down.end - 1,
        };
        self.write_into(&inner, word, Ink::Plain);
        false
    }

    /// Writes a word at a point; tells whether the point is in the drawing.
    pub(in crate::cli) fn mark(&mut self, point: Point, word: &str, ink: Ink) -> bool {
        let cells = self.cells_of(&Rect::from([point.x, point.y, 0.0, 0.0]));
        let (column, row) = (cells.across.start, cells.down.start);
        for (at, glyph) in (column..).zip(word.chars()) {
            self.put(at, row, glyph, ink);
        }
        self.is_within(column, row)
    }

    /// Prints the drawing.
    pub(in crate::cli) fn print(&self, out: &mut dyn Write) -> io::Result<()> {
        for row in &self.cells {
            let used = row.iter().rposition(|&(glyph, _)| glyph != ' ');
            let row = &row[..used.map_or(0, |last| last + 1)];
            write!(out, "{:INDENT$}", "")?;
            for run in row.chunk_by(|(_, left), (_, right)| left == right) {
                let style = run[0].1.style();
                let text: String = run.iter().map(|&(glyph, _)| glyph).collect();
                write!(out, "{style}{text}{style:#}")?;
            }
            writeln!(out)?;
        }
        Ok(())
    }

    fn cells_of(&self, rect: &Rect) -> Cells {
        let [width, height] = self.size;
        let (left, right) = if self.mirrored {
            (width - rect.right(), width - rect.x)
        } else {
            (rect.x, rect.right())
        };
        Cells {
            across: self.range(0, left, right),
            down: self.range(1, height - rect.top(), height - rect.y),
        }
    }

    /// Returns the cells along an axis whose middle lies between two lengths, or the one they share.
    fn range(&self, axis: usize, from: f64, to: f64) -> std::ops::Range<i32> {
        let (cell, origin) = (self.cell[axis], self.origin[axis]);
        let (start, end) = (whole((from / cell).round()), whole((to / cell).round()));
        if start < end {
            origin + start..origin + end
        } else {
            let only = origin + whole((f64::midpoint(from, to) / cell).floor());
            only..only + 1
        }
    }

    fn frame(&mut self, cells: &Cells) {
        let (left, right) = (cells.across.start, cells.across.end - 1);
        let (top, bottom) = (cells.down.start, cells.down.end - 1);
        for column in left..=right {
            self.put(column, top, '─', Ink::Faint);
            self.put(column, bottom, '─', Ink::Faint);
        }
        for row in top..=bottom {
            self.put(left, row, '│', Ink::Faint);
            self.put(right, row, '│', Ink::Faint);
        }
        let corners = [
            (left, top, '┌'),
            (right, top, '┐'),
            (left, bottom, '└'),
            (right, bottom, '┘'),
        ];
        for (column, row, glyph) in corners {
            self.put(column, row, glyph, Ink::Faint);
        }
    }

    /// Writes a word into the middle of some cells, unless they are too few for it.
    fn write_into(&mut self, cells: &Cells, word: &str, ink: Ink) {
        let room = cells.across.len().checked_sub(word.chars().count());
        let Some(spare) = room.and_then(|room| i32::try_from(room / 2).ok()) else {
            return;
        };
        let row = cells.down.start.midpoint(cells.down.end - 1);
        for (column, glyph) in (cells.across.start + spare..).zip(word.chars()) {
            self.put(column, row, glyph, ink);
        }
    }

    fn is_within(&self, column: i32, row: i32) -> bool {
        let row = usize::try_from(row)
            .ok()
            .and_then(|row| self.cells.get(row));
        let column = usize::try_from(column).ok();
        row.zip(column)
            .is_some_and(|(row, column)| column < row.len())
    }

    fn put(&mut self, column: i32, row: i32, glyph: char, ink: Ink) {
        if let (Ok(column), Ok(row)) = (usize::try_from(column), usize::try_from(row))
            && let Some(cell) = self.cells.get_mut(row).and_then(|row| row.get_mut(column))
        {
            *cell = (glyph, ink);
        }
    }
}

/// Returns a number of cells as an integer; records bound lengths, so it is small.
fn whole(cells: f64) -> i32 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "rounded before, and lengths are at most a few thousand cells; beyond, it saturates"
    )]
    let cells = cells as i32;
    cells
}

use super::{columns, wrap};
use crate::cli::output::DIM;

/// Columns between the columns of a table.
const GAP: usize = 2;

/// Columns a table stands in from the left.
const INDENT: usize = 2;

/// Columns below which no column is squeezed.
const LEAST: usize = 6;

/// Text in columns, under heads.
#[derive(Debug)]
pub(in crate::cli) struct Table {
    heads: Vec<&'static str>,
    rows: Vec<Vec<String>>,
    /// The column that is shown faint, by position.
    faint: Option<usize>,
}

impl Table {
    /// Returns a table without rows.
    pub(in crate::cli) fn new(heads: &[&'static str]) -> Self {
        Self {
            heads: heads.to_vec(),
            rows: Vec::new(),
            faint: None,
        }
    }

    /// Shows a column faint: what is for programs more than for people.
    pub(in crate::cli) fn faint(mut self, head: &str) -> Self {
        self.faint = self.heads.iter().position(|one| *one == head);
        self
    }

    /// Adds a row: one cell for each head.
    pub(in crate::cli) fn row(&mut self, cells: Vec<String>) {
        debug_assert_eq!(cells.len(), self.heads.len(), "a cell for each head");
        self.rows.push(cells);
    }

    /// Leaves out the last column where every cell of it is empty.
    pub(in crate::cli) fn without_empty_last(mut self) -> Self {
        let empty = |row: &Vec<String>| row.last().is_none_or(String::is_empty);
        if self.rows.iter().all(empty) {
            self.heads.pop();
            for row in &mut self.rows {
                row.pop();
            }
        }
        self
    }

    /// Returns the table's lines; where it is too wide for `width` its widest columns are wrapped.
    pub(in crate::cli) fn lines(&self, width: usize) -> Vec<String> {
        let widths = self.widths(width);
        let heads: Vec<String> = self.heads.iter().map(|&head| head.to_owned()).collect();
        let mut lines: Vec<String> = set(&heads, &widths, None)
            .into_iter()
            .map(|line| format!("{DIM}{line}{DIM:#}"))
            .collect();
        lines.extend(
            self.rows
                .iter()
                .flat_map(|row| set(row, &widths, self.faint)),
        );
        lines
    }

    fn widths(&self, width: usize) -> Vec<usize> {
        let widest = |column: usize| {
            let cells = self.rows.iter().map(|row| columns(&row[column]));
            cells.max().unwrap_or(0).max(columns(self.heads[column]))
        };
        let mut widths: Vec<usize> = (0..self.heads.len()).map(widest).collect();
        let taken = INDENT + GAP * widths.len().saturating_sub(1);
        while widths.iter().sum::<usize>() + taken > width {
            match widths.iter_mut().max() {
                Some(widest) if *widest > LEAST => *widest -= 1,
                _ => break,
            }
        }
        widths
    }
}

/// Sets a row: as many lines as its longest cell needs. Colour is put on last, since it takes no columns.
fn set(cells: &[String], widths: &[usize], faint: Option<usize>) -> Vec<String> {
    let cells: Vec<Vec<String>> = cells
        .iter()
        .zip(widths)
        .map(|(cell, &width)| wrap(cell, width))
        .collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    let set_line = |line: usize| {
        let mut text = " ".repeat(INDENT);
        for (column, (cell, &width)) in cells.iter().zip(widths).enumerate() {
            let part = cell.get(line).map_or("", String::as_str);
            let is_faint = faint == Some(column) && !part.is_empty();
            let shown = if is_faint {
                format!("{DIM}{part}{DIM:#}")
            } else {
                part.to_owned()
            };
            text.push_str(&shown);
            text.push_str(&" ".repeat(width.saturating_sub(columns(part)) + GAP));
        }
        text.truncate(text.trim_end().len());
        text
    };
    (0..height).map(set_line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_fits_its_width() {
        let mut table = Table::new(&["id", "what"]).faint("id");
        table.row(vec!["a".into(), "one two three four".into()]);
        table.row(vec!["日本".into(), String::new()]);
        let plain = |line: String| anstream::adapter::strip_str(&line).to_string();
        let lines: Vec<String> = table.lines(17).into_iter().map(plain).collect();
        assert_eq!(
            lines,
            [
                "  id    what",
                "  a     one two",
                "        three",
                "        four",
                "  日本"
            ],
            "wrapped in its column"
        );
        let faint = format!("  {DIM}日本{DIM:#}");
        assert_eq!(table.lines(17).last(), Some(&faint), "an id is faint");
    }
}

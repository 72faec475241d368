//! Columns of text beside each other.

use super::wrap::display_width;

/// Spaces between two columns.
const GAP: usize = 2;

/// A cell: one or more lines.
pub(super) type Cell = Vec<String>;

/// A table whose cells may have several lines. All texts are clean and already broken into lines.
#[derive(Debug, Clone, Default)]
pub(super) struct Table {
    /// Heads of the columns.
    pub(super) head: Vec<Cell>,
    /// Rows, each with a cell for every column.
    pub(super) rows: Vec<Vec<Cell>>,
}

impl Table {
    /// Columns needed.
    pub(super) fn width(&self) -> usize {
        let widths = self.widths();
        widths.iter().sum::<usize>() + GAP * widths.len().saturating_sub(1)
    }

    /// The lines of the head and of each row.
    pub(super) fn lines(&self) -> (Vec<String>, Vec<Vec<String>>) {
        let widths = self.widths();
        (row_lines(&self.head, &widths), self.rows.iter().map(|row| row_lines(row, &widths)).collect())
    }

    fn widths(&self) -> Vec<usize> {
        (0..self.head.len())
            .map(|column| {
                let cells = std::iter::once(&self.head).chain(&self.rows).filter_map(|row| row.get(column));
                cells.flatten().map(|line| display_width(line)).max().unwrap_or(0)
            })
            .collect()
    }
}

fn row_lines(row: &[Cell], widths: &[usize]) -> Vec<String> {
    let height = row.iter().map(Vec::len).max().unwrap_or(0);
    (0..height)
        .map(|at| {
            let mut line = String::new();
            for (cell, width) in row.iter().zip(widths) {
                let text = cell.get(at).map_or("", String::as_str);
                line.push_str(text);
                line.extend(std::iter::repeat_n(' ', width.saturating_sub(display_width(text)) + GAP));
            }
            line.trim_end().to_owned()
        })
        .collect()
}

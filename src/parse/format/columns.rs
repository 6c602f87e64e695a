//! Columns inside lines: words that a maker set below one another with blanks stay below one another.
//!
//! A word *set off* by two blanks or more, and a like word of the line above or below that began in the same column, are
//! one column; like are words of one sort, and words behind two of one sort. So are all that hang together this way,
//! one word a line, in lines of one indent. Each column stands as far left as its longest line lets it, one blank
//! behind what comes before. A column that would push a line past the widest is given up.
//!
//! Doing it twice is doing it once: a word that has blanks to spare hangs together, over words that have blanks to
//! spare, with one that has none, and that one holds the column where it is.
//!
//! Columns are characters from the start of the line, those of the text as it was written and those of the line as it
//! will stand.

use super::{Kind, Line, WIDEST};

/// A word of a line that one blank stands before.
pub(super) struct Cell {
    /// Where it began as written.
    pub column: usize,
    /// Whether its maker set it off with two blanks or more.
    pub set_off: bool,
    /// Its first byte in the line's code.
    pub at: usize,
    /// What it is, and what stands before it.
    pub kinds: (Kind, Option<Kind>),
}

impl Cell {
    /// Whether it and the word right above it were set in a column.
    fn stands_below(&self, above: &Cell) -> bool {
        let like = self.kinds.0 == above.kinds.0 || self.kinds.1 == above.kinds.1;
        self.column == above.column && like && (self.set_off || above.set_off)
    }
}

/// Words in one column: those of the lines from `first` on, one a line, each the index of a cell.
struct Column {
    first: usize,
    cells: Vec<usize>,
}

/// Moves words to the right until those of a column stand below one another.
pub(super) fn keep(lines: &mut [Line]) {
    let mut found = columns(lines);
    // Left to right, so that what stands before a word in its line is settled.
    found.sort_by_key(|c| lines[c.first].cells[c.cells[0]].column);
    let mut widths: Vec<usize> = lines.iter().map(Line::width).collect();
    // Blanks to add before the cells of each line, in order of cells.
    let mut added: Vec<Vec<(usize, usize)>> = lines.iter().map(|_| Vec::new()).collect();
    let natural: Vec<Vec<usize>> = lines.iter().map(starts).collect();
    for column in &found {
        let members = || column.cells.iter().enumerate().map(|(i, &cell)| (column.first + i, cell));
        let place = |(line, cell): (usize, usize)| {
            natural[line][cell] + added[line].iter().map(|&(_, blanks)| blanks).sum::<usize>()
        };
        let stands = members().map(place).max().unwrap_or(0);
        let blanks: Vec<usize> = members().map(|m| stands - place(m)).collect();
        if members().zip(&blanks).any(|((line, _), &n)| n > 0 && widths[line] + n > WIDEST) {
            continue;
        }
        for ((line, cell), n) in members().zip(blanks).filter(|&(_, n)| n > 0) {
            added[line].push((cell, n));
            widths[line] += n;
        }
    }
    for (line, added) in lines.iter_mut().zip(added) {
        for (cell, blanks) in added.into_iter().rev() {
            line.code.insert_str(line.cells[cell].at, &" ".repeat(blanks));
        }
    }
}

/// Where each cell of a line stands with single blanks before all.
fn starts(line: &Line) -> Vec<usize> {
    let mut column = line.indent * 4;
    let mut at = 0;
    let mut out = Vec::with_capacity(line.cells.len());
    for cell in &line.cells {
        column += line.code[at..cell.at].chars().count();
        at = cell.at;
        out.push(column);
    }
    out
}

/// The columns of the lines, in order of their first line.
fn columns(lines: &[Line]) -> Vec<Column> {
    let mut done: Vec<Column> = Vec::new();
    // The columns that may go on: the cell they have in the line above, in order.
    let mut open: Vec<(usize, Column)> = Vec::new();
    for (i, line) in lines.iter().enumerate() {
        let apart = line.blank_before || i == 0 || lines[i - 1].indent != line.indent;
        let mut above = if apart { Vec::new() } else { std::mem::take(&mut open) };
        done.extend(std::mem::take(&mut open).into_iter().map(|o| o.1));
        above.reverse();
        for (k, cell) in line.cells.iter().enumerate() {
            let over = |above: &Vec<(usize, Column)>| above.last().map(|&(c, _)| &lines[i - 1].cells[c]);
            while over(&above).is_some_and(|o| o.column < cell.column) {
                done.extend(above.pop().map(|o| o.1));
            }
            let goes_on = over(&above).is_some_and(|o| cell.stands_below(o));
            let mut column = match above.pop_if(|_| goes_on) {
                Some((_, column)) => column,
                None => Column { first: i, cells: Vec::new() },
            };
            column.cells.push(k);
            open.push((k, column));
        }
        done.extend(above.into_iter().map(|o| o.1));
    }
    done.extend(open.into_iter().map(|o| o.1));
    done.retain(|c| c.cells.len() > 1);
    done
}

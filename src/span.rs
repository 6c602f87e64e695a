//! Where in which file something stands. Rank 1.

use crate::ids::FileId;

/// A stretch of bytes of one source file, `start..end`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Span {
    pub file: FileId,
    pub start: u32,
    pub end: u32,
}

impl Span {
    /// The bytes `start..end` of `file`.
    #[must_use]
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        let byte = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Self { file, start: byte(start), end: byte(end) }
    }

    /// The least span that covers both; both lie in one file.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        debug_assert_eq!(self.file, other.file, "a span lies in one file");
        Self { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// An empty span at the end of this one.
    #[must_use]
    pub fn tail(self) -> Self {
        Self { start: self.end, ..self }
    }
}

/// A value and where it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct At<T> {
    pub value: T,
    pub span: Span,
}

impl<T> At<T> {
    /// `value`, written at `span`.
    pub const fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// One source file: its name as the maker wrote it and its text.
#[derive(Clone, Debug)]
pub struct Source {
    /// The name shown in messages: the path as given on the command line or in `use`, never an absolute one of ours.
    pub name: String,
    pub text: String,
    /// The byte at which every line but the first starts.
    lines: Vec<usize>,
}

/// All files of one run; `FileId` indexes it.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Source>,
}

impl Sources {
    /// Adds a file and gives its id.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> FileId {
        let text = text.into();
        let lines = text.bytes().enumerate().filter(|&(_, b)| b == b'\n').map(|(i, _)| i + 1).collect();
        self.files.push(Source { name: name.into(), text, lines });
        FileId::new(self.files.len() - 1)
    }

    /// The file of an id.
    #[must_use]
    pub fn get(&self, id: FileId) -> &Source {
        &self.files[id.index()]
    }

    /// Every file with its id.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &Source)> {
        self.files.iter().enumerate().map(|(i, s)| (FileId::new(i), s))
    }

    /// The text of a span, clamped to its file.
    #[must_use]
    pub fn text(&self, span: Span) -> &str {
        let text = &self.get(span.file).text;
        text.get(span.start as usize..(span.end as usize).min(text.len())).unwrap_or("")
    }

    /// Line and column (both from 1; the column counts characters) of a byte of a file.
    #[must_use]
    pub fn line_column(&self, file: FileId, byte: u32) -> (usize, usize) {
        let source = self.get(file);
        let mut byte = (byte as usize).min(source.text.len());
        while !source.text.is_char_boundary(byte) {
            byte -= 1;
        }
        let line = source.lines.partition_point(|&start| start <= byte);
        let start = line.checked_sub(1).map_or(0, |i| source.lines[i]);
        (line + 1, source.text[start..byte].chars().count() + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one_in_characters() {
        let mut sources = Sources::default();
        let file = sources.add("a.prop", "é1\nab\n");
        assert_eq!(sources.line_column(file, 0), (1, 1));
        assert_eq!(sources.line_column(file, 2), (1, 2));
        assert_eq!(sources.line_column(file, 4), (2, 1));
        assert_eq!(sources.line_column(file, 7), (3, 1));
        assert_eq!(sources.line_column(file, 900), (3, 1));
    }
}

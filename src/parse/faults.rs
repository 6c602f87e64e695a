//! The diagnostics of one file, kept to a bounded number.

use super::errors;
use crate::diag::{Diagnostic, Diagnostics};
use crate::ids::FileId;
use crate::span::Span;

/// As many faults as one file is told at once.
pub const MOST: usize = 100;

/// Gathers diagnostics; past [`MOST`] it only counts.
#[derive(Debug, Default)]
pub struct Faults {
    kept: Vec<Diagnostic>,
    more: usize,
}

impl Faults {
    pub fn push(&mut self, d: Diagnostic) {
        if self.kept.len() < MOST {
            self.kept.push(d);
        } else {
            self.more += 1;
        }
    }

    /// Whether a further fault would only be counted.
    pub fn full(&self) -> bool {
        self.kept.len() >= MOST
    }

    /// Pushes a fault, or counts one that was not made.
    pub fn push_or_count(&mut self, fault: Option<Diagnostic>) {
        match fault {
            Some(d) => self.push(d),
            None => self.more += 1,
        }
    }

    /// Pushes what `make` makes; past [`MOST`] it is not even made.
    pub fn push_with(&mut self, make: impl FnOnce() -> Diagnostic) {
        if self.kept.len() < MOST {
            self.kept.push(make());
        } else {
            self.more += 1;
        }
    }

    /// How many there are so far.
    pub fn count(&self) -> usize {
        self.kept.len() + self.more
    }

    /// In order of place, with a word on what was left out.
    pub fn finish(self, file: FileId, end: usize) -> Diagnostics {
        let mut all = Diagnostics::new();
        let more = self.more;
        self.kept.into_iter().for_each(|d| all.push(d));
        let mut all = all.sorted();
        if more > 0 {
            all.push(errors::more_faults(Span::new(file, end, end), more));
        }
        all
    }
}

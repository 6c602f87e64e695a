//! Phase 1: text → [`ast`]. `parse` always gives a tree; what could not be read stands in it as `Bad`.
//!
//! 1. `scan` finds the words and signs; what is wrong with a single word is said there.
//! 2. `brackets` finds which bracket closes which, and the decimal commas.
//! 3. `split` cuts the file into sentences, fields and heads, by hand, so that a fault stays where it was made.
//! 4. Each head and each value is read by its own rule of `grammar/tasset.pest` and built by `value`; what pest
//!    refuses is explained from the words around the place by `explain`.
//!
//! Where the language leaves room: a text has no escapes and ends on its line; `not` binds looser than a comparison
//! and tighter than `and`; `^` binds tighter than a minus before it (`-2^2` is -4) and groups from the right;
//! `else` may begin a line in a block `if` too; a line may also be broken after a minus or `not` in front. The
//! 1,000 operators of a value are counted along its deepest brackets: a long list of points is not a long value.
//!
//! Units are checked here as words only (`unknown-unit`); what they measure is for `check`.
//!
//! [`ast`]: crate::ast

mod brackets;
mod errors;
mod explain;
mod faults;
mod format;
mod grammar;
mod head;
mod scan;
mod split;
#[cfg(test)]
mod tests;
mod token;
mod value;

pub use format::format;

use crate::ast;
use crate::diag::Diagnostics;
use crate::ids::FileId;

/// The longest file: 1 MB, here 1,048,576 bytes.
pub const LONGEST_FILE: usize = 1 << 20;

/// As many operators as one value may have.
pub const MOST_OPERATORS: usize = 1000;

/// Reads one file. The tree is complete but for what the diagnostics speak of.
///
/// ```
/// # use tasset::{parse, ids::FileId};
/// let (file, faults) = parse::parse("let tall = 520 mm\nlet wide = 2,5 mm\n", FileId::new(0));
/// assert_eq!(file.sentences.len(), 2);
/// assert_eq!(faults.iter().next().unwrap().code.name(), "decimal-comma");
/// ```
#[must_use]
pub fn parse(text: &str, file: FileId) -> (ast::File, Diagnostics) {
    let mut faults = faults::Faults::default();
    if text.len() > LONGEST_FILE {
        faults.push(errors::file_too_large(file, text.len(), LONGEST_FILE));
        // The whole of it stands as unreadable, so that nothing in it counts as missing.
        let all = ast::Sentence::Bad(crate::span::Span::new(file, 0, text.len()));
        return (ast::File { sentences: vec![all], comments: Vec::new() }, faults.finish(file, 0));
    }
    let scan::Scan { mut tokens, comments } = scan::scan(text, file, &mut faults);
    let partners = brackets::match_brackets(text, &mut tokens, file, &mut faults);
    let sentences = split::Splitter::new(text, file, &tokens, &partners, &mut faults).file();
    (ast::File { sentences, comments }, faults.finish(file, text.len()))
}

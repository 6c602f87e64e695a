//! The manual of the language, printed from the table. Rank 7.
//!
//! Chapters of prose stand beside this file as Markdown; what the table knows (kinds, fields, types, defaults,
//! ranges, facts, constructors, words, examples, the shelf, the codes) is never repeated there by hand. One list of
//! [`block::Block`]s is made and printed in one of two ways: Markdown, or plain text for a terminal.

mod block;
mod entry;
mod manual;
mod plain;
mod speech;
mod topic;

#[cfg(test)]
mod tests;

use crate::diag::nearest;

/// The whole manual as Markdown.
#[must_use]
pub fn markdown() -> String {
    block::markdown(&manual::whole())
}

/// The whole manual, or all that is said of one word, as plain text no wider than `width` columns (at least 40;
/// examples and the shelf keep their own lines).
///
/// # Errors
/// When the word is none of the language's: the nearest that is, if one is near.
pub fn terminal(word: Option<&str>, width: usize) -> Result<String, Option<&'static str>> {
    let blocks = match word {
        None => manual::whole(),
        Some(word) => topic::about(word),
    };
    if blocks.is_empty() {
        let word = word.unwrap_or_default();
        return Err(nearest(word, topics().into_iter().filter(|t| t.len() > 1)));
    }
    Ok(plain::text(&blocks, width.max(40)))
}

/// Every word `terminal` knows, each once, in order of the alphabet: for completion.
#[must_use]
pub fn topics() -> Vec<&'static str> {
    topic::all().into_iter().collect()
}

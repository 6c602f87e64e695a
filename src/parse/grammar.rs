//! The parser that pest makes of `grammar/tasset.pest`.

/// Reads one rule of the grammar.
#[derive(Debug, pest_derive::Parser)]
#[grammar = "grammar/tasset.pest"]
pub struct Grammar;

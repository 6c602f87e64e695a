//! `tasset` turns a small text that says what a costume prop is into flat pieces that fit: cut files, a picture
//! and a report. Data runs one way: text → ast → design → solid → flat → piece → sheet → bytes; see
//! `DEVELOPERS.md` for the drawing and the layers.
//!
//! The library does no input or output, prints nothing, reads no clock and no environment: `main.rs` does.

pub mod arrange;
pub mod ast;
pub mod audit;
pub mod check;
pub mod design;
pub mod develop;
pub mod diag;
pub mod emit;
pub mod eval;
pub mod finish;
pub mod fitted;
pub mod flat;
pub mod geom;
pub mod ids;
pub mod ledger;
pub mod mockup;
pub mod num;
pub mod page;
pub mod paginate;
pub mod parse;
pub mod piece;
pub mod pipeline;
pub mod plan;
#[cfg(test)]
mod samples;
pub mod schema;
pub mod shape;
pub mod sheet;
pub mod skin;
pub mod solid;
pub mod span;
pub mod stock;
pub mod threads;
pub mod units;
pub mod verdict;

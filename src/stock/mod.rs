//! The built-in shelf: common stocks, supplies, cutters and papers as a text in the language itself, and the list
//! of body measures. Rank 4: plain data.
//!
//! Every figure of the shelf has its source beside it. A maker's own thing of the same name takes the place of the
//! shelf's; the shelf never changes a prop that does not name a thing of it.

mod body;

pub use body::{MEASURES, Measure};

/// What messages call the shelf when they point into it.
pub const SHELF_NAME: &str = "built-in shelf";

/// The text of the shelf.
pub const SHELF: &str = include_str!("shelf.prop");

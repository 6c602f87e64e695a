//! Phase 3b, when it is asked for: the prop as a mock-up of card, at full size or to a scale. Design → design before
//! `shape`, solid → solid after it; no other phase knows what a mock-up is but for its name.
//!
//! `drawn` writes the text a maker would write for the same prop of card: every measured fact has the value it has in the
//! prop itself, all sheet goods are the one card, seams with a strip behind them are butt seams, and what card has no
//! use for (covers, contents, coats, limits) is left out. The card is as thick there as it is in proportion, so that
//! `shape` may build at full size and hold all its rules to the sizes they are made for. `made` brings the solid to
//! scale, takes off the goods that are not bought, and puts glue tabs where butt edges meet.
//!
//! What decides its sizes: the measured face. A shell measured inside keeps its inside girth, so that the mock-up fits
//! the body as the prop will; one measured outside keeps its outside. The other face moves by the difference of the
//! sheets' thickness.

mod drawn;
mod errors;
mod feet;
mod glue;
mod made;
mod scale;

pub use drawn::{drawn, without};
pub use feet::narrower;
pub use made::made;
pub use scale::Scale;

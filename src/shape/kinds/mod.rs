//! One module a kind: reads a thing's fields and lowers it to sheet parts.

pub(super) mod attachment;
mod backing;
pub(super) mod border;
pub(super) mod cap;
pub(super) mod contents;
mod copy;
pub(super) mod cover;
pub(super) mod edge;
pub(super) mod finish;
mod knees;
mod lace;
mod lace_edges;
pub(super) mod lacing;
mod lid;
pub(super) mod opening;
mod panels;
pub(super) mod passes;
mod place;
pub(super) mod plate;
mod posture;
pub(super) mod shell;
pub(super) mod sloped;
mod spine;
mod spread;
mod stand;
mod stations;
pub(super) mod strap;

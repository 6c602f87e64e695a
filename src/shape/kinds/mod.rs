//! One module a kind: reads a thing's fields and lowers it to sheet parts.

pub(super) mod cap;
mod copy;
pub(super) mod cover;
mod lid;
pub(super) mod opening;
mod place;
pub(super) mod shell;
mod stations;

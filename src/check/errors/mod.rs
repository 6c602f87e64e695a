//! The faults that the check finds, one constructor each: `names` of names and things, `values` of values and units,
//! `whole` of the file as a whole.

mod names;
mod targets;
mod values;
mod whole;

pub(super) use crate::eval::mixed_units;
pub(super) use names::*;
pub(super) use targets::*;
pub(super) use values::*;
pub(super) use whole::*;

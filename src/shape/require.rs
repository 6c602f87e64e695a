//! `require`: a condition that must hold, with both sides in figures when it does not.

use super::{Shaper, errors};
use crate::design::{Binary, Node, Require, Value};
use crate::eval::{Stop, say};

/// Reckons a condition.
///
/// # Errors
/// When it does not hold, and as its values.
pub(super) fn hold(shaper: &mut Shaper<'_>, require: &Require) -> Result<(), Stop> {
    match shaper.reckon(&require.value)? {
        Value::Bool(true) => return Ok(()),
        Value::Bool(false) => {}
        _ => return Err(Stop::Skip),
    }
    let mut sides = Vec::new();
    if let Node::Binary { op, left, right } = &require.value.node
        && matches!(
            op,
            Binary::AtMost | Binary::AtLeast | Binary::Equal | Binary::NotEqual | Binary::Less | Binary::Greater
        )
    {
        for side in [left, right] {
            if let Some(q) = shaper.reckon(side)?.quantity() {
                sides.push((side.span, say::quantity(q)));
            }
        }
    }
    Err(errors::requirement_fails(&require.message, require.value.span, &sides).into())
}

//! `require`: a condition that must hold, with both sides in figures when it does not. `shape` asks those that read the
//! solid, `plan` those that read what is made of it.

use super::{Budget, Facts, Reckoner, Stop, errors, say};
use crate::design::{Binary, Design, Node, Require, Value};

/// Reckons a condition.
///
/// # Errors
/// When it does not hold, and as its values.
pub fn hold(design: &Design, facts: &dyn Facts, budget: &mut Budget, require: &Require) -> Result<(), Stop> {
    match Reckoner::new(design, facts, budget).value(&require.value)? {
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
            if let Some(q) = Reckoner::new(design, facts, budget).value(side)?.quantity() {
                sides.push((side.span, say::quantity(q)));
            }
        }
    }
    Err(errors::requirement_fails(&require.message, require.value.span, &sides).into())
}

//! What is wrong with a mock-up.

use crate::diag::{Code, Diagnostic};
use crate::solid::{MockUp, Part};

/// Rims of two parts that meet get no tabs.
pub fn no_tabs(part: &Part, letters: &[&str]) -> Diagnostic {
    let joints = if letters.len() == 1 { "joint" } else { "joints" };
    let message = format!("the mock-up of {} has no glue tabs at {joints} {}", part.name, letters.join(", "));
    Diagnostic::warning(Code::NoTabsThere, message)
        .with_label(part.origin, "its rim stands on another's")
        .with_help("tape these edges together on the outside, letter to letter and notch to notch")
        .with_note("tabs go where one wall bends at a station, where a seam closes and round caps")
}

/// A tab that can be glued does not fit.
pub fn too_small(part: &Part, mock: &MockUp, room: f64, least: f64) -> Diagnostic {
    let message = format!("the glue tabs no longer fit on {}", part.name);
    let larger = (least / room.max(1e-3) * mock.ratio * 100.0).ceil();
    let help = if larger <= 200.0 {
        format!("a larger scale: `--mock-up \"{larger} %\"` or more")
    } else {
        "leave this part out of what is mocked up: it is too narrow for tabs at any size".to_owned()
    };
    Diagnostic::error(Code::MockUpTooSmall, message)
        .with_label(part.origin, format!("a tab would be {:.1} mm wide", room.max(0.0)))
        .with_help(help)
        .with_note(format!("a tab narrower than {least} mm cannot be folded and glued (common practice, no source)"))
}

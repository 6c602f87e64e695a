//! What is wrong with a mock-up.

use crate::diag::{Code, Diagnostic};
use crate::solid::{MockUp, Part};

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

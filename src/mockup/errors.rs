//! What is wrong with a mock-up.

use crate::diag::{Code, Diagnostic};
use crate::solid::{MockUp, Part};

/// Why a rim gets no tabs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// It is cut sloping or to a figure, or what it meets is.
    Sloped,
    NoRoom,
    /// Cut as they would have to be, nothing would be left of them, or they would lie on another edge of the piece.
    NoFold,
}

/// The rim of a part that stands on something, or of a ring of a bent shell, gets no tabs.
pub fn no_tabs(part: &Part, letters: &[String], why: Why) -> Diagnostic {
    let (at, help) = match letters {
        [] => ("at its foot".to_owned(), "glue it by its edge along the line that is drawn for it".to_owned()),
        [one] => (format!("at joint {one}"), TAPE.to_owned()),
        many => (format!("at joints {}", many.join(", ")), TAPE.to_owned()),
    };
    let label = match why {
        Why::Sloped => "one of the rims there is cut sloping or to a figure",
        Why::NoFold => "its bends are too tight, or its wall leans too much, for tabs along its rim",
        Why::NoRoom if letters.is_empty() => "neither within its foot nor round it is there room for tabs",
        Why::NoRoom => "on neither side of the edge is there room for tabs",
    };
    Diagnostic::warning(Code::NoTabsThere, format!("the mock-up of {} has no glue tabs {at}", part.name))
        .with_label(part.origin, label)
        .with_help(help)
        .with_note("tabs go where one wall bends at a station, where a shell stands on an edge or a cap, at seams and round caps")
}

const TAPE: &str = "tape these edges together on the outside, letter to letter and notch to notch";

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

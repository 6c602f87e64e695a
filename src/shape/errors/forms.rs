//! What is said of walls that are kept in one piece by stretching their sheet.

use super::*;
use crate::eval::say::number;
use crate::solid::{Leave, Stock};

/// A share in percent, to a tenth.
fn percent(share: f64) -> String {
    format!("{} %", number((share * 1000.0).round() / 10.0))
}

/// What is enough: rounded up.
fn percent_up(share: f64) -> String {
    format!("{} %", number((share * 1000.0 - 1e-6).ceil() / 10.0))
}

pub(in crate::shape) fn nothing_to_form(name: &str, made: Span) -> Diagnostic {
    Diagnostic::error(Code::NothingToForm, format!("{name} needs no forming"))
        .with_label(made, "its stations lie on one plain cone")
        .with_help("leave `made: formed` out: rolled from its flat it is exact, and nothing is stretched")
}

/// `most` is where the sheet would be stretched and squeezed most, and by how much; `needs` what would let it.
pub(in crate::shape) fn stretches_too_far(
    name: &str,
    stock: &Stock,
    most: [Option<(Span, f64)>; 2],
    needs: Leave,
    made: Span,
) -> Diagnostic {
    let Leave { stretch, squeeze } = stock.leave;
    let rigid = stretch <= 0.0 && squeeze <= 0.0;
    let title = if rigid {
        format!("{} does not stretch, so {name} cannot be formed from one piece", stock.name)
    } else {
        format!("{} does not stretch as far as {name} asks", stock.name)
    };
    let mut d = Diagnostic::error(Code::StretchesTooFar, title);
    for (at, what, leave) in [(most[0], "stretched", stretch), (most[1], "squeezed", squeeze)] {
        if let Some((span, share)) = at {
            let room = if rigid { String::new() } else { format!(", and {} takes {}", stock.name, percent(leave)) };
            d = d.with_label(span, format!("here the sheet would be {what} by {}{room}", percent_up(share)));
        }
    }
    let squeezed = format!("squeeze: {}", percent_up(needs.squeeze));
    let goods = match (needs.stretch > 0.0, needs.squeeze > 0.0) {
        (true, true) => format!("stretch: {}`, `{squeezed}", percent_up(needs.stretch)),
        (true, false) => format!("stretch: {}", percent_up(needs.stretch)),
        _ => squeezed,
    };
    d.with_label(made, "one piece for all its rings")
        .with_help("leave `made: formed` out: its rings are cut one by one, are exact, and meet in mitred station seams")
        .with_note(format!(
            "goods with `{goods}` would do, or stations nearer to one plain cone; of all cones that it could be cut as, this asks \
             the least of its stock"
        ))
}

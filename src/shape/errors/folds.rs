//! What is said of walls that are folded from one strip.

use super::*;

pub(in crate::shape) fn nothing_to_fold(section: Span, made: Span) -> Diagnostic {
    Diagnostic::error(Code::FoldUnfit, "there is no corner to fold")
        .with_label(section, "round, or its corners are")
        .with_label(made, "a strip is folded at sharp corners")
        .with_help("take `corner` out, or write a `polygon`; a round wall is bent all along: `made: rolled`")
}

pub(in crate::shape) fn fold_too_sharp(name: &str, turn: f64, direction: f64, most: f64, made: Span) -> Diagnostic {
    let at = degrees(num::wrap(direction, num::TAU));
    Diagnostic::error(Code::FoldUnfit, format!("a corner of {name} is too sharp to be grooved and folded"))
        .with_label(made, format!("at {at} the sheet would turn by {}", degrees(turn)))
        .with_help("make it in panels: `made: panels`")
        .with_note(format!(
            "each face of the groove leans by half of the turn, and past {} no blade cuts them (common practice, no source)",
            degrees(0.5 * most.to_radians())
        ))
}

pub(in crate::shape) fn skin_too_thick(name: &str, skin: f64, (stock, thick): (&str, f64), made: Span) -> Diagnostic {
    Diagnostic::error(Code::FoldUnfit, format!("there is no groove that leaves so much of {stock}"))
        .with_label(made, format!("{name} would keep {} at its folds, and the sheet is {} thick", mm(skin), mm(thick)))
        .with_help(format!("`skin: {}` is scored only; less is grooved; without `skin` it is a fifth", mm(thick)))
}

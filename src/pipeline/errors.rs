//! What can be wrong with the files themselves.

use super::Refusal;
use crate::diag::{Code, Diagnostic, Label, Severity};
use crate::mockup::Scale;
use crate::span::Span;

/// A file that cannot be read: the one a `use` names, or the prop's own (no span).
pub fn unreadable(path: &str, refusal: &Refusal, span: Option<Span>) -> Diagnostic {
    let at = |d: Diagnostic, label: &str| match span {
        Some(span) => d.with_label(span, label),
        None => d,
    };
    match refusal {
        Refusal::NotThere => at(
            Diagnostic::error(Code::NoSuchFile, format!("there is no file `{path}`"))
                .with_help("write its name as it is in the folder, capital letters included"),
            "looked for beside this file",
        ),
        Refusal::Outside => at(
            Diagnostic::error(Code::OutsideFolder, "an import stays in the prop's folder")
                .with_help("copy the file into the prop's folder, or a folder in it")
                .with_note("so that a prop can be handed on as one folder, and no file reads what it should not"),
            "this leads out of it",
        ),
        Refusal::NotAFile => at(
            Diagnostic::error(Code::NotAFile, format!("`{path}` is no ordinary file")),
            "a folder or device, not a text",
        ),
        Refusal::TooLarge => at(
            Diagnostic::error(Code::FileTooLarge, format!("`{path}` is over a megabyte"))
                .with_help("is it the right file? A prop is a few pages of text"),
            "too large for a prop's text",
        ),
        Refusal::NotText { byte } => at(
            Diagnostic::error(
                Code::NotText,
                format!("`{path}` is not a text in UTF-8: byte {byte} begins no character"),
            )
            .with_help("save it again as plain text, UTF-8"),
            "this file",
        ),
        Refusal::Machine(reason) => {
            at(Diagnostic::error(Code::NoSuchFile, format!("`{path}` cannot be read: {reason}")), "this file")
        }
    }
}

/// All that would have been cut was left out.
pub fn nothing_is_made(prop: &str, unbuilt: &[String], span: Span) -> Diagnostic {
    Diagnostic::warning(Code::NotBuiltYet, format!("nothing of {prop} is made"))
        .with_label(span, format!("all of it waits for what is not built yet: {}", unbuilt.join(", ")))
        .with_help("write those parts in a way that is built, as their messages say, or wait for a later version")
}

/// What only the mock-up has: its sizes are the mock-up's own, and nothing in the text would mend it.
pub fn of_the_mock_up(fault: Diagnostic, scale: &Scale) -> Diagnostic {
    let message = format!("in the mock-up at {}: {}", scale.text(), fault.message);
    if fault.code == Code::PieceSplit {
        // Card has no edge to glue.
        let help = Some("tape the halves behind the cut, or take larger card: `--card` names another stock".to_owned());
        let taped = |l: Label| Label { text: l.text.replace("glue the halves", "tape the halves"), ..l };
        let labels = fault.labels.into_iter().map(taped).collect();
        return Diagnostic { message, help, labels, repair: None, ..fault };
    }
    if fault.severity != Severity::Error || fault.code == Code::MockUpTooSmall {
        return Diagnostic { message, ..fault };
    }
    let help = match fault.code {
        Code::PieceTooLarge => "a smaller scale, or larger card: `--card` names another stock",
        _ => "a larger scale, or thinner card (`--card`); the prop itself has no such fault",
    };
    Diagnostic { message, help: Some(help.to_owned()), repair: None, ..fault }
}

/// `--set tall="1 mm, 2 mm"`
pub fn not_one_value(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NotOneValue, "a setting takes one value")
        .with_label(span, "this is more, or something else")
}

/// More than 64 files.
pub fn too_many_files(limit: usize, span: Span) -> Diagnostic {
    Diagnostic::error(Code::TooManyFiles, format!("a prop may use at most {limit} files"))
        .with_label(span, "one too many")
        .with_help("put what belongs together into one file")
}

/// A prop in so many pieces that it is not laid flat.
pub fn too_many_pieces(severity: Severity, (pieces, span): (usize, Span), most: usize) -> Diagnostic {
    let d = Diagnostic::error(Code::TooManyThings, format!("this prop is cut in {pieces} pieces"))
        .with_label(span, format!("with this part they are more than {most}, and a build makes no more"))
        .with_help(
            "let the loops end sooner, or make several props of it, each in a file of its own that uses what they share",
        );
    let d = Diagnostic { severity, ..d };
    match severity {
        Severity::Error => d,
        _ => {
            d.with_note("it was looked at in space only: what is wrong with its flat pieces shows when they are fewer")
        }
    }
}

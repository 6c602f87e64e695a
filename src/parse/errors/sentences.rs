//! Faults of sentences, heads and fields.

use super::brief;
use crate::diag::{Code, Diagnostic};
use crate::span::Span;

/// A line that begins as no sentence does; `meant`: the word of ours it resembles.
pub fn unknown_sentence(span: Span, word: &str, meant: Option<&str>) -> Diagnostic {
    let d = if word.is_empty() {
        Diagnostic::error(Code::UnknownSentence, "no sentence begins like this")
            .with_label(span, "a value stands alone here")
    } else {
        Diagnostic::error(Code::UnknownSentence, format!("no sentence begins with `{}`", brief(word)))
            .with_label(span, "neither a sentence nor a thing with its name and braces")
    };
    match meant {
        Some(meant) => d.with_help(format!("`{meant} …`")).with_repair(meant),
        None => d.with_help(
            "a thing is `kind name on target { … }`, a field `key: value`, a named value `let name = value`",
        ),
    }
}

/// A field or station outside all braces.
pub fn field_outside(span: Span, word: &str) -> Diagnostic {
    let d = Diagnostic::error(Code::FieldOutside, format!("`{}` describes nothing here", brief(word)))
        .with_label(span, "outside all braces");
    d.with_help("move it into the braces of the thing it describes")
}

/// A reserved word where a name, a field, a part or a value belongs.
pub fn reserved(span: Span, word: &str, what: &str) -> Diagnostic {
    Diagnostic::error(Code::ReservedWord, format!("`{word}` cannot be {what}"))
        .with_label(span, "a word of the language itself")
        .with_help(format!("take another word, such as `{word}_1`"))
        .with_note("reserved: use let setting require for if then else at to by per on in over beside and or not")
}

/// A field or station without its colon.
pub fn missing_colon(span: Span, key: &str) -> Diagnostic {
    Diagnostic::error(Code::MissingColon, format!("a colon is missing behind `{}`", brief(key)))
        .with_label(span, "the colon belongs here")
        .with_help(format!("`{}: …`", brief(key)))
        .with_repair(":")
}

/// `key = value` inside braces.
pub fn equals_for_colon(span: Span, key: &str) -> Diagnostic {
    Diagnostic::error(Code::EqualsForColon, "a field is written with a colon")
        .with_label(span, "`=` names a value in `let` and `setting`")
        .with_help(format!("`{}: …`", brief(key)))
        .with_repair(":")
}

/// `let name: value`.
pub fn colon_for_equals(span: Span, written: &str, what: &str, name: &str) -> Diagnostic {
    let label = if written == ":" { "the colon belongs to fields" } else { "`==` compares two values" };
    Diagnostic::error(Code::ColonForEquals, format!("a `{what}` is written with `=`"))
        .with_label(span, label)
        .with_help(format!("`{what} {} = …`", brief(name)))
        .with_repair("=")
}

/// `let name` and no `=`.
pub fn missing_equals(span: Span, what: &str, name: &str) -> Diagnostic {
    Diagnostic::error(Code::MissingEquals, format!("`{what} {}` is given no value", brief(name)))
        .with_label(span, "`=` and a value belong here")
        .with_help(format!("`{what} {} = …`", brief(name)))
        .with_repair(" =")
}

/// `name = value` without `let`.
pub fn missing_let(span: Span, name: &str) -> Diagnostic {
    Diagnostic::error(Code::MissingLet, format!("`{}` is named without `let`", brief(name)))
        .with_label(span, "a line cannot begin with the name of a value")
        .with_help(format!("`let {} = …`", brief(name)))
        .with_repair(format!("let {name}"))
}

/// A kind, `let` or `setting` without a name.
pub fn missing_name(span: Span, kind: &str) -> Diagnostic {
    let kind = brief(kind);
    Diagnostic::error(Code::MissingName, format!("this `{kind}` has no name"))
        .with_label(span, "its name belongs here")
        .with_help(format!("`{kind} NAME …`"))
}

/// Something that is no name where a name belongs.
pub fn odd_name(span: Span, kind: &str, written: &str) -> Diagnostic {
    Diagnostic::error(Code::OddName, format!("a name belongs behind `{}`", brief(kind)))
        .with_label(span, format!("`{}` is not a name", brief(written)))
        .with_help("a name begins with a letter and has letters, digits and `_`")
}

/// `chest around: 98 cm`.
pub fn spaced_name(span: Span, first: &str, second: &str) -> Diagnostic {
    let repair = format!("{first}_{second}");
    Diagnostic::error(Code::OddName, "the name of a field is one word")
        .with_label(span, "two words stand before the colon")
        .with_help(format!("`{}: …`, or a comma between if these are two fields", brief(&repair)))
        .with_repair(repair)
}

/// `my-shell`.
pub fn hyphen_in_name(span: Span, name: &str) -> Diagnostic {
    let repair = name.replace('-', "_");
    Diagnostic::error(Code::HyphenInName, "a name cannot have a hyphen")
        .with_label(span, "`-` is always minus")
        .with_help(format!("`{}`", brief(&repair)))
        .with_repair(repair)
}

/// A head without braces.
pub fn no_block(span: Span, of: &str) -> Diagnostic {
    Diagnostic::error(Code::MissingBlock, format!("this `{}` has no braces", brief(of)))
        .with_label(span, "the head ends here")
        .with_help("put what it holds between `{` and `}` behind it; empty ones are enough")
}

/// A brace on the line below its head.
pub fn brace_on_next_line(span: Span, head: Span) -> Diagnostic {
    Diagnostic::error(Code::MissingBlock, "the opening brace stands on the line below")
        .with_label(span, "a line end has ended the sentence before it")
        .with_label(head, "it belongs here")
        .with_help("put the `{` at the end of the line above")
}

/// A brace behind a value or a line that takes none.
pub fn brace_here(span: Span, text: &str, before: Span) -> Diagnostic {
    let words = text.get(before.start as usize..before.end as usize).unwrap_or("");
    Diagnostic::error(Code::MisplacedBrace, "no braces belong here")
        .with_label(span, format!("behind `{}`", brief(words)))
        .with_help("the parts of a value stand in round brackets, `(` and `)`; a new thing begins on a new line")
}

/// A second sentence behind a brace on the same line.
pub fn run_on(span: Span) -> Diagnostic {
    Diagnostic::error(Code::RunOn, "a line end or a comma is missing")
        .with_label(span, "the next one begins here")
        .with_help("begin a new line before it")
}

/// A preposition without a target.
pub fn missing_target(span: Span, word: &str) -> Diagnostic {
    Diagnostic::error(Code::OddTarget, format!("`{word}` what?"))
        .with_label(span, "the name of a part or edge belongs behind it")
        .with_help(format!("`{word} body.top`, say"))
}

/// A target that is neither a name nor a list of names.
pub fn odd_target(span: Span) -> Diagnostic {
    Diagnostic::error(Code::OddTarget, "a thing stands on a part or an edge")
        .with_label(span, "this names neither")
        .with_help("the name of a part or edge, as in `on body.top`; a level is a field, `level: 40 mm`")
}

/// Several targets without their brackets.
pub fn list_target(span: Span) -> Diagnostic {
    Diagnostic::error(Code::OddTarget, "several targets stand in square brackets")
        .with_label(span, "more than one name, or a word too many")
        .with_help("`on [body, base]`")
}

/// `cap base body.bottom { … }`.
pub fn needs_preposition(span: Span, name: &str, word: &str) -> Diagnostic {
    Diagnostic::error(Code::OddTarget, format!("how does `{}` stand to `{}`?", brief(name), brief(word)))
        .with_label(span, "`on`, `in`, `over` or `beside` belongs before it")
        .with_help(format!("`on {}`", brief(word)))
        .with_repair(format!("on {word}"))
}

/// More in a head than its kind, name, index and target.
pub fn extra_in_head(span: Span, kind: &str, name: &str) -> Diagnostic {
    Diagnostic::error(Code::ExtraWords, "the head of a thing ends before this")
        .with_label(span, "not part of a head")
        .with_help(format!(
            "`{} {} on TARGET {{ … }}`; everything else is a field in its braces",
            brief(kind),
            brief(name)
        ))
}

/// More on a line than its sentence takes.
pub fn left_over(span: Span, help: &str) -> Diagnostic {
    Diagnostic::error(Code::ExtraWords, "these words are left over")
        .with_label(span, "the sentence is complete without them")
        .with_help(help)
}

/// Something between `else` and its brace.
pub fn odd_else(span: Span) -> Diagnostic {
    Diagnostic::error(Code::ExtraWords, "`else` takes no condition")
        .with_label(span, "between `else` and its brace")
        .with_help("`else { … }`, or `else if … { … }`")
}

/// A head of a `let` that is neither a name nor a name with its parameters.
pub fn bad_let(span: Span, name: &str) -> Diagnostic {
    let name = brief(name);
    Diagnostic::error(Code::ExtraWords, "a `let` has one name before its `=`")
        .with_label(span, "neither a name nor a list of names in brackets")
        .with_help(format!("`let {name} = …`, or `let {name}(x) = …` for a function"))
}

/// `use` without a file name in quotation marks.
pub fn use_without_text(span: Span, rest: Span, text: &str) -> Diagnostic {
    let words = text.get(rest.start as usize..rest.end as usize).unwrap_or("");
    let d = Diagnostic::error(Code::MissingText, "`use` needs a file name in quotation marks")
        .with_label(span, "no text behind `use`");
    if words.is_empty() || words.contains('"') {
        return d.with_help("`use \"workshop.prop\"`");
    }
    let file = if words.ends_with(".prop") { words.to_owned() } else { format!("{words}.prop") };
    let repair = format!("use \"{file}\"");
    d.with_help(format!("`{}`", brief(&repair))).with_repair(repair)
}

/// `require` without its message.
pub fn require_without_text(span: Span) -> Diagnostic {
    Diagnostic::error(Code::MissingText, "`require` needs a message")
        .with_label(span, "what is told when this does not hold?")
        .with_help("put it behind, in quotation marks: `require gap >= 1 mm \"the lid must slide\"`")
}

/// A stretch without `to`.
pub fn missing_to(span: Span, for_loop: bool) -> Diagnostic {
    let d = Diagnostic::error(Code::MissingTo, "`to` is missing between the two ends")
        .with_label(span, "a second value begins here")
        .with_repair("to ");
    if for_loop { d.with_help("`for i in 2 to 4 { … }`") } else { d.with_help("`at 0 mm to 60 mm: …`") }
}

/// A `for` that is not `for NAME in …`.
pub fn odd_loop(span: Span) -> Diagnostic {
    Diagnostic::error(Code::OddLoop, "this loop does not say what it runs over")
        .with_label(span, "a name, `in` and a stretch or list belong behind `for`")
        .with_help("`for i in 2 to 4 { … }`")
}

/// `then` or `else` without an `if`.
pub fn without_if(span: Span, word: &str) -> Diagnostic {
    Diagnostic::error(Code::StrayWord, format!("this `{word}` belongs to no `if`"))
        .with_label(span, "no `if` waits for it")
        .with_help("a block: `if … { … } else { … }`; a value: `if … then … else …`")
}

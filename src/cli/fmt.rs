//! `tasset fmt`: files laid out the one usual way.

use std::path::Path;

use tasset::diag::Diagnostics;
use tasset::parse;
use tasset::pipeline::Refusal;
use tasset::span::Sources;

use super::args::{Fmt, Showing};
use super::terminal::{print, say};
use super::{End, load, terminal, write};

/// Formats every file; a faulty one stays as it is and the others are done all the same.
pub fn fmt(arguments: &Fmt) -> End {
    arguments.files.iter().map(|f| one(f, arguments.check, arguments.showing)).max().unwrap_or(End::Good)
}

fn one(path: &Path, check: bool, showing: Showing) -> End {
    let name = tasset::diag::shown(&path.display().to_string());
    let text = match load::read(path) {
        Ok(text) => text,
        Err(refusal) => {
            let (end, reason) = match refusal {
                Refusal::Machine(reason) => (End::Machine, reason),
                Refusal::NotText { byte } => (End::Faults, format!("not a text in UTF-8 (byte {byte})")),
                Refusal::TooLarge => (End::Faults, "over a megabyte".to_owned()),
                Refusal::NotThere | Refusal::NotAFile | Refusal::Outside => (End::Usage, "no such file".to_owned()),
            };
            say(&format!("tasset: cannot read {name}: {reason}"));
            return end;
        }
    };
    let mut sources = Sources::default();
    let file = sources.add(path.display().to_string(), text.as_str());
    match parse::format(&text, file) {
        Err(faults) => {
            show(faults, &sources, showing);
            End::Faults
        }
        Ok(formatted) if formatted == text => End::Good,
        Ok(_) if check => {
            print(&format!("{name}\n"));
            End::Faults
        }
        Ok(formatted) => write::replace(path, &formatted).map_or_else(End::from, |()| End::Good),
    }
}

/// Shows diagnostics as asked: JSON on standard output, all else on standard error.
pub fn show(diagnostics: Diagnostics, sources: &Sources, showing: Showing) {
    use tasset::diag::render;
    let diagnostics = diagnostics.sorted();
    if showing.format == super::args::Format::Json {
        print(&render::json(&diagnostics, sources));
    } else if terminal::draws(showing.format) {
        let colour = terminal::colours(showing.colour);
        terminal::say_text(&render::drawn(&diagnostics, sources, colour, terminal::width()));
    } else {
        terminal::say_text(&render::plain(&diagnostics, sources));
    }
}

//! `tasset fmt`: files laid out the one usual way.

use std::path::Path;

use tasset::diag::Diagnostics;
use tasset::parse;
use tasset::pipeline::{self, Refusal};
use tasset::span::Sources;

use super::args::Fmt;
use super::tell::Teller;
use super::terminal::print;
use super::{End, load, stop, write};

/// Formats every file; a faulty one stays as it is and the others are done all the same.
pub fn fmt(arguments: &Fmt) -> End {
    let mut teller = Teller::new(arguments.showing);
    let mut end = End::Good;
    for file in &arguments.files {
        end = end.max(one(file, arguments.check, &mut teller));
        if stop::asked() {
            return End::Interrupted;
        }
    }
    teller.end();
    end
}

fn one(path: &Path, check: bool, teller: &mut Teller) -> End {
    let name = path.display().to_string();
    let text = match load::read(path) {
        Ok(text) => text,
        Err(refusal) => {
            let mut found = Diagnostics::new();
            found.push(pipeline::unreadable(&name, &refusal, None));
            teller.show(found, Sources::default());
            return match refusal {
                Refusal::Machine(_) => End::Machine,
                Refusal::NotText { .. } | Refusal::TooLarge => End::Faults,
                Refusal::NotThere | Refusal::NotAFile | Refusal::Outside => End::Usage,
            };
        }
    };
    let mut sources = Sources::default();
    let file = sources.add(name.as_str(), text.as_str());
    match parse::format(&text, file) {
        Err(faults) => {
            teller.show(faults, sources);
            teller.line(&format!("{}: left as it is", tasset::diag::shown(&name)));
            End::Faults
        }
        Ok(formatted) if formatted == text => End::Good,
        Ok(_) if check => {
            // Standard output is the JSON document's, if there is one.
            if teller.json() {
                super::terminal::say(&name);
            } else {
                print(&format!("{}\n", tasset::diag::shown(&name)));
            }
            End::Faults
        }
        Ok(formatted) => write::replace(path, &formatted).map_or_else(End::from, |()| End::Good),
    }
}

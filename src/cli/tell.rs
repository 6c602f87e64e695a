//! Messages as asked for: JSON in one document on standard output when the command is done, all else on standard
//! error at once.

use tasset::diag::{Diagnostics, render};
use tasset::span::Sources;

use super::args::{Format, Showing};
use super::terminal;

/// Shows the messages of a command's runs.
#[derive(Debug)]
pub struct Teller {
    showing: Showing,
    /// Kept for the JSON document.
    runs: Vec<(Diagnostics, Sources)>,
}

impl Teller {
    pub fn new(showing: Showing) -> Self {
        Self { showing, runs: Vec::new() }
    }

    /// Whether standard output is for the JSON document alone.
    pub fn json(&self) -> bool {
        self.showing.format == Format::Json
    }

    /// Shows what a run found.
    pub fn show(&mut self, diagnostics: Diagnostics, sources: Sources) {
        let diagnostics = diagnostics.sorted();
        if self.json() {
            self.runs.push((diagnostics, sources));
        } else if terminal::draws(self.showing.format) {
            let colour = terminal::colours(self.showing.colour);
            terminal::say_text(&render::drawn(&diagnostics, &sources, colour, terminal::width()));
        } else {
            terminal::say_text(&render::plain(&diagnostics, &sources));
        }
    }

    /// A line beside the messages; JSON says it with the messages already.
    pub fn line(&self, line: &str) {
        if !self.json() {
            terminal::say(line);
        }
    }

    /// Nothing more will be found.
    pub fn end(self) {
        if self.json() {
            terminal::print(&render::json(&self.runs));
        }
    }
}

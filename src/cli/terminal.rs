//! What goes to the terminal, and how wide and colourful it is.

use std::io::{self, IsTerminal as _, Write as _};

use tasset::diag::render::Colour;

use super::args;

/// Writes to standard output. A reader that has gone away (`| head`) is no fault.
pub fn print(text: &str) {
    let _ = io::stdout().write_all(text.as_bytes());
}

/// Writes a line to standard error.
pub fn say(line: &str) {
    let _ = writeln!(io::stderr(), "{line}");
}

/// Writes a text to standard error as it is.
pub fn say_text(text: &str) {
    let _ = io::stderr().write_all(text.as_bytes());
}

/// Columns of the terminal, or 80.
pub fn width() -> usize {
    std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok()).unwrap_or(80).clamp(40, 120)
}

/// Whether messages on standard error are drawn.
pub fn draws(format: args::Format) -> bool {
    match format {
        args::Format::Auto => io::stderr().is_terminal(),
        args::Format::Drawn => true,
        args::Format::Plain | args::Format::Json => false,
    }
}

/// Whether they are coloured. NO_COLOR is a widely kept custom: any value that is not empty means no.
pub fn colours(colour: args::Colour) -> Colour {
    let wanted = match colour {
        args::Colour::Auto => io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()),
        args::Colour::Always => true,
        args::Colour::Never => false,
    };
    if wanted { Colour::Yes } else { Colour::No }
}

/// A paragraph broken at blanks to the terminal's width.
pub fn wrapped(text: &str) -> String {
    let width = width().min(100);
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        for word in paragraph.split(' ') {
            if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > width {
                lines.push(std::mem::take(&mut line));
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        lines.push(line);
    }
    lines.join("\n")
}

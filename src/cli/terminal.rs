//! What goes to the terminal, and how wide and colourful it is.

use std::io::{self, IsTerminal as _, Write as _};
use std::path::Path;
use std::sync::OnceLock;

use tasset::diag::render::Colour;

use super::args;
use super::write::Failure;

/// The first fault of standard output.
static UNPRINTED: OnceLock<Failure> = OnceLock::new();

/// Writes to standard output. A reader that has gone away (`| head`) is no fault; any other is kept for [`printed`].
pub fn print(text: &str) {
    let mut out = io::stdout().lock();
    note(out.write_all(text.as_bytes()).and_then(|()| out.flush()));
}

/// Keeps the fault of a write to standard output.
pub fn note(result: io::Result<()>) {
    if let Err(error) = result
        && error.kind() != io::ErrorKind::BrokenPipe
    {
        let _ = UNPRINTED.set(Failure::new("write to", Path::new("standard output"), &error));
    }
}

/// Whether everything printed has arrived.
pub fn printed() -> Result<(), &'static Failure> {
    UNPRINTED.get().map_or(Ok(()), Err)
}

/// Writes a line to standard error.
pub fn say(line: &str) {
    let _ = writeln!(io::stderr(), "{line}");
}

/// Writes a text to standard error as it is.
pub fn say_text(text: &str) {
    let _ = io::stderr().write_all(text.as_bytes());
}

/// Columns of the terminal: what COLUMNS says, else what the terminal does, else 80.
pub fn width() -> usize {
    let told = std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok());
    let seen = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    told.or_else(seen).unwrap_or(80).clamp(40, 120)
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

/// A path as it can be pasted into a shell: in quotes where it holds anything but plain characters.
pub fn pasted(path: &Path) -> String {
    let text = path.to_string_lossy();
    let plain = |c: char| c.is_alphanumeric() || "/._-+,:@%".contains(c);
    let text = if text.starts_with('-') { format!("./{text}") } else { text.into_owned() };
    let text = tasset::diag::shown(&text);
    if text.chars().all(plain) { text } else { format!("'{}'", text.replace('\'', r"'\''")) }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_can_be_pasted() {
        for (path, expected) in
            [("lamp.prop", "lamp.prop"), ("2 lamps.prop", "'2 lamps.prop'"), ("it's", r"'it'\''s'"), ("-x", "./-x")]
        {
            assert_eq!(pasted(Path::new(path)), expected);
        }
    }
}

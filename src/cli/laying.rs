//! While pieces are laid out: how far it has come, on a terminal only, and Ctrl-C, which ends it with the best so far.

use std::io::{self, IsTerminal as _};
use std::sync::Mutex;

use tasset::pipeline::Moment;

use super::{stop, terminal};

/// The line that stands on the terminal.
static SHOWN: Mutex<String> = Mutex::new(String::new());

/// Whether the layout goes on.
pub fn watch(moment: &Moment<'_>) -> bool {
    let go_on = stop::laying(!moment.ended);
    if io::stderr().is_terminal()
        && let Ok(mut shown) = SHOWN.lock()
    {
        let line = if moment.ended { String::new() } else { line(moment) };
        if *shown != line {
            // Back to the line's start, and what stands there is wiped out.
            terminal::say_text(&format!("\r\u{1b}[K{line}"));
            *shown = line;
        }
    }
    go_on
}

fn line(moment: &Moment<'_>) -> String {
    let percent = 100 * moment.steps / moment.of.max(1);
    let sheets = moment.best.sheets;
    let line = format!(
        "laying out {}: {percent} %, {sheets} sheet{}, {:.0} mm of the last; Ctrl-C keeps it as it is",
        moment.stock,
        if sheets == 1 { "" } else { "s" },
        moment.best.top
    );
    // A line that wraps could not be wiped out.
    line.chars().take(terminal::width().saturating_sub(1)).collect()
}

//! The command line: what can be typed.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use clap::{Args, Parser, Subcommand, ValueEnum, ValueHint};
use tasset::pipeline;

/// Turns a text that says what a costume prop is into flat pieces that fit: cut files, a picture and a report
#[derive(Debug, Parser)]
#[command(name = "tasset", version, max_term_width = 100, subcommand_required = true, arg_required_else_help = true)]
#[command(after_help = "To begin:\n  \
                  tasset new lantern         writes lantern.prop, a small prop with notes in it\n  \
                  tasset build lantern.prop  writes out/lantern/: cut files, pages, a picture, a report\n\n\
                  Exit codes: 0 good, 1 faults in the prop, 2 wrong usage, 3 the machine failed (disk full, no \
                  permission).")]
pub struct Cli {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Make the cut files, the printed pages, the picture and the report of props
    ///
    /// Each prop gets a folder of its name in the output folder: `cut/` with a DXF and an SVG for every sheet,
    /// `print/` with full-size pages for the prop's paper, `picture.svg`, and `report.json` with all figures. A prop that lists several wearers is made once for each, in
    /// the folders NAME-WEARER. A prop with a mistake in it writes nothing, and its older files stay as they are.
    Build(Build),
    /// Look for mistakes; write nothing
    ///
    /// A prop that lists several wearers is looked at once for each. Laying the pieces out on sheets, and the audit,
    /// are left to `build`.
    Check(Check),
    /// Lay the text of props out the one usual way
    ///
    /// Only blanks, line breaks and needless commas change; words, values and notes behind `#` stay. A file with a
    /// mistake in it is left as it is.
    Fmt(Fmt),
    /// Start a new prop: a small file with notes in it that builds as it stands
    New(New),
    /// Say more about a message, by its code
    Explain(Explain),
    /// The manual of the language: all of it, or one word
    Reference(Reference),
    /// Print what a shell needs to complete these commands with the Tab key
    Completions(Completions),
    /// Print the manual page: `tasset manual | man -l -`
    Manual,
}

/// What a prop is read with.
#[derive(Debug, Args)]
pub struct Reading {
    /// Give a setting another value for this run, as it would be written in the file: --set tall="30 cm"; may be
    /// given again for other settings
    #[arg(long = "set", value_name = "NAME=VALUE")]
    pub sets: Vec<String>,
    /// For this one of the prop's wearers only; without it, for each
    #[arg(long, value_name = "NAME")]
    pub wearer: Option<String>,
    #[command(flatten)]
    pub showing: Showing,
}

/// How messages look.
#[derive(Clone, Copy, Debug, Args)]
pub struct Showing {
    /// How messages are written
    #[arg(long, value_enum, default_value_t = Format::Auto, value_name = "FORM")]
    pub format: Format,
    /// Whether messages are coloured
    #[arg(long, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    pub colour: Colour,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Drawn on a terminal, plain elsewhere
    Auto,
    /// With the lines of the source
    Drawn,
    /// A few plain lines each, for pipes and screen readers
    Plain,
    /// One JSON document on standard output, for editors
    Json,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    /// Everywhere, in a pipe too
    Always,
    /// Nowhere
    Never,
}

#[derive(Debug, Args)]
pub struct Build {
    /// Prop files, each with one prop: `lantern.prop`
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    /// The output folder; each prop gets a folder of its own in it, NAME or NAME-WEARER
    #[arg(long, value_name = "DIR", default_value = "out", value_hint = ValueHint::DirPath)]
    pub out: PathBuf,
    /// Write something more
    #[arg(long, value_enum, value_name = "KIND")]
    pub also: Vec<Also>,
    /// Which DXF to write
    #[arg(long, value_enum, default_value_t = Dxf::R2000, value_name = "VERSION")]
    pub dxf: Dxf,
    /// Which face of the goods the full-size printed pages are laid on
    #[arg(long, value_enum, default_value_t = Template::Outside, value_name = "FACE")]
    pub template: Template,
    /// Make a mock-up of card in place of the prop: the same pieces at the thickness of card, glue tabs in place of butt
    /// seams, no bevels, the same holes and marks; to a scale (`1:2`, `50%`) or at full size. The scale may be the next
    /// word: --mock-up 1:2 lantern.prop. A mock-up has a folder of its own: NAME-mock-up, at 1:2 NAME-mock-up-1-2
    #[arg(long, value_name = "SCALE", num_args = 0..=1, require_equals = true, default_missing_value = "1:1")]
    #[arg(value_parser = pipeline::Scale::read)]
    pub mock_up: Option<pipeline::Scale>,
    /// The stock that a mock-up is cut from, which is `as: card`: `board2`; without it, the stock called `card`
    #[arg(long, value_name = "STOCK", requires = "mock_up")]
    pub card: Option<String>,
    /// How much work laying the pieces out is worth; the same effort gives the same layout on any machine. Ctrl-C ends
    /// it early: the best layout so far is kept, and the files are written; a second Ctrl-C ends the program
    #[arg(long, value_enum, default_value_t = Effort::Normal, value_name = "EFFORT")]
    pub effort: Effort,
    #[command(flatten)]
    pub reading: Reading,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Effort {
    /// One pass, the largest piece first
    Quick,
    /// Some seconds at most for each stock
    Normal,
    /// About a minute for each stock, for a prop that is cut more than once or barely misses a sheet
    Long,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Template {
    /// The face that shows
    Outside,
    /// The face that does not show: every piece is drawn mirrored
    Hidden,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Also {
    /// The assembled prop as a solid in millimetres, binary STL
    Stl,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Dxf {
    /// For all but old machines
    R2000,
    /// For machines that cannot read R2000
    R12,
}

#[derive(Debug, Args)]
pub struct Check {
    /// Prop files, each with one prop: `lantern.prop`
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    #[command(flatten)]
    pub reading: Reading,
}

#[derive(Debug, Args)]
pub struct Fmt {
    /// Prop files, each with one prop: `lantern.prop`
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    /// Change nothing: print the names of files that are not laid out so, and end with exit code 1 if there are any
    #[arg(long)]
    pub check: bool,
    #[command(flatten)]
    pub showing: Showing,
}

#[derive(Debug, Args)]
pub struct New {
    /// The file to write: `lantern.prop`, or `lantern` for short; one that is there already is never overwritten
    #[arg(value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub file: PathBuf,
}

#[derive(Debug, Args)]
pub struct Explain {
    /// A code as it stands in a message: `bare-number`; without one, all codes are listed
    #[arg(value_name = "CODE")]
    pub code: Option<String>,
}

#[derive(Debug, Args)]
pub struct Reference {
    /// A kind, field, constructor or other word of the language: `shell`; without one, all of it
    #[arg(value_name = "WORD")]
    pub word: Option<String>,
    /// The whole manual as Markdown
    #[arg(long, conflicts_with = "word")]
    pub markdown: bool,
}

#[derive(Debug, Args)]
pub struct Completions {
    /// The shell to print them for
    #[arg(value_name = "SHELL")]
    pub shell: clap_complete::Shell,
}

/// The arguments with the scale of a `--mock-up` put on to it, where the next word is one: `--mock-up 1:2 lantern.prop`.
/// A word that ends in `.prop`, or names a file that is there, is a file, and an option is an option.
pub fn joined(words: impl Iterator<Item = OsString>) -> Vec<OsString> {
    let mut out: Vec<OsString> = Vec::new();
    let mut options = true;
    let mut waits = false;
    for word in words {
        let text = word.to_string_lossy();
        let file = text.ends_with(".prop") || text.starts_with('-') || Path::new(&word).exists();
        if waits && !file {
            if let Some(last) = out.last_mut() {
                last.push("=");
                last.push(&word);
            }
            waits = false;
            continue;
        }
        options &= text != "--";
        waits = options && text == "--mock-up";
        out.push(word);
    }
    out
}

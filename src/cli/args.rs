//! The command line: what can be typed.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum, ValueHint};

/// From a small text that says what a costume prop is to flat pieces that fit.
#[derive(Debug, Parser)]
#[command(
    name = "tasset",
    version,
    about,
    max_term_width = 100,
    subcommand_required = true,
    arg_required_else_help = true
)]
#[command(
    after_help = "Exit codes: 0 good, 1 faults in the prop, 2 wrong usage, 3 the machine failed (disk full, no permission)."
)]
pub struct Cli {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Make the cut files, picture and report of props
    Build(Build),
    /// Look for mistakes without writing anything
    Check(Check),
    /// Lay files out the one usual way
    Fmt(Fmt),
    /// Start a new prop: a commented file that builds as it stands
    New(New),
    /// Say what a message's code means and what to write instead
    Explain(Explain),
    /// The manual of the language: all of it, or one word
    Reference(Reference),
    /// Print what a shell needs to complete commands
    Completions(Completions),
    /// Print the manual page (for `man -l -`)
    Manual,
}

/// What a prop is read with.
#[derive(Debug, Args)]
pub struct Reading {
    /// Give a setting of the prop another value, as it would be written in the file
    #[arg(long = "set", value_name = "NAME=VALUE")]
    pub sets: Vec<String>,
    /// Which of the prop's wearers to make it for
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
    /// One JSON document on standard output
    Json,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    Always,
    Never,
}

#[derive(Debug, Args)]
pub struct Build {
    /// Prop files
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    /// Where to write; each prop gets a folder of its own name in it (`NAME-WEARER` when it names several wearers)
    #[arg(long, value_name = "DIR", default_value = "out", value_hint = ValueHint::DirPath)]
    pub out: PathBuf,
    /// Write this as well
    #[arg(long, value_enum, value_name = "KIND")]
    pub also: Vec<Also>,
    /// Which DXF to write: R2000, or R12 for old machines
    #[arg(long, value_enum, default_value_t = Dxf::R2000, value_name = "VERSION")]
    pub dxf: Dxf,
    #[command(flatten)]
    pub reading: Reading,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Also {
    /// The assembled prop as a solid, binary STL in millimetres
    Stl,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Dxf {
    R2000,
    R12,
}

#[derive(Debug, Args)]
pub struct Check {
    /// Prop files
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    #[command(flatten)]
    pub reading: Reading,
}

#[derive(Debug, Args)]
pub struct Fmt {
    /// Prop files
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    /// Change nothing; name the files that are not laid out so, and exit with 1 if there are any
    #[arg(long)]
    pub check: bool,
    #[command(flatten)]
    pub showing: Showing,
}

#[derive(Debug, Args)]
pub struct New {
    /// The file to write: `lantern.prop`, or `lantern`
    #[arg(value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub file: PathBuf,
}

#[derive(Debug, Args)]
pub struct Explain {
    /// A code, as it stands in a message: `bare-number`. Without one, all codes are listed.
    #[arg(value_name = "CODE")]
    pub code: Option<String>,
}

#[derive(Debug, Args)]
pub struct Reference {
    /// A kind, field, constructor or other word of the language
    #[arg(value_name = "WORD")]
    pub word: Option<String>,
    /// The whole manual as Markdown
    #[arg(long, conflicts_with = "word")]
    pub markdown: bool,
}

#[derive(Debug, Args)]
pub struct Completions {
    #[arg(value_name = "SHELL")]
    pub shell: clap_complete::Shell,
}

//! The commands: arguments, files, terminal, exit codes. Uses the library's public interface only.

mod args;
mod build;
mod fmt;
mod laying;
mod load;
mod manual;
mod starter;
mod stop;
mod tell;
mod terminal;
mod write;

use std::process::ExitCode;

use clap::{CommandFactory as _, Parser as _};
use tasset::diag::{Code, nearest};
use tasset::schema;

use args::{Cli, Command, Completions, Explain, New, Reference};
use terminal::{print, say};
use write::{Failure, Why};

/// What a command ends with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum End {
    Good,
    /// Faults in the prop.
    Faults,
    /// Wrong usage.
    Usage,
    /// The machine failed.
    Machine,
    /// Ended by Ctrl-C.
    Interrupted,
}

impl From<End> for ExitCode {
    fn from(end: End) -> Self {
        Self::from(match end {
            End::Good => 0,
            End::Faults => 1,
            End::Usage => 2,
            End::Machine => 3,
            End::Interrupted => stop::INTERRUPTED,
        })
    }
}

impl From<Failure> for End {
    /// One clear line, and the code.
    fn from(failure: Failure) -> Self {
        say(&format!("tasset: {}", failure.what));
        match failure.why {
            Why::Machine => Self::Machine,
            Why::Usage => Self::Usage,
            Why::Interrupted => Self::Interrupted,
        }
    }
}

/// Runs the command of the process's arguments. Usage faults are clap's: one message and exit code 2.
pub fn run() -> ExitCode {
    stop::listen();
    let mut end = match Cli::try_parse_from(args::joined(std::env::args_os())) {
        Ok(cli) => command(cli.command),
        Err(fault) => {
            // Help and version are good ends; clap knows which stream each belongs to.
            let printed = fault.print();
            if fault.use_stderr() {
                End::Usage
            } else {
                terminal::note(printed);
                terminal::print("");
                End::Good
            }
        }
    };
    if let Err(failure) = terminal::printed() {
        end = end.max(failure.clone().into());
    }
    if stop::asked() { End::Interrupted } else { end }.into()
}

fn command(command: Command) -> End {
    match command {
        Command::New(new) => self::new(&new),
        Command::Explain(explain) => self::explain(&explain),
        Command::Completions(completions) => self::completions(&completions),
        Command::Manual => {
            print(&manual::page(Cli::command()));
            End::Good
        }
        Command::Build(arguments) => build::build(&arguments),
        Command::Check(arguments) => build::check(&arguments),
        Command::Fmt(arguments) => fmt::fmt(&arguments),
        Command::Reference(arguments) => reference(&arguments),
    }
}

fn new(new: &New) -> End {
    let Some(name) = new.file.file_name() else {
        say(&format!("tasset: {} is no name for a file", tasset::diag::shown(&new.file.display().to_string())));
        return End::Usage;
    };
    let mut file = new.file.clone();
    if file.extension().is_none_or(|e| e != "prop") {
        let mut name = name.to_owned();
        name.push(".prop");
        file.set_file_name(name);
    }
    let stem = file.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
    if let Err(failure) = write::create(&file, &starter::text(&stem)) {
        return failure.into();
    }
    let shown = tasset::diag::shown(&file.display().to_string());
    print(&format!("{shown} is ready. Build it:\n    tasset build {}\n", terminal::pasted(&file)));
    End::Good
}

fn explain(explain: &Explain) -> End {
    let Some(word) = &explain.code else {
        let list: String = Code::ALL.iter().map(|c| format!("{}\n", c.name())).collect();
        print(&list);
        return End::Good;
    };
    if let Some(code) = Code::ALL.iter().find(|c| c.name() == word) {
        print(&format!("{}\n\n{}\n", code.name(), terminal::wrapped(code.explanation())));
        return End::Good;
    }
    let meant = nearest(word, Code::ALL.iter().map(|c| c.name()));
    let hint = meant.map_or_else(|| "`tasset explain` lists them".to_owned(), |m| format!("did you mean `{m}`?"));
    say(&format!("tasset: no message has the code `{}`; {hint}", tasset::diag::shown(word)));
    End::Usage
}

fn reference(reference: &Reference) -> End {
    if reference.markdown {
        print(&schema::reference::markdown());
        return End::Good;
    }
    match schema::reference::terminal(reference.word.as_deref(), terminal::width()) {
        Ok(text) => {
            print(&text);
            End::Good
        }
        Err(near) => {
            let word = tasset::diag::shown(reference.word.as_deref().unwrap_or_default());
            let hint = near.map_or_else(String::new, |n| format!("; did you mean `{n}`?"));
            say(&format!("tasset: the language has no word `{word}`{hint}"));
            End::Usage
        }
    }
}

fn completions(completions: &Completions) -> End {
    let mut bytes = Vec::new();
    clap_complete::generate(completions.shell, &mut Cli::command(), "tasset", &mut bytes);
    print(&String::from_utf8_lossy(&bytes));
    End::Good
}

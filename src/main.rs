//! The `tasset` command. Files, terminal and exit codes live here and in `cli/`; everything else is the library's.

mod cli;

fn main() -> std::process::ExitCode {
    cli::run()
}

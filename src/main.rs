//! The `tasset` command. Files, terminal and exit codes live here and in `cli/`; everything else is the library's.

mod cli;

fn main() -> std::process::ExitCode {
    // The drawing crate reckons dates from midnight of 1 January 1900 in the local zone, a moment that some zones do
    // not have once; nothing of ours depends on the zone.
    #[expect(unsafe_code, reason = "the environment may only be changed while there is one thread, as here")]
    // SAFETY: the first statement of the program: no other thread exists that could read the environment.
    unsafe {
        std::env::set_var("TZ", "UTC");
    }
    // A write past the size the system allows is to fail as on a full disk, and not end the program half-way.
    #[cfg(unix)]
    #[expect(unsafe_code, reason = "the standard library cannot ignore a signal")]
    // SAFETY: ignoring a signal runs no code of ours.
    unsafe {
        libc::signal(libc::SIGXFSZ, libc::SIG_IGN);
    }
    cli::run()
}

//! Ctrl-C. While files are staged and renamed it is only noted, and the writer leaves at the next safe place, after
//! its temporary files are gone; at any other time it ends the program at once.

use std::sync::atomic::{AtomicBool, Ordering};

static WRITING: AtomicBool = AtomicBool::new(false);
static ASKED: AtomicBool = AtomicBool::new(false);

/// The exit code of a program ended by Ctrl-C, as shells count it (128 + signal 2).
pub const INTERRUPTED: u8 = 130;

/// Installs the handler. Without one the system's own ends the program; staged files could stay behind, no more.
pub fn listen() {
    let _ = ctrlc::set_handler(|| {
        ASKED.store(true, Ordering::SeqCst);
        if !WRITING.load(Ordering::SeqCst) {
            std::process::exit(i32::from(INTERRUPTED));
        }
    });
}

/// While this lives, Ctrl-C is only noted.
#[derive(Debug)]
pub struct Writing;

impl Writing {
    pub fn begin() -> Self {
        WRITING.store(true, Ordering::SeqCst);
        Self
    }
}

impl Drop for Writing {
    fn drop(&mut self) {
        WRITING.store(false, Ordering::SeqCst);
    }
}

/// Whether Ctrl-C came.
pub fn asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}

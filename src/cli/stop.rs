//! Ctrl-C (and the system's own wish to end the program). While pieces are laid out, the first one ends that, and
//! whatever is laid out after it, with the best layout so far, and the build goes on to its end; a second one is as any
//! other. While files are staged and renamed it is only noted, and the writer leaves at the next safe place, after its
//! temporary files are gone; at any other time it ends the program at once.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError, TryLockError};

/// Held while files are written, and while the program ends: neither begins during the other.
static WRITING: Mutex<()> = Mutex::new(());
static ASKED: AtomicBool = AtomicBool::new(false);
/// Pieces are being laid out; and Ctrl-C came while they were.
static LAYING: AtomicBool = AtomicBool::new(false);
static HURRIED: AtomicBool = AtomicBool::new(false);

/// The exit code of a program ended by Ctrl-C, as shells count it (128 + signal 2).
pub const INTERRUPTED: u8 = 130;

/// Installs the handler. Without one the system's own ends the program; staged files could stay behind, no more.
pub fn listen() {
    let _ = ctrlc::set_handler(|| {
        if LAYING.load(Ordering::SeqCst) && !HURRIED.swap(true, Ordering::SeqCst) {
            return;
        }
        ASKED.store(true, Ordering::SeqCst);
        match WRITING.try_lock() {
            Err(TryLockError::WouldBlock) => {}
            // Whether idle or left by a panic: nothing is being written, and nothing begins while this is held.
            _idle => std::process::exit(i32::from(INTERRUPTED)),
        }
    });
}

/// While this lives, Ctrl-C is only noted: whoever held it looks at [`asked`] afterwards.
#[derive(Debug)]
pub struct Writing {
    _held: MutexGuard<'static, ()>,
}

impl Writing {
    pub fn begin() -> Self {
        Self { _held: WRITING.lock().unwrap_or_else(PoisonError::into_inner) }
    }
}

/// Says whether pieces are being laid out; tells whether to go on with it.
pub fn laying(now: bool) -> bool {
    LAYING.store(now, Ordering::SeqCst);
    !HURRIED.load(Ordering::SeqCst)
}

/// Whether Ctrl-C came, but for the one that only ended a layout.
pub fn asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}

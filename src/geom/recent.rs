//! What was reckoned of late, for whoever asks the same again: a wall's integrals are asked for by every phase, by each
//! of its parts and fittings anew. A value depends on nothing but its key, so it does not matter who made it, on which
//! thread, or whether it had to be made again.

use std::sync::{Arc, Mutex, PoisonError};

/// Values by the bits of all the numbers they are made from; so many of them.
#[derive(Debug)]
pub(super) struct Recent<T, const KEPT: usize = 32> {
    /// The last one asked for first.
    kept: Mutex<Vec<(Vec<u64>, Arc<T>)>>,
}

impl<T, const KEPT: usize> Recent<T, KEPT> {
    pub const fn new() -> Self {
        Self { kept: Mutex::new(Vec::new()) }
    }

    /// The value of a key: made where it is not among those kept.
    pub fn get(&self, key: Vec<u64>, make: impl FnOnce() -> T) -> Arc<T> {
        {
            let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(i) = kept.iter().position(|(k, _)| *k == key) {
                kept[..=i].rotate_right(1);
                return Arc::clone(&kept[0].1);
            }
        }
        let made = Arc::new(make());
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.truncate(KEPT - 1);
        kept.insert(0, (key, Arc::clone(&made)));
        made
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_made_once_while_it_is_asked_for() {
        let recent = Recent::<u64>::new();
        let made = core::cell::Cell::new(0);
        let ask = |n: u64| {
            *recent.get(vec![n], || {
                made.set(made.get() + 1);
                n * n
            })
        };
        for _ in 0..3 {
            for n in 0..30 {
                assert_eq!(ask(n), n * n);
            }
        }
        assert_eq!(made.get(), 30);
        for n in 100..200 {
            assert_eq!((ask(n), ask(29)), (n * n, 29 * 29));
        }
        assert_eq!(made.get(), 130, "what goes on being asked for is kept");
        assert_eq!((ask(0), made.get()), (0, 131), "what is not is forgotten");
    }
}

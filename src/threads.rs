//! Work on several threads whose outcome is that of one: results come in the order of what they are made from, whoever
//! made them, and nothing depends on how many threads there are. Rank 0: imports nothing of the project.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Threads besides the one that asks. More than there are cores costs little; which of them does what is left to chance.
const HELPERS: usize = 3;

/// Two results made side by side.
pub fn both<A: Send, B>(a: impl FnOnce() -> A + Send, b: impl FnOnce() -> B) -> (A, B) {
    // The closure is taken out by whichever comes to run it: a system that gives no thread leaves it to this one.
    let a = std::sync::Mutex::new(Some(a));
    let run = || a.lock().ok().and_then(|mut a| a.take()).map(|a| a());
    thread::scope(|scope| {
        let helper = thread::Builder::new().spawn_scoped(scope, run);
        let b = b();
        let made = helper.ok().and_then(|h| h.join().unwrap_or_else(|panic| resume_unwind(panic)));
        let Some(a) = made.or_else(run) else { unreachable!("one of them has run it") };
        (a, b)
    })
}

/// `f` of every item, in the order of the items.
pub fn each<T: Sync, R: Send>(items: &[T], f: impl Fn(&T) -> R + Sync) -> Vec<R> {
    each_heavy_first(items, |_| 0, f)
}

/// The same, begun with what `weight` says is most work: nobody waits at the end for a long one that was begun last.
pub fn each_heavy_first<T: Sync, R: Send>(
    items: &[T],
    weight: impl Fn(&T) -> usize,
    f: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by_cached_key(|i| std::cmp::Reverse(weight(&items[*i])));
    let next = AtomicUsize::new(0);
    let work = || {
        let mut made = Vec::new();
        loop {
            let Some(&i) = order.get(next.fetch_add(1, Ordering::Relaxed)) else { return made };
            made.push((i, f(&items[i])));
        }
    };
    let mut all = thread::scope(|scope| {
        let helpers: Vec<_> = (1..items.len().min(HELPERS + 1))
            .filter_map(|_| thread::Builder::new().spawn_scoped(scope, work).ok())
            .collect();
        let mut all = work();
        for helper in helpers {
            all.extend(helper.join().unwrap_or_else(|panic| resume_unwind(panic)));
        }
        all
    });
    all.sort_by_key(|(i, _)| *i);
    all.into_iter().map(|(_, made)| made).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_the_order_of_their_items() {
        let items: Vec<u64> = (0..200).collect();
        // The first take longest.
        let slow = |n: &u64| {
            std::thread::sleep(std::time::Duration::from_micros(200 - n));
            n * n
        };
        assert_eq!(each(&items, slow), items.iter().map(|n| n * n).collect::<Vec<_>>());
        assert_eq!(
            each_heavy_first(&items, |n| *n as usize % 7, slow),
            items.iter().map(|n| n * n).collect::<Vec<_>>()
        );
        assert!(each(&[] as &[u64], slow).is_empty());
        assert_eq!(each(&[7], slow), [49]);
        assert_eq!(both(|| slow(&3), || "b"), (9, "b"));
    }

    #[test]
    fn a_panic_is_passed_on() {
        let fails = |n: &u64| assert!(*n != 5, "five");
        let caught = std::panic::catch_unwind(|| each(&(0..9).collect::<Vec<_>>(), fails));
        let said = caught.expect_err("it is passed on").downcast_ref::<&str>().map(|s| (*s).to_owned());
        assert_eq!(said.as_deref(), Some("five"));
        assert!(std::panic::catch_unwind(|| both(|| fails(&5), || ())).is_err());
    }
}

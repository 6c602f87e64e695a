//! What was reckoned at places of one walk, for whoever asks the same place again: every face of a sheet and every curve of
//! a rim is read at the same places, one after the other. A value depends on nothing but its place.

use core::cell::{Cell, RefCell};

use super::walk::Place;

/// So many places are reckoned before any is kept: most walks are asked for a handful.
const FEW: u32 = 24;
/// So many places are kept to begin with; one whose slot is wanted again makes room.
const SLOTS: usize = 128;
/// As often as so many times that had to be so, there are twice the slots, up to so many.
const CROWDED: u32 = 64;
const MOST: usize = 1024;

/// Values by place.
#[derive(Clone, Debug)]
pub(super) struct Memo<T> {
    asked: Cell<u32>,
    crowded: Cell<u32>,
    slots: RefCell<Vec<Option<(Place, T)>>>,
}

impl<T: Copy> Memo<T> {
    pub const fn new() -> Self {
        Self { asked: Cell::new(0), crowded: Cell::new(0), slots: RefCell::new(Vec::new()) }
    }

    /// The value at a place: made where it is not kept.
    pub fn get(&self, at: Place, make: impl FnOnce() -> T) -> T {
        let asked = self.asked.get();
        if asked < FEW {
            self.asked.set(asked + 1);
            return make();
        }
        if let Some(Some((place, value))) = self.slots.borrow().get(slot(at, self.slots.borrow().len()))
            && place.leg == at.leg
            && place.t.to_bits() == at.t.to_bits()
        {
            return *value;
        }
        let value = make();
        let mut slots = self.slots.borrow_mut();
        if slots.is_empty() {
            slots.resize(SLOTS, None);
        }
        let crowded = self.crowded.get() + u32::from(slots[slot(at, slots.len())].is_some());
        self.crowded.set(crowded);
        if crowded >= CROWDED && slots.len() < MOST {
            self.crowded.set(0);
            let more = vec![None; 2 * slots.len()];
            for kept in core::mem::replace(&mut *slots, more).into_iter().flatten() {
                let to = slot(kept.0, slots.len());
                slots[to] = Some(kept);
            }
        }
        let to = slot(at, slots.len());
        slots[to] = Some((at, value));
        value
    }
}

/// Which of so many slots, a power of two, a place is kept in.
fn slot(at: Place, of: usize) -> usize {
    // The multiplier is 2^64 over the golden ratio (D. E. Knuth, The Art of Computer Programming 3, 6.4).
    let mixed = (at.t.to_bits() ^ at.leg as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    (mixed >> 54) as usize & of.wrapping_sub(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_made_anew_only_where_it_is_not_kept() {
        let memo = Memo::<f64>::new();
        let made = Cell::new(0);
        let ask = |leg: usize, t: f64| {
            memo.get(Place { leg, t }, || {
                made.set(made.get() + 1);
                leg as f64 * 1000.0 + t
            })
        };
        for round in 0..50 {
            for leg in 0..3 {
                for i in 0..20 {
                    let t = f64::from(i) / 20.0;
                    assert_eq!(ask(leg, t), leg as f64 * 1000.0 + t, "{round}");
                }
            }
        }
        assert!(made.get() < 50 * 30, "{} of 3000", made.get());
        // Places that differ in their last bit only are two.
        assert_eq!((ask(0, 0.5), ask(0, 0.5f64.next_up())), (0.5, 0.5f64.next_up()));
    }
}

//! Typed indices, so that a part's number can never be used as an edge's, and the letters that number what a maker
//! reads. Rank 0.

macro_rules! id {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u32);

        impl $name {
            /// The id of the thing at `index` of its table.
            ///
            /// # Panics
            /// When `index` passes `u32::MAX`, far beyond every limit of the language.
            #[must_use]
            pub fn new(index: usize) -> Self {
                Self(u32::try_from(index).expect("tables are bounded far below u32::MAX"))
            }

            /// The index in its table.
            #[must_use]
            pub fn index(self) -> usize {
                self.0 as usize
            }
        }

        impl core::fmt::Debug for $name {
            fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self.0)
            }
        }
    )+};
}

id! {
    /// A source file, in the order in which the files were read.
    FileId,
    /// A thing of the design, after loops and recipes.
    ThingId,
    /// A `let` value or function of the design.
    LetId,
    /// A sheet part of the solid: a wall, a cap, a lid's rim.
    PartId,
    /// A joint: two edges (or an edge and a face) that meet.
    JointId,
    /// A flat panel: one layer of one ring of a part.
    PanelId,
    /// A piece as it is cut.
    PieceId,
}

/// Letters that nobody takes for a figure, a tick or a hole: no I and no O (ASME Y14.35 leaves them out for revisions,
/// from memory), of the small ones no l.
const CAPITALS: &[u8] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
const SMALL: &[u8] = b"abcdefghjkmnpqrstuvwxyz";

/// The letters of number `n` from 0: `A` … `Z`, then `AA`, `AB` …
#[must_use]
pub fn letters(n: usize) -> String {
    of_alphabet(n, CAPITALS)
}

/// The same in small letters.
#[must_use]
pub fn small_letters(n: usize) -> String {
    of_alphabet(n, SMALL)
}

fn of_alphabet(mut n: usize, alphabet: &[u8]) -> String {
    let mut out = Vec::new();
    loop {
        out.push(char::from(alphabet[n % alphabet.len()]));
        if n < alphabet.len() {
            return out.iter().rev().collect();
        }
        n = n / alphabet.len() - 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z_never_repeat_and_leave_out_what_looks_like_a_figure() {
        let some: Vec<String> = [0, 7, 8, 13, 23, 24, 25, 599, 600].into_iter().map(letters).collect();
        assert_eq!(some, ["A", "H", "J", "P", "Z", "AA", "AB", "ZZ", "AAA"]);
        let all: Vec<String> = (0..700).map(small_letters).collect();
        assert_eq!((all[0].as_str(), all[22].as_str(), all[23].as_str(), all[24].as_str()), ("a", "z", "aa", "ab"));
        assert_eq!(all.iter().collect::<std::collections::BTreeSet<_>>().len(), 700);
        assert!(all.iter().all(|l| !l.contains(['i', 'l', 'o'])));
    }
}

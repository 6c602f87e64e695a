//! Typed indices, so that a part's number can never be used as an edge's. Rank 0.

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

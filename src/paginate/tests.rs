//! Pages of hand-made pieces.

//! The layout as bytes: cut files, a picture, a report. Writes nothing to disk and reads no clock: `main` does the
//! one, and the other would change the bytes.

pub mod dxf;
mod dxf_repair;
pub mod filename;
pub mod lines;
pub mod number;
pub mod style;

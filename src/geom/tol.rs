//! Every named tolerance, with its unit and reason. The error budget of a cut line: unrolling 0.001 mm, arc fit
//! 0.004 mm, rounding 0.0005 mm, so that a coordinate is within 0.006 mm and an edge length within 0.01 mm.

/// Unrolling: largest distance of a computed flat point from the exact one, mm.
pub const UNROLL: f64 = 0.001;
/// Arc fit: largest distance of an emitted line or arc from the unrolled curve, mm.
pub const ARC_FIT: f64 = 0.004;
/// Arc fit: largest difference of an edge's summed length from the unrolled curve's, mm.
pub const EDGE_LENGTH_FIT: f64 = 0.005;
/// Rounding of emitted coordinates: half of the last of three decimals, mm.
pub const ROUNDING: f64 = 0.0005;
/// Two strips are one flat piece when their flats agree along the shared station within this, mm.
pub const ONE_PIECE: f64 = 0.02;
/// A bevel that moves the line by less than this is cut square at mid-depth, mm.
pub const SQUARE_CUT: f64 = 0.3;
/// Two numbers of a drawing closer than this are the same place, mm: far below what can be cut, far above f64 noise.
pub const SAME: f64 = 1e-7;
/// Two directions closer than this are the same, radians.
pub const SAME_ANGLE: f64 = 1e-10;

//! The prop as a binary STL file, mm: 80 bytes of heading, the count of triangles, and for each its normal, its three
//! corners and two bytes of nothing, all little-endian 32-bit floats. One closed surface a layer of a part (a wall
//! of several strips: one a strip); see [`super::body`] for what is not shown.

use super::body::Shown;
use crate::geom::Vec3;

/// The file's bytes.
#[must_use]
pub fn stl(bodies: &[Shown]) -> Vec<u8> {
    let triangles: Vec<[Vec3; 3]> = bodies.iter().flat_map(|b| b.mesh.triangles()).collect();
    let mut out = Vec::with_capacity(84 + 50 * triangles.len());
    let mut heading = [b' '; 80];
    // Not "solid": that word begins the text form.
    for (to, from) in heading.iter_mut().zip(b"tasset, binary STL, millimetres, z up") {
        *to = *from;
    }
    out.extend(heading);
    out.extend(u32::try_from(triangles.len()).unwrap_or(u32::MAX).to_le_bytes());
    for [a, b, c] in triangles {
        let normal = (b - a).cross(c - a).normalize_or_zero();
        for v in [normal, a, b, c] {
            for x in v.to_array() {
                out.extend(single(x).to_le_bytes());
            }
        }
        out.extend([0, 0]);
    }
    out
}

/// In single precision, to the ten-thousandth of a millimetre first so that the last bits are the same everywhere.
#[expect(clippy::cast_possible_truncation, reason = "the format is single precision")]
fn single(x: f64) -> f32 {
    ((x * 1e4).round() / 1e4) as f32 + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_as_long_as_its_count_says_and_does_not_begin_like_text() {
        let bytes = stl(&super::super::body::bodies(&crate::samples::solid(), 1e9));
        let count = u32::from_le_bytes(bytes[80..84].try_into().expect("four bytes")) as usize;
        assert_eq!(bytes.len(), 84 + 50 * count);
        assert!(count > 100 && !bytes.starts_with(b"solid"));
    }
}

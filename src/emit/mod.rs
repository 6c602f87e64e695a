//! The layout as bytes: cut files, a picture, a report. Writes nothing to disk and reads no clock: `main` does the
//! one, and the other would change the bytes.

pub mod dxf;
mod dxf_repair;
pub mod filename;
pub mod lines;
pub mod number;
pub mod style;
pub mod svg;
pub mod write;

#[cfg(test)]
mod dump {
    #[test]
    fn dump() {
        let (solid, pieces) = (crate::samples::solid(), crate::samples::pieces());
        let (layout, _) = crate::arrange::arrange(&solid, &pieces);
        let l = super::lines::lines(&layout.sheets[0], &pieces);
        std::fs::write("/tmp/s.svg", super::svg::svg(&solid, &pieces, &layout.sheets[0], 1, &l)).unwrap();
        for (v, n) in [(super::dxf::Version::R2000, "2000"), (super::dxf::Version::R12, "12")] {
            let (b, _) = super::dxf::dxf(&l, layout.sheets[0].size, v).unwrap();
            std::fs::write(format!("/tmp/raw{n}.dxf"), b).unwrap();
        }
    }
}

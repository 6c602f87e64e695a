//! Walls that are kept in one piece by stretching its sheet.

use super::{Leave, Wall};

/// How one piece comes to be a wall of several rings: it is cut as a plain cone, which is warmed and stretched over a form.
/// Every line up the wall keeps its length; how much the lines round it are stretched is said station by station.
#[derive(Clone, Debug, PartialEq)]
pub struct Formed {
    /// The cone: one ring between square rims, with the wall's own seam.
    pub cone: Wall,
    /// From the first rim to the last. Between two of them the shares lie between theirs.
    pub stations: Vec<Stretched>,
    /// What the goods allow.
    pub leave: Leave,
}

/// One line round such a wall, on the surface that keeps its length in bending.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretched {
    /// How far up the wall from the first rim, mm: as it is cut and as it is formed.
    pub along: f64,
    /// Its height in the part's frame, mm.
    pub height: f64,
    /// How long it is cut, and how long it is formed, mm.
    pub cut: f64,
    pub formed: f64,
}

impl Stretched {
    /// Formed over cut, less one: what it is stretched, less than 0 where it is squeezed (engineering strain).
    #[must_use]
    pub fn share(&self) -> f64 {
        self.formed / self.cut - 1.0
    }

    /// The same in percent, to a tenth: `+5.8 %`.
    #[must_use]
    pub fn said(&self) -> String {
        let tenths = (self.share() * 1000.0).round() / 10.0;
        if tenths == 0.0 { "0 %".to_owned() } else { format!("{tenths:+} %") }
    }
}

impl Formed {
    /// The height on the cone's measured face of the line through a station.
    #[must_use]
    pub fn level(&self, station: usize) -> Option<f64> {
        let (z0, z1) = self.cone.strips.first()?.heights();
        let whole = self.stations.last()?.along;
        Some(z0 + (z1 - z0) * self.stations.get(station)?.along / whole)
    }

    /// The stations at which it is stretched and squeezed most, where it is either.
    #[must_use]
    pub fn most(&self) -> [Option<usize>; 2] {
        let by = |sign: f64| {
            let all = self.stations.iter().enumerate().map(|(i, s)| (i, sign * s.share()));
            all.filter(|s| s.1 > NOTHING).max_by(|a, b| a.1.total_cmp(&b.1)).map(|s| s.0)
        };
        [by(1.0), by(-1.0)]
    }

    /// The area that is cut, and its moment as it is formed: the sheet lies about the axis, and what is stretched is thinner.
    #[must_use]
    pub fn sheet(&self) -> (f64, f64) {
        let mut sum = (0.0, 0.0);
        for w in self.stations.windows(2) {
            let (a, b, long) = (w[0], w[1], w[1].along - w[0].along);
            // Girths and heights run straight: their product is quadratic, and Simpson's rule exact.
            let middle = 0.25 * (a.cut + b.cut) * (a.height + b.height);
            sum.0 += 0.5 * (a.cut + b.cut) * long;
            sum.1 += long / 6.0 * (a.cut * a.height + 4.0 * middle + b.cut * b.height);
        }
        sum
    }

    /// What a line through a station is called: a rim's edge, else a line that is drawn.
    #[must_use]
    pub fn name(&self, station: usize) -> String {
        match station {
            0 => "bottom".to_owned(),
            i if i + 1 == self.stations.len() => "top".to_owned(),
            i => format!("form line {i}"),
        }
    }
}

/// A share that is only what rounding leaves.
const NOTHING: f64 = 1e-9;

impl Wall {
    /// The wall as it is cut: of one that is formed the cone that is stretched to it.
    #[must_use]
    pub fn cut(&self) -> &Self {
        self.formed.as_ref().map_or(self, |f| &f.cone)
    }
}

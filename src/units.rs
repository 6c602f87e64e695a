//! Quantities and their dimensions. Rank 1.
//!
//! Inside, lengths are millimetres, masses grams, angles radians, times seconds; the newtypes below stop a mix-up
//! at every border, and a [`Quantity`] carries its dimension through the language's arithmetic.

use core::fmt;

/// The dimension of a quantity: the exponents of length, mass, angle and time. Money is a plain number of the
/// prop's own currency and has no exponent (LANGUAGE: "Money is a bare number").
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub struct Dim {
    pub length: i8,
    pub mass: i8,
    pub angle: i8,
    pub time: i8,
    /// Force is kept apart from mass times acceleration: a maker never multiplies the two.
    pub force: i8,
}

impl Dim {
    pub const NONE: Self = Self { length: 0, mass: 0, angle: 0, time: 0, force: 0 };
    pub const LENGTH: Self = Self { length: 1, ..Self::NONE };
    pub const AREA: Self = Self { length: 2, ..Self::NONE };
    pub const VOLUME: Self = Self { length: 3, ..Self::NONE };
    pub const ANGLE: Self = Self { angle: 1, ..Self::NONE };
    pub const MASS: Self = Self { mass: 1, ..Self::NONE };
    pub const TIME: Self = Self { time: 1, ..Self::NONE };
    /// kg/m3
    pub const DENSITY: Self = Self { mass: 1, length: -3, ..Self::NONE };
    /// g/m2
    pub const AREA_DENSITY: Self = Self { mass: 1, length: -2, ..Self::NONE };
    /// g/m
    pub const LINE_DENSITY: Self = Self { mass: 1, length: -1, ..Self::NONE };
    /// m2/l: an area a volume covers.
    pub const COVERAGE: Self = Self { length: -1, ..Self::NONE };
    /// N/mm
    pub const STRENGTH: Self = Self { force: 1, length: -1, ..Self::NONE };

    /// The dimension of a product, or `None` past the range of an exponent.
    #[must_use]
    pub fn times(self, o: Self) -> Option<Self> {
        Some(Self {
            length: self.length.checked_add(o.length)?,
            mass: self.mass.checked_add(o.mass)?,
            angle: self.angle.checked_add(o.angle)?,
            time: self.time.checked_add(o.time)?,
            force: self.force.checked_add(o.force)?,
        })
    }

    /// The dimension of a whole power.
    #[must_use]
    pub fn power(self, n: i8) -> Option<Self> {
        Some(Self {
            length: self.length.checked_mul(n)?,
            mass: self.mass.checked_mul(n)?,
            angle: self.angle.checked_mul(n)?,
            time: self.time.checked_mul(n)?,
            force: self.force.checked_mul(n)?,
        })
    }

    /// The dimension of a quotient.
    #[must_use]
    pub fn over(self, o: Self) -> Option<Self> {
        self.times(o.power(-1)?)
    }

    /// The dimension of the square root, when every exponent is even.
    #[must_use]
    pub fn root(self) -> Option<Self> {
        let half = |n: i8| (n % 2 == 0).then_some(n / 2);
        Some(Self {
            length: half(self.length)?,
            mass: half(self.mass)?,
            angle: half(self.angle)?,
            time: half(self.time)?,
            force: half(self.force)?,
        })
    }
}

impl fmt::Display for Dim {
    /// In a maker's words: "a length", "an area", "g/m2" …
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match *self {
            Self::NONE => "a plain number",
            Self::LENGTH => "a length",
            Self::AREA => "an area",
            Self::VOLUME => "a volume",
            Self::ANGLE => "an angle",
            Self::MASS => "a mass",
            Self::TIME => "a time",
            Self::DENSITY => "a density",
            Self::AREA_DENSITY => "a mass per area",
            Self::LINE_DENSITY => "a mass per length",
            Self::COVERAGE => "an area per volume",
            Self::STRENGTH => "a force per length",
            d => return write!(f, "mm^{} g^{} rad^{} s^{} N^{}", d.length, d.mass, d.angle, d.time, d.force),
        })
    }
}

/// A finite number with its dimension, in the inner units (mm, g, rad, s, N).
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Quantity {
    value: f64,
    dim: Dim,
}

impl Quantity {
    /// `value` in the inner units of `dim`; `None` when it is not finite.
    #[must_use]
    pub fn new(value: f64, dim: Dim) -> Option<Self> {
        value.is_finite().then_some(Self { value: if value == 0.0 { 0.0 } else { value }, dim })
    }

    /// The number in inner units.
    #[must_use]
    pub fn value(self) -> f64 {
        self.value
    }

    #[must_use]
    pub fn dim(self) -> Dim {
        self.dim
    }
}

/// A unit of the language: its word, what one of it is in inner units, its dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    pub word: &'static str,
    pub factor: f64,
    pub dim: Dim,
}

/// Every unit of the language. Inch 25.4 mm and pound 453.59237 g exactly (International yard and pound
/// agreement, 1959); a litre is a cubic decimetre.
pub const UNITS: &[Unit] = &[
    Unit { word: "mm", factor: 1.0, dim: Dim::LENGTH },
    Unit { word: "cm", factor: 10.0, dim: Dim::LENGTH },
    Unit { word: "m", factor: 1000.0, dim: Dim::LENGTH },
    Unit { word: "in", factor: 25.4, dim: Dim::LENGTH },
    Unit { word: "ft", factor: 304.8, dim: Dim::LENGTH },
    Unit { word: "mm2", factor: 1.0, dim: Dim::AREA },
    Unit { word: "cm2", factor: 100.0, dim: Dim::AREA },
    Unit { word: "m2", factor: 1e6, dim: Dim::AREA },
    Unit { word: "ml", factor: 1000.0, dim: Dim::VOLUME },
    Unit { word: "l", factor: 1e6, dim: Dim::VOLUME },
    Unit { word: "deg", factor: core::f64::consts::PI / 180.0, dim: Dim::ANGLE },
    Unit { word: "s", factor: 1.0, dim: Dim::TIME },
    Unit { word: "min", factor: 60.0, dim: Dim::TIME },
    Unit { word: "h", factor: 3600.0, dim: Dim::TIME },
    Unit { word: "day", factor: 86_400.0, dim: Dim::TIME },
    Unit { word: "g", factor: 1.0, dim: Dim::MASS },
    Unit { word: "kg", factor: 1000.0, dim: Dim::MASS },
    Unit { word: "oz", factor: 28.349_523_125, dim: Dim::MASS },
    Unit { word: "lb", factor: 453.592_37, dim: Dim::MASS },
    Unit { word: "kg/m3", factor: 1e-6, dim: Dim::DENSITY },
    Unit { word: "g/m2", factor: 1e-6, dim: Dim::AREA_DENSITY },
    Unit { word: "g/m", factor: 1e-3, dim: Dim::LINE_DENSITY },
    Unit { word: "m2/l", factor: 1.0, dim: Dim::COVERAGE },
    Unit { word: "N/mm", factor: 1.0, dim: Dim::STRENGTH },
    Unit { word: "%", factor: 0.01, dim: Dim::NONE },
];

/// The unit of a word.
#[must_use]
pub fn unit(word: &str) -> Option<Unit> {
    UNITS.iter().copied().find(|u| u.word == word)
}

macro_rules! newtype {
    ($($(#[$doc:meta])* $name:ident, $make:ident, $take:ident);+ $(;)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd, Debug, Default)]
        pub struct $name(f64);

        impl $name {
            /// A finite amount.
            ///
            /// # Panics
            /// On NaN or infinity in debug builds: borders check with [`Quantity::new`].
            #[must_use]
            pub fn $make(value: f64) -> Self {
                debug_assert!(value.is_finite(), "a quantity is finite");
                Self(value)
            }

            /// The bare number.
            #[must_use]
            pub fn $take(self) -> f64 {
                self.0
            }
        }
    )+};
}

newtype! {
    /// A length in millimetres.
    Length, mm, to_mm;
    /// An angle in radians.
    Angle, rad, to_rad;
    /// An area in square millimetres.
    Area, mm2, to_mm2;
    /// A mass in grams.
    Mass, g, to_g;
}

impl Angle {
    /// The angle in degrees.
    #[must_use]
    pub fn to_deg(self) -> f64 {
        self.0.to_degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unit_words_are_unique() {
        for (i, u) in UNITS.iter().enumerate() {
            assert!(UNITS[..i].iter().all(|v| v.word != u.word), "{} stands twice", u.word);
        }
    }

    #[test]
    fn coverage_is_an_area_over_a_volume() {
        assert_eq!(Dim::AREA.over(Dim::VOLUME), Some(Dim::COVERAGE));
        let one = unit("m2").expect("m2").factor / unit("l").expect("l").factor;
        assert_eq!(one, unit("m2/l").expect("m2/l").factor);
    }

    #[test]
    fn quantities_are_finite() {
        assert_eq!(Quantity::new(f64::NAN, Dim::LENGTH), None);
        assert_eq!(Quantity::new(1.0 / 0.0, Dim::NONE), None);
    }
}

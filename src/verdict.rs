//! What the audit found: how much was checked, how near each check came to its limit, and every breach. Rank 5:
//! plain data, made by `audit`.

use std::collections::BTreeMap;

use crate::ids::PieceId;

/// What is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Check {
    /// The folded panel meets itself at the seam, or ends where the solid does.
    Closure,
    /// Folded edges, holes and marks lie on their curves in space.
    Landing,
    /// The same after moving from the neutral surface to the face they belong to.
    Transfer,
    /// The wall's normal is one along every generatrix.
    Twist,
    /// The show face is outside.
    Hand,
    /// Sizes given in the text, measured again on the folded piece.
    Claim,
    /// Lengths of partners along the curve they share.
    Partner,
    /// Notches of partners along that curve.
    Notch,
    /// Area.
    Area,
    /// Everything the solid implies is there, once.
    Coverage,
    /// Pieces on a sheet lie apart.
    Overlap,
    /// Pieces keep to the sheet's free border.
    Margin,
    /// Grain runs as the stock asks.
    Grain,
    /// Each piece lies on one sheet of its stock, once, not mirrored.
    Placing,
    /// How much what is formed is stretched, as it is told.
    Stretch,
    /// What is folded over an edge: its width, and what its tabs keep.
    Turn,
    /// Printed pages show every piece wholly, within what the printer reaches, and join as they say.
    Printing,
}

impl Check {
    /// In a maker's words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Closure => "closure",
            Self::Landing => "landing",
            Self::Transfer => "landing on the face",
            Self::Twist => "twist",
            Self::Hand => "hand",
            Self::Claim => "declared size",
            Self::Partner => "partner length",
            Self::Notch => "notch",
            Self::Area => "area",
            Self::Coverage => "count",
            Self::Overlap => "overlap",
            Self::Margin => "margin",
            Self::Grain => "grain",
            Self::Placing => "placing",
            Self::Stretch => "stretch",
            Self::Turn => "turn",
            Self::Printing => "printed page",
        }
    }

    /// The unit of its figures.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Twist | Self::Grain => "°",
            Self::Hand | Self::Coverage | Self::Placing => "",
            Self::Area => "mm²",
            Self::Stretch => "%",
            _ => "mm",
        }
    }
}

/// One figure that passed its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Breach {
    pub check: Check,
    pub piece: Option<PieceId>,
    /// What was measured: "lower edge", "hole port".
    pub what: String,
    /// Where: "12.000, 80.500 on the piece".
    pub place: String,
    /// By how much it is off, in the check's unit.
    pub off: f64,
    pub allowed: f64,
}

/// The worst figure of one check.
#[derive(Clone, Debug, PartialEq)]
pub struct Worst {
    pub piece: Option<PieceId>,
    pub what: String,
    pub off: f64,
    pub allowed: f64,
}

impl Worst {
    fn share(&self) -> f64 {
        share(self.off, self.allowed)
    }

    fn worse_than(&self, other: &Self) -> bool {
        worse(self.share(), other.share())
    }
}

/// How much of what is allowed a figure takes.
fn share(off: f64, allowed: f64) -> f64 {
    if allowed > 0.0 { off / allowed } else { off }
}

/// Of equal ones the first stays, of such as are no numbers the last.
fn worse(this: f64, other: f64) -> bool {
    this.is_nan() || this > other
}

/// How much was checked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    pub pieces: usize,
    pub edges: usize,
    pub holes: usize,
    pub notches: usize,
    pub marks: usize,
    pub claims: usize,
    pub placed: usize,
    pub pages: usize,
}

impl Counts {
    fn add(&mut self, more: Self) {
        let Self { pieces, edges, holes, notches, marks, claims, placed, pages } = more;
        self.pieces += pieces;
        self.edges += edges;
        self.holes += holes;
        self.notches += notches;
        self.marks += marks;
        self.claims += claims;
        self.placed += placed;
        self.pages += pages;
    }
}

/// The outcome.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Verdict {
    pub checked: Counts,
    /// For each check the figure that came nearest to (or passed) its limit.
    pub worst: BTreeMap<Check, Worst>,
    pub breaches: Vec<Breach>,
}

impl Verdict {
    /// Whether everything may be cut.
    #[must_use]
    pub fn passed(&self) -> bool {
        self.breaches.is_empty()
    }

    /// Enters one figure; past its limit (or not a number) it is a breach.
    pub fn measured(&mut self, breach: Breach) {
        let this = share(breach.off, breach.allowed);
        if self.worst.get(&breach.check).is_none_or(|w| worse(this, w.share())) {
            let worst =
                Worst { piece: breach.piece, what: breach.what.clone(), off: breach.off, allowed: breach.allowed };
            self.worst.insert(breach.check, worst);
        }
        if breach.off > breach.allowed || breach.off.is_nan() {
            self.breaches.push(breach);
        }
    }

    /// Everything of another verdict, as if it had been entered after what is here.
    pub fn join(&mut self, other: Self) {
        self.checked.add(other.checked);
        for (check, worst) in other.worst {
            let here = self.worst.get(&check).is_none_or(|w| worst.worse_than(w));
            if here {
                self.worst.insert(check, worst);
            }
        }
        self.breaches.extend(other.breaches);
    }

    /// Whether any breach is of this check.
    #[must_use]
    pub fn breaks(&self, check: Check) -> bool {
        self.breaches.iter().any(|b| b.check == check)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(off: f64) -> Breach {
        Breach { check: Check::Landing, piece: None, what: String::new(), place: String::new(), off, allowed: 0.02 }
    }

    #[test]
    fn a_figure_within_its_limit_is_kept_as_the_worst_and_one_past_it_is_a_breach() {
        let mut verdict = Verdict::default();
        verdict.measured(figure(0.01));
        verdict.measured(figure(0.004));
        assert!(verdict.passed());
        assert_eq!(verdict.worst[&Check::Landing].off, 0.01);
        verdict.measured(figure(0.021));
        assert!(verdict.breaks(Check::Landing) && !verdict.breaks(Check::Area));
    }

    #[test]
    fn verdicts_joined_are_what_one_would_have_been() {
        let figures = [0.004, 0.01, 0.021, 0.01, f64::NAN, 0.03, 0.021, f64::NAN, 0.002];
        let enter = |verdict: &mut Verdict, (i, off): (usize, &f64)| {
            verdict.checked.marks += 1;
            verdict.measured(Breach { what: i.to_string(), ..figure(*off) });
        };
        let of = |from: usize, to: usize| {
            let mut verdict = Verdict::default();
            figures.iter().enumerate().take(to).skip(from).for_each(|f| enter(&mut verdict, f));
            verdict
        };
        for from in 0..figures.len() {
            for to in from..=figures.len() {
                for middle in from..=to {
                    let mut joined = of(from, middle);
                    joined.join(of(middle, to));
                    // No number equals itself: they are compared as they are written.
                    assert_eq!(format!("{joined:?}"), format!("{:?}", of(from, to)));
                }
            }
        }
    }

    #[test]
    fn a_figure_that_is_no_number_is_a_breach() {
        let mut verdict = Verdict::default();
        verdict.measured(figure(f64::NAN));
        assert!(!verdict.passed());
    }
}

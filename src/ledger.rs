//! What it comes to: everything weighed, coated and carried, what the prop must keep to and whether it does, and what
//! to beware of. Rank 5: plain data, made by `plan`.
//!
//! Places are in the prop's frame (x to the wearer's front, y to the left, z up), mm; masses g.

use crate::geom::Vec3;
use crate::ids::ThingId;
use crate::span::Span;

/// The whole account.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ledger {
    /// Everything that has a mass, in the order of the parts and of what is fitted.
    pub entries: Vec<Entry>,
    /// Without what it carries, and with it.
    pub empty: Weight,
    pub full: Weight,
    pub coatings: Vec<Coating>,
    pub contents: Vec<Contents>,
    pub hangs: Vec<Hang>,
    pub limits: Vec<Limit>,
    /// `None` while nothing is laid out.
    pub shopping: Option<Shopping>,
    pub work: Work,
    /// The gravest first.
    pub cautions: Vec<Caution>,
}

/// What sort of thing an entry weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    Sheet,
    Run,
    Lump,
    Coat,
    Contents,
}

impl What {
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Run => "run",
            Self::Lump => "lump",
            Self::Coat => "coat",
            Self::Contents => "contents",
        }
    }
}

/// Something that is weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    pub thing: ThingId,
    pub name: String,
    pub what: What,
    /// How many there are: both of a pair.
    pub count: usize,
    /// Half of it belongs to either of a mirrored pair.
    pub pair: bool,
    /// Of all of them together; `None` when it is not known.
    pub mass: Option<f64>,
    /// Where it lies, all of them together.
    pub centre: Vec3,
}

/// A sum of masses.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Weight {
    pub mass: f64,
    /// `None` where nothing is weighed.
    pub centre: Option<Vec3>,
    /// What is not in the sum, by name: it has no density, or is not built yet.
    pub missing: Vec<String>,
}

/// What a finish takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Coating {
    pub name: String,
    /// The paint or sealer.
    pub of: String,
    pub coats: usize,
    /// Of one coat, mm²: each face, and all together.
    pub faces: Vec<Face>,
    pub area: f64,
    /// Of all coats, mm³, when its coverage is known.
    pub volume: Option<f64>,
    /// Dry, of all coats, when its mass per area is known.
    pub mass: Option<f64>,
    /// Wait after each coat, s.
    pub dry: Option<f64>,
}

/// A face that is coated.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    pub part: String,
    /// `inside` or `outside`.
    pub side: &'static str,
    /// mm²: of both of a pair.
    pub area: f64,
}

/// What is carried.
#[derive(Clone, Debug, PartialEq)]
pub struct Contents {
    pub name: String,
    /// The part it lies in.
    pub within: String,
    pub count: usize,
    /// Of one; `None` when it rests on something that is not known.
    pub mass: Option<f64>,
    /// To the front, to the left, up.
    pub size: Option<Vec3>,
    /// Its middle along the part, and in the prop.
    pub level: f64,
    pub centre: Vec3,
}

/// A question how it hangs, kept as asked: it is not answered yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Hang {
    pub name: String,
    pub origin: Span,
    /// The strap or the attachments it hangs by.
    pub on: Vec<String>,
    /// `point` or `body`.
    pub over: &'static str,
    pub slide: f64,
    /// Radians.
    pub steepest: Option<f64>,
}

/// When it must be ready and how long the day at the bench is, kept as asked: how long the work takes is not answered
/// yet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Work {
    /// As written: `2031-06-14`.
    pub deadline: Option<String>,
    /// s
    pub bench: Option<f64>,
}

/// What is to be bought, and what it may cost. Money is in whole cents: hundredths of the prop's own currency.
#[derive(Clone, Debug, PartialEq)]
pub struct Shopping {
    /// Stocks, then supplies, as they come to be used.
    pub lines: Vec<Bought>,
    /// Of everything that has a price.
    pub total: i64,
    pub budget: Option<i64>,
    /// What money is called.
    pub currency: Option<String>,
}

impl Shopping {
    /// What has no price, and why.
    pub fn open(&self) -> impl Iterator<Item = (&str, &'static str)> {
        self.lines.iter().filter_map(|l| Some((l.name.as_str(), l.cents.err()?)))
    }
}

/// Cents as money is written: `7.80`, `12`.
#[must_use]
pub fn money(cents: i64) -> String {
    match cents % 100 {
        0 => format!("{}", cents / 100),
        part => format!("{}.{part:02}", cents / 100),
    }
}

/// Goods of one name that are needed.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    pub thing: ThingId,
    pub name: String,
    /// What the next three count.
    pub measure: Measure,
    pub need: f64,
    /// Of that, what is in the cupboard.
    pub have: f64,
    pub buy: f64,
    /// The purchases that `buy` is made up of, where goods are sold by the packet.
    pub packs: Option<Packs>,
    /// Or why that is not known.
    pub cents: Result<i64, &'static str>,
    /// What was reckoned, where that is not seen from the amount.
    pub note: Option<&'static str>,
}

/// Purchases alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Packs {
    pub count: f64,
    pub each: f64,
}

/// What goods are counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    Sheets,
    /// mm
    Length,
    Pieces,
    /// mm³
    Volume,
}

/// A limit, held against what was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    pub name: String,
    /// What it is on; empty for the whole prop.
    pub on: Vec<String>,
    pub held: Vec<Held>,
    pub without: Vec<Without>,
}

/// One figure of a limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// `mass`, `long`, `reach`, `packed`.
    pub what: &'static str,
    /// As given, and what is to be kept in hand under each.
    pub allowed: Vec<f64>,
    pub spare: f64,
    pub found: Vec<f64>,
    pub kept: bool,
    /// What it could not be held against, by name.
    pub missing: Vec<String>,
}

/// A caution that is not to be had, and what has it.
#[derive(Clone, Debug, PartialEq)]
pub struct Without {
    pub word: &'static str,
    pub had_by: Vec<String>,
}

/// The signal words of ANSI Z535.4-2007, 4.14 (also ISO 3864-2): DANGER will, WARNING could kill or gravely injure;
/// CAUTION could injure to a minor or moderate degree; NOTICE is about property and carries no alert symbol. Nothing
/// that is made here earns a DANGER by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    Warning,
    Caution,
    Notice,
}

impl Signal {
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Warning => "WARNING",
            Self::Caution => "CAUTION",
            Self::Notice => "NOTICE",
        }
    }

    /// Whether it speaks of injury, and so stands beside the safety alert symbol.
    #[must_use]
    pub fn alerts(self) -> bool {
        self != Self::Notice
    }
}

/// Something to beware of.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    pub signal: Signal,
    /// A word of the table's cautions, or one of the prop's own: `awl`, `saw`, `load`, `neck`, `head`, `spoil`.
    pub key: &'static str,
    /// In a few words: "solvent vapour".
    pub title: &'static str,
    /// What may happen, and what to do.
    pub text: &'static str,
    /// What in the prop calls for it, by name.
    pub because: Vec<String>,
}

/// What stands under every list of cautions.
pub const DEFER: &str =
    "The labels of your products, your local rules and qualified people come before anything said here.";

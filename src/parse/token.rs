//! The words and signs of a file, as the hand-written scan finds them.

/// One word or sign, `start..end` in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Token {
    pub kind: Kind,
    pub start: u32,
    pub end: u32,
}

impl Token {
    /// The text of the token.
    pub fn of(self, text: &str) -> &str {
        &text[self.start as usize..self.end as usize]
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A word that is not reserved.
    Word,
    Key(Key),
    /// A written number without its unit: `12`, `12.5`, `3:2`, `1 1/2`.
    Number,
    /// The unit behind a number.
    Unit,
    Text,
    /// The end of a line.
    Line,
    Open(Bracket),
    Close(Bracket),
    Comma,
    Colon,
    Equals,
    Dot,
    /// `^ * / + - <= >= == != < >`
    Operator,
    /// A closing bracket that closes nothing.
    Stray(Bracket),
    /// An opening bracket, not a brace, that nothing closes.
    Unclosed,
    /// Something a diagnostic has been made for; what holds it is not read.
    Fault,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bracket {
    Round,
    Square,
    Curly,
}

impl Bracket {
    pub fn open(self) -> char {
        match self {
            Self::Round => '(',
            Self::Square => '[',
            Self::Curly => '{',
        }
    }

    pub fn close(self) -> char {
        match self {
            Self::Round => ')',
            Self::Square => ']',
            Self::Curly => '}',
        }
    }
}

macro_rules! keys {
    ($($key:ident $word:literal),+ $(,)?) => {
        /// A reserved word.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Key { $($key),+ }

        impl Key {
            pub fn of(word: &str) -> Option<Self> {
                match word {
                    $($word => Some(Self::$key),)+
                    _ => None,
                }
            }
        }
    };
}

keys! {
    Use "use", Let "let", Setting "setting", Require "require", For "for", If "if", Then "then", Else "else",
    At "at", To "to", By "by", Per "per", On "on", In "in", Over "over", Beside "beside", And "and", Or "or",
    Not "not",
}

impl Kind {
    /// Whether a line may be broken after it and the value still goes on.
    pub fn carries_on(self) -> bool {
        matches!(self, Self::Operator | Self::Key(Key::By | Key::And | Key::Or | Key::Not | Key::Then | Key::Else))
    }

    /// Whether it counts against the limit of operators in a value.
    pub fn counts(self) -> bool {
        matches!(self, Self::Operator | Self::Key(Key::By | Key::And | Key::Or | Key::Not | Key::If))
    }

    /// Whether a value can end with it.
    pub fn ends_value(self) -> bool {
        matches!(
            self,
            Self::Word | Self::Number | Self::Unit | Self::Text | Self::Close(Bracket::Round | Bracket::Square)
        )
    }

    /// Whether a value can begin with it, signs and `if` aside.
    pub fn begins_atom(self) -> bool {
        matches!(self, Self::Word | Self::Number | Self::Text | Self::Open(Bracket::Round | Bracket::Square))
    }
}

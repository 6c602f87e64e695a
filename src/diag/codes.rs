//! Every code a diagnostic can carry, in one list: a line each, `Variant "kebab-name" "what it means, why, and
//! what to write instead";`. `tasset explain` prints the last; every code has `tests/cases/bad/NAME.prop` and a near miss
//! `tests/cases/good/NAME.prop` (tidy checks it). Keep one line a code: the file merges by union.

macro_rules! codes {
    ($($variant:ident $name:literal $explain:literal;)+) => {
        /// The code of a diagnostic.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $($variant,)+
        }

        impl Code {
            /// Every code.
            pub const ALL: &'static [Code] = &[$(Code::$variant,)+];

            /// The code as written and typed: `bare-number`.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self {
                    $(Code::$variant => $name,)+
                }
            }

            /// What it means, why, and what to write instead.
            #[must_use]
            pub fn explanation(self) -> &'static str {
                match self {
                    $(Code::$variant => $explain,)+
                }
            }
        }
    };
}

codes! {
    AuditFailed "audit-failed" "Before anything is written, tasset folds the pieces it is about to cut in reckoning and holds every edge, hole, notch, size and count against the prop as you described it. Something did not fit. This is a fault of tasset and not of your text: do not cut, and report the file.";
    BareNumber "bare-number" "A number stands where a length, an angle or a mass belongs, and it has no unit. 90 what? Millimetres, centimetres and inches give very different props, so the file has to say. Write the unit right after the number: `90 mm`.";
    NotBuiltYet "not-built-yet" "This kind or form is part of the language and was checked in full, but this version does not turn it into pieces yet. Everything else in the file is produced.";
}

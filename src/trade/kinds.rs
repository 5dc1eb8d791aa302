//! Things of a few kinds, each with its word in files: conveyors, belts and their parts, and units.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Worded;

/// Kinds of which each has a word in files: the enum and its [`Worded`].
macro_rules! kinds {
    ($($(#[$about:meta])* $name:ident { $($(#[$of:meta])* $one:ident = $word:literal,)+ })+) => {
        $(
            $(#[$about])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
            pub enum $name {
                $($(#[$of])* $one,)+
            }

            impl Serialize for $name {
                fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                    to.serialize_str(self.word())
                }
            }

            impl<'de> Deserialize<'de> for $name {
                fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                    let word = String::deserialize(from)?;
                    Self::named(&word).ok_or_else(|| {
                        D::Error::unknown_variant(&word, &[$($word),+])
                    })
                }
            }

            impl $name {
                /// All, in the order in which they are offered.
                pub const ALL: &'static [Self] = &[$(Self::$one),+];

                /// Its word in files.
                pub fn word(self) -> &'static str {
                    match self {
                        $(Self::$one => $word,)+
                    }
                }

                /// The one of that word.
                pub fn named(word: &str) -> Option<Self> {
                    <Self as Worded>::named(word)
                }
            }

            impl Worded for $name {
                const ALL: &'static [Self] = Self::ALL;

                fn word(self) -> &'static str {
                    self.word()
                }
            }
        )+
    };
}

kinds! {
    /// What kind of conveyor it is.
    ConveyorClass {
        /// Bulk material in a troughed belt.
        TroughedBulk = "troughed-bulk",
        /// A flat belt on a slider bed or flat rolls.
        Flat = "flat",
        /// A short conveyor for packages or parts.
        Package = "package",
    }

    /// What carries the pull in the belt.
    Carcass {
        /// Fabric plies.
        Fabric = "fabric",
        /// Steel cords.
        SteelCord = "steel-cord",
        /// Something else, or a solid belt.
        Other = "other",
    }

    /// What keeps the belt tight.
    TakeUp {
        /// Screws at a pulley, usually the tail.
        Screw = "screw",
        /// A hanging weight.
        Gravity = "gravity",
        /// A carriage on rails, pulled by a weight.
        Carriage = "carriage",
        /// A winch with a rope.
        Winch = "winch",
        /// Nothing that can be set.
        None = "none",
    }

    /// What a logbook can say of the months before a visit.
    LogbookSign {
        /// The belt was tightened more than once within a year.
        OftenTightened = "often-tightened",
        /// One screw runs ahead of the other, more and more.
        ScrewAhead = "screw-ahead",
        /// Idlers were trimmed again and again.
        OftenTrimmed = "often-trimmed",
        /// Trimming idlers was done last.
        TrimmedLast = "trimmed-last",
        /// Tightening was done last.
        TightenedLast = "tightened-last",
        /// One screw was turned last.
        ScrewLast = "screw-last",
    }

    /// In which system of units a person reads and types.
    #[derive(Default)]
    Units {
        /// Millimetres, newtons, degrees Celsius.
        #[default]
        Metric = "metric",
        /// Inches, pounds, degrees Fahrenheit.
        Inch = "inch",
        /// Metric, with the other in brackets; a bare number is metric.
        Both = "both",
    }

    /// Where a conveyor stands.
    Surroundings {
        /// Indoors or under a full cover.
        Indoors = "indoors",
        /// Outdoors, at least part of it.
        Outdoors = "outdoors",
    }

    /// What rolls in a bearing.
    RollingElement {
        /// Balls.
        Ball = "ball",
        /// Rollers.
        Roller = "roller",
    }

    /// What the drive pulley is faced with.
    Lagging {
        /// Bare steel.
        Bare = "bare",
        /// Lagged.
        Lagged = "lagged",
    }
}

impl ConveyorClass {
    /// What a class settles about the trough.
    pub fn troughed(self) -> Option<bool> {
        match self {
            Self::TroughedBulk => Some(true),
            Self::Flat => Some(false),
            Self::Package => None,
        }
    }

    /// What a class settles about hanging idler sets.
    pub fn garland(self) -> Option<bool> {
        match self {
            Self::TroughedBulk => None,
            Self::Flat | Self::Package => Some(false),
        }
    }
}

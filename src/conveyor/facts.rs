//! The facts of a conveyor that rules and gauges ask for, and the values each may have.

use std::collections::BTreeMap;

use crate::trade::{Carcass, ConveyorClass, Lagging, RollingElement, Surroundings, TakeUp, Worded};

/// The facts: their keys, each with its value, and what is known of all of them.
macro_rules! facts {
    ($($(#[$about:meta])* $fact:ident $field:ident $key:literal: $value:ty $(, else $settled:expr)?;)+) => {
        /// Which fact of a conveyor.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum FactKey {
            $($(#[$about])* $fact,)+
        }

        /// A fact of a conveyor with its value.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Fact {
            $($(#[$about])* $fact($value),)+
        }

        /// What is known of a conveyor. What was not said is unknown.
        #[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
        pub struct Facts {
            $($field: Option<$value>,)+
        }

        impl FactKey {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$fact),+];

            /// Its key in files.
            pub fn word(self) -> &'static str {
                match self {
                    $(Self::$fact => $key,)+
                }
            }

            /// The fact with every value that it may have.
            pub fn values(self) -> Vec<Fact> {
                match self {
                    $(Self::$fact => {
                        <$value as Worded>::ALL.iter().copied().map(Fact::$fact).collect()
                    })+
                }
            }

            /// The fact with the value of that word, if there is one.
            pub fn with(self, value: &str) -> Option<Fact> {
                match self {
                    $(Self::$fact => <$value as Worded>::named(value).map(Fact::$fact),)+
                }
            }
        }

        impl Fact {
            /// Which fact it is.
            pub fn key(self) -> FactKey {
                match self {
                    $(Self::$fact(_) => FactKey::$fact,)+
                }
            }

            /// The word for its value.
            pub fn value(self) -> &'static str {
                match self {
                    $(Self::$fact(value) => value.word(),)+
                }
            }
        }

        impl Facts {
            $(
                $(#[$about])*
                pub fn $field(&self) -> Option<$value> {
                    self.$field$(.or_else(|| $settled(self)))?
                }
            )+

            /// A fact, if it was said or another settles it.
            pub fn get(&self, key: FactKey) -> Option<Fact> {
                match key {
                    $(FactKey::$fact => self.$field().map(Fact::$fact),)+
                }
            }

            /// A fact, if it was said.
            pub fn said(&self, key: FactKey) -> Option<Fact> {
                match key {
                    $(FactKey::$fact => self.$field.map(Fact::$fact),)+
                }
            }

            /// Notes a fact, in place of what was said of it before.
            pub fn set(&mut self, fact: Fact) {
                match fact {
                    $(Fact::$fact(value) => self.$field = Some(value),)+
                }
            }

            /// Takes back what was said of a fact.
            pub fn clear(&mut self, key: FactKey) {
                match key {
                    $(FactKey::$fact => self.$field = None,)+
                }
            }
        }
    };
}

facts! {
    /// What kind of conveyor it is.
    Class class "class": ConveyorClass;
    /// Whether the carry strand lies in a trough; a class may settle it.
    Troughed troughed "troughed": bool, else |facts: &Self| facts.class?.troughed();
    /// Whether it runs both ways.
    Reversing reversing "reversing": bool;
    /// Whether it has crowned pulleys.
    Crowned crowned "crowned": bool;
    /// What carries the pull in the belt.
    Carcass carcass "carcass": Carcass;
    /// What keeps the belt tight.
    TakeUp take_up "take_up": TakeUp;
    /// Where it stands.
    Place place "place": Surroundings;
    /// Whether a tripper runs on it.
    Tripper tripper "tripper": bool;
    /// Whether a plough or a diverter takes material off the belt.
    PloughOff plough_off "plough_off": bool;
    /// Whether it has a concave vertical curve, where the belt may lift off its idlers; the ramp of a tripper is one.
    Curve curve "curve": bool, else |facts: &Self| facts.tripper?.then_some(true);
    /// Whether idlers hang: garland sets or sets on ropes; they form a trough, so a flat class has none.
    Garland garland "garland": bool, else |facts: &Self| facts.class?.garland();
    /// Whether an impact bed stands in the load zone.
    ImpactBed impact_bed "impact_bed": bool;
    /// Whether the carry strand slides over a bed or bars.
    SliderBed slider_bed "slider_bed": bool;
    /// Whether there is a belt scale in it.
    BeltScale belt_scale "belt_scale": bool;
    /// Whether the belt has a V-guide beneath.
    VGuide v_guide "v_guide": bool;
    /// Which bearings the end pulleys run in.
    Bearings bearings "bearings": RollingElement;
    /// Whether the drive pulley is bare or lagged.
    Lagging lagging "lagging": Lagging;
    /// Whether dust that burns lies on it.
    DustBurns dust_burns "dust_burns": bool;
}

impl FactKey {
    /// Those that rules may ask for, in the order in which they are shown.
    pub const FOR_RULES: [Self; 15] = [
        Self::Class,
        Self::Troughed,
        Self::Reversing,
        Self::Crowned,
        Self::Carcass,
        Self::TakeUp,
        Self::Place,
        Self::Tripper,
        Self::PloughOff,
        Self::Curve,
        Self::Garland,
        Self::ImpactBed,
        Self::SliderBed,
        Self::BeltScale,
        Self::VGuide,
    ];
    /// Those of them that are parts which a conveyor may have: asked in one list.
    pub const PARTS: [Self; 8] = [
        Self::Tripper,
        Self::PloughOff,
        Self::Curve,
        Self::Garland,
        Self::ImpactBed,
        Self::SliderBed,
        Self::BeltScale,
        Self::VGuide,
    ];
    /// Those that only gauges ask for.
    pub const FOR_GAUGES: [Self; 3] = [Self::Bearings, Self::Lagging, Self::DustBurns];

    /// The words of its values.
    pub fn value_words(self) -> Vec<&'static str> {
        self.values().into_iter().map(Fact::value).collect()
    }

    /// The one of that key.
    pub fn named(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|known| known.word() == key)
    }

    /// The one of that key that rules may ask for.
    pub fn for_rules(key: &str) -> Option<Self> {
        Self::named(key).filter(|key| Self::FOR_RULES.contains(key))
    }
}

impl Facts {
    /// Those of these facts that are known, in this order.
    pub fn among(&self, keys: &'static [FactKey]) -> impl Iterator<Item = Fact> {
        keys.iter().filter_map(|key| self.get(*key))
    }

    /// What was said of the facts that rules ask for: their values by key.
    pub fn said_by_key(&self) -> BTreeMap<&'static str, &'static str> {
        let said = FactKey::FOR_RULES.iter().filter_map(|key| self.said(*key));
        said.map(|fact| (fact.key().word(), fact.value())).collect()
    }

    /// The same, with what a fact settles of another as if it had been said.
    #[must_use]
    pub fn settled(&self) -> Self {
        self.among(FactKey::ALL).collect()
    }
}

impl FromIterator<Fact> for Facts {
    fn from_iter<I: IntoIterator<Item = Fact>>(all: I) -> Self {
        let mut facts = Self::default();
        for fact in all {
            facts.set(fact);
        }
        facts
    }
}

//! What entries of a book stand for in the program: which part of the conveyor an answer speaks of, what of a drill's
//! conveyor answers a question, which fault of the belt-line model a cause is. Said in the files beside each entry, so
//! that no id of a book need be known to the program.

use serde::{Deserialize, Serialize};

/// What an answer means, in the program's own words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename = "meaning")]
#[expect(missing_docs, reason = "the words are the trade's own and say it all")]
pub enum Meaning {
    No,
    Yes,
    // Sides and strands.
    Left,
    Right,
    Carry,
    Return,
    Both,
    Neither,
    // Where along the conveyor.
    Tail,
    LoadZone,
    CarryRun,
    Head,
    ReturnRun,
    TakeUp,
    // The first split.
    OnePlace,
    LongStretch,
    OnePart,
    NoPattern,
    // How the belt runs.
    FedAndEmpty,
    FedOnly,
    EmptyOnly,
    OtherSideEmpty,
    Steady,
    Jumps,
    Sways,
    Short,
    Long,
    Alternating,
    // What is measured and sighted.
    Straight,
    Bowed,
    Racked,
    OneWay,
    Opposed,
    TooLittle,
    Usual,
    TooMuch,
    Worn,
    AsDrawn,
}

impl Meaning {
    /// Where along the conveyor the belt may be worst: what the place of the book's roles tells.
    pub const PLACES: [Self; 6] =
        [Self::Tail, Self::LoadZone, Self::CarryRun, Self::Head, Self::ReturnRun, Self::TakeUp];
    /// All of the belt at one place, or one part of the belt: what the first split of the book's roles tells.
    pub const FIRST_SPLIT: [Self; 4] =
        [Self::OnePlace, Self::LongStretch, Self::OnePart, Self::NoPattern];
}

impl From<bool> for Meaning {
    fn from(is: bool) -> Self {
        if is { Self::Yes } else { Self::No }
    }
}

/// What of a drill's conveyor answers a question: of the belt as it runs, or of the parts that are out of order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename = "seen in a drill")]
pub enum Sight {
    /// All of the belt at one place, over a long stretch, or one part of the belt.
    FirstSplit,
    /// Where it is furthest off.
    PlaceOff,
    /// On which strand it is off.
    StrandOff,
    /// Toward which side it is off.
    SideOff,
    /// Whether it is off fed, empty or both.
    FedOrEmpty,
    /// How its edge moves at one place.
    Movement,
    /// How long the part of the belt is that is off.
    LengthOff,
    /// Whether it comes off centre to the tail.
    OffAtTail,
    /// Whether its edge stands in an S.
    Snakes,
    /// Whether it runs to the other side in reverse.
    OtherSideInReverse,
    /// Which end of the most skewed idler the belt meets first.
    IdlerMetFirst,
    /// Whether several idlers are skewed, some each way.
    IdlersTrimmedBothWays,
    /// Which end of an idler is low.
    LowIdlerEnd,
    /// Which side of the frame is low.
    LowFrameSide,
    /// Which end of a pulley is low.
    LowPulleyEnd,
    /// Whether the frame is straight, bowed or racked.
    FrameLine,
    /// Whether an idler stand is out of the middle.
    StandOffCentre,
    /// On which side an end pulley is nearer to the other one.
    PulleyNearerSide,
    /// Which take-up screw is less far out.
    SlackScrew,
    /// On which side the load lies.
    HeavySide,
    /// From which side the wind blows.
    WindFrom,
    /// Whether a splice is out of square.
    CrookedSplice,
    /// Whether lengths of the belt are bowed, and all one way.
    BeltBow,
    /// Whether a roll is caked.
    CakedRoll,
    /// How deep the return strand hangs.
    ReturnSag,
    /// Whether the crown is worn.
    Crown,
    /// Which end of a pulley with worn lagging is thicker. Only drawn drills tell it, among what they show.
    ThickerEnd,
}

impl Sight {
    /// All that it can tell. An answer stands for each.
    pub fn tells(self) -> &'static [Meaning] {
        use Meaning as M;
        match self {
            Self::FirstSplit => &Meaning::FIRST_SPLIT,
            // The model has no place of its own for the take-up.
            Self::PlaceOff => &[M::Tail, M::LoadZone, M::CarryRun, M::Head, M::ReturnRun],
            Self::StrandOff => &[M::Carry, M::Return, M::Both],
            Self::SideOff => &[M::Left, M::Right, M::Both],
            Self::FedOrEmpty => &[M::FedAndEmpty, M::FedOnly, M::EmptyOnly, M::OtherSideEmpty],
            Self::Movement => &[M::Steady, M::Jumps, M::Sways],
            Self::LengthOff => &[M::Short, M::Long, M::Alternating],
            Self::OffAtTail
            | Self::Snakes
            | Self::OtherSideInReverse
            | Self::IdlersTrimmedBothWays
            | Self::StandOffCentre
            | Self::CrookedSplice
            | Self::CakedRoll => &[M::No, M::Yes],
            Self::IdlerMetFirst
            | Self::LowIdlerEnd
            | Self::LowFrameSide
            | Self::LowPulleyEnd
            | Self::PulleyNearerSide
            | Self::SlackScrew
            | Self::HeavySide => &[M::Left, M::Right, M::Neither],
            Self::FrameLine => &[M::Straight, M::Bowed, M::Racked],
            Self::BeltBow => &[M::Straight, M::OneWay, M::Opposed],
            Self::ReturnSag => &[M::TooLittle, M::Usual, M::TooMuch],
            Self::Crown => &[M::Worn, M::AsDrawn],
            Self::WindFrom | Self::ThickerEnd => &[M::Left, M::Right],
        }
    }
}

/// Which fault of the belt-line model a cause is in drills.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename = "fault in a drill")]
pub enum DrillFault {
    /// Cake on neighbouring rolls, which pushes to either side.
    CakedRolls,
    /// Cake on an end pulley, thicker at one end.
    CakedPulley,
    /// A roll that stands still and drags the belt aside.
    SeizedRoll,
    /// Neighbouring idlers out of square; what a learner makes by moving an idler end.
    SkewedIdlers,
    /// Carry idlers that stand out of the middle.
    IdlersOffCentre,
    /// Idlers with one end low.
    LeaningIdlers,
    /// A stretch of frame bowed or racked.
    CrookedFrame,
    /// A stretch of frame with one side low.
    LowFrame,
    /// An end pulley out of square.
    SkewedPulley,
    /// An end pulley with one end low.
    LowPulley,
    /// One take-up screw further out; what a learner makes by turning one.
    UnevenScrews,
    /// A crown worn away.
    WornCrown,
    /// Lagging of the head pulley worn at one end.
    WornLagging,
    /// A load that lies to one side.
    LoadToOneSide,
    /// Skirts that push at the load zone.
    PushingSkirts,
    /// A splice out of square.
    CrookedSplice,
    /// A long length of belt bowed to one side.
    BowedBelt,
    /// Two lengths joined with opposed bows.
    OpposedBows,
    /// A short length bowed by a chewed edge.
    ChewedEdge,
    /// A cleaner that pushes on the return strand.
    PushingCleaner,
    /// A self-aligning idler that hangs and pushes.
    PushingTrainer,
    /// A return roll that pushes.
    PushingReturnRoll,
    /// A heap or a thing that pushes at the tail.
    PushingHeap,
    /// Wind across a stretch of one strand.
    Crosswind,
    /// Idlers all along skewed, some each way.
    ScatteredTrims,
    /// Idlers all along skewed for one direction of running.
    TrimsForOneWay,
    /// Supports that moved: frame out of level or bowed.
    MovedSupports,
    /// A belt too tight: what a learner makes with both screws. No drill is drawn with it.
    TightBelt,
}

/// What the shift tells of an answer at the start of a drawn drill.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShiftSays {
    /// Its place among what is told, from the smallest.
    pub place: u32,
    /// What is said, by answer; an answer that is not here is not spoken of.
    pub says: Vec<(crate::rulebook::index::AnswerAt, String)>,
}

/// Small drawings that help to answer a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[expect(missing_docs, reason = "each is named for what it shows")]
pub enum Drawing {
    FirstSplit,
    Places,
    Strands,
    Sides,
    HowItMoves,
    TroughDaylight,
    Sag,
    ThreadsShowing,
    SlotsBothWays,
    LoadInTrough,
    Splice,
    RollCake,
    EdgeRoom,
    Wind,
    Diagonals,
    IdlerSkew,
    StringLine,
}

impl Drawing {
    /// All of them.
    pub const ALL: [Self; 17] = [
        Self::FirstSplit,
        Self::Places,
        Self::Strands,
        Self::Sides,
        Self::HowItMoves,
        Self::TroughDaylight,
        Self::Sag,
        Self::ThreadsShowing,
        Self::SlotsBothWays,
        Self::LoadInTrough,
        Self::Splice,
        Self::RollCake,
        Self::EdgeRoom,
        Self::Wind,
        Self::Diagonals,
        Self::IdlerSkew,
        Self::StringLine,
    ];
}

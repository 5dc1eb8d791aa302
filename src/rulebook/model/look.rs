//! Looks: what somebody takes in standing at one place, how long that takes on a conveyor, and the way there.

use super::{Book, Condition, Meaning, Source, Symptom, Walking};
use crate::conveyor::ConveyorSize;
use crate::rulebook::index::{AnswerAt, CautionAt, SymptomAt};
use crate::trade::{LookPlace, MachineState};

/// Where one turn of the belt takes longer, one is enough, minutes.
const LONG_TURN_MINUTES: f64 = 5.0;
/// The length of conveyor that [`Look::per_50_m_minutes`] is for, metres.
const STRETCH_M: f64 = 50.0;

/// What somebody takes in standing at one place in one state of the machine.
#[derive(Debug, Clone)]
pub struct Look {
    /// Its id in the files; of a lone symptom the symptom's.
    pub id: String,
    /// What it is called; of a lone symptom its question.
    pub title: String,
    /// Where somebody stands. Nothing for a lone symptom: nobody said where.
    pub place: Option<LookPlace>,
    /// What state the machine must be in.
    pub state: MachineState,
    /// Where exactly, and from where it is safe; nothing for a lone symptom, which says so itself.
    pub stand: String,
    /// Standing there and taking it in, minutes; neither the way there nor the symptoms' own.
    pub minutes: f64,
    /// Turns of the belt that have to be watched on top.
    pub turns: f64,
    /// On top for every 50 m between the end pulleys, minutes.
    pub per_50_m_minutes: f64,
    /// All of these together bring it forward: what it tells a minute counts double. None at all bring nothing.
    pub early_if: Vec<Condition>,
    /// What it shows, in the order in which it is taken in; never empty.
    pub symptoms: Vec<SymptomAt>,
    /// What is needed for it, besides what its symptoms need.
    pub tools: Vec<String>,
    /// Warnings that belong to it.
    pub cautions: Vec<CautionAt>,
    /// Where this comes from.
    pub source: Source,
}

impl Look {
    /// The look of a symptom that the files put into none: nobody said where to stand.
    pub fn of_its_own(at: SymptomAt, symptom: &Symptom) -> Self {
        Self {
            id: symptom.id.clone(),
            title: symptom.ask.clone(),
            place: None,
            state: symptom.state,
            stand: String::new(),
            minutes: 0.0,
            turns: 0.0,
            per_50_m_minutes: 0.0,
            early_if: Vec::new(),
            symptoms: vec![at],
            tools: Vec::new(),
            cautions: Vec::new(),
            source: symptom.source.clone(),
        }
    }

    /// Standing there on a conveyor of this size, minutes: neither the way there nor the symptoms' own.
    pub fn standing_minutes(&self, conveyor: ConveyorSize, walking: &Walking) -> f64 {
        let turn = walking.turn_minutes(conveyor);
        let turns = if turn > LONG_TURN_MINUTES { self.turns.min(1.0) } else { self.turns };
        let stretches = walking.centres_m(conveyor) / STRETCH_M;
        self.minutes + turns * turn + self.per_50_m_minutes * stretches
    }
}

impl Walking {
    /// Minutes for one turn of the belt, take-up loops left out.
    pub fn turn_minutes(&self, conveyor: ConveyorSize) -> f64 {
        let speed_m_s = conveyor.speed_m_s.unwrap_or(self.speed_m_s);
        2.0 * self.centres_m(conveyor) / speed_m_s / 60.0
    }

    /// Minutes from one place of looks to another, turning to it included. None at the same place, and none for
    /// papers, which are asked about by radio. `trouble` is the place where the belt is worst, if that is known.
    pub fn minutes_between(
        &self,
        from: Option<LookPlace>,
        to: Option<LookPlace>,
        trouble: Option<LookPlace>,
        conveyor: ConveyorSize,
    ) -> f64 {
        let (from, to) = (known_spot(from, trouble), known_spot(to, trouble));
        let by_radio = |place| place == Some(LookPlace::Papers);
        if by_radio(from) || by_radio(to) {
            return 0.0;
        }
        let (Some(from), Some(to)) = (from, to) else { return self.to_turn_to_minutes };
        if from == to {
            return 0.0;
        }
        let way_m = (share_along(from) - share_along(to)).abs() * self.centres_m(conveyor);
        self.to_turn_to_minutes + way_m / self.metres_a_minute
    }

    /// Between the end pulleys, metres.
    fn centres_m(&self, conveyor: ConveyorSize) -> f64 {
        conveyor.centres_m.unwrap_or(self.centres_m)
    }
}

/// The trouble spot by the name of the place where it is, if that is known.
fn known_spot(place: Option<LookPlace>, trouble: Option<LookPlace>) -> Option<LookPlace> {
    match place {
        Some(LookPlace::TroubleSpot) => trouble.or(place),
        _ => place,
    }
}

/// How far along from tail to head a place lies, 0..1. Where only the conveyor's drawing would tell, the middle of what
/// is usual; a walk along the whole line begins and ends at the tail.
fn share_along(place: LookPlace) -> f64 {
    match place {
        LookPlace::Tail | LookPlace::WholeLine | LookPlace::BeltPart | LookPlace::Papers => 0.0,
        LookPlace::LoadZone => 0.05,
        LookPlace::TakeUp => 0.25,
        LookPlace::CarryRun | LookPlace::ReturnRun | LookPlace::TroubleSpot => 0.5,
        LookPlace::Head | LookPlace::Drive => 1.0,
    }
}

impl Book {
    /// The place where the belt is worst, by the answer to the symptom that has the role of the place; nothing if
    /// the answer means no place.
    pub fn trouble_place(&self, answer: AnswerAt) -> Option<LookPlace> {
        let asked = self.symptoms.item(self.roles.place?)?;
        match asked.answers.item(answer)?.means? {
            Meaning::Tail => Some(LookPlace::Tail),
            Meaning::LoadZone => Some(LookPlace::LoadZone),
            Meaning::CarryRun => Some(LookPlace::CarryRun),
            Meaning::Head => Some(LookPlace::Head),
            Meaning::ReturnRun => Some(LookPlace::ReturnRun),
            Meaning::TakeUp => Some(LookPlace::TakeUp),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::load;
    use crate::trade::Worded;

    const UNKNOWN: ConveyorSize = ConveyorSize {
        centres_m: None,
        speed_m_s: None,
        carry_pitch_m: None,
        return_pitch_m: None,
        pulleys: None,
    };

    fn look(minutes: f64, turns: f64, per_50_m_minutes: f64) -> Look {
        Look {
            id: String::new(),
            title: String::new(),
            place: Some(LookPlace::TroubleSpot),
            state: MachineState::Running,
            stand: String::new(),
            minutes,
            turns,
            per_50_m_minutes,
            early_if: Vec::new(),
            symptoms: Vec::new(),
            tools: Vec::new(),
            cautions: Vec::new(),
            source: Source::Memory,
        }
    }

    fn size(centres_m: f64, speed_m_s: f64) -> ConveyorSize {
        ConveyorSize { centres_m: Some(centres_m), speed_m_s: Some(speed_m_s), ..UNKNOWN }
    }

    fn near(found: f64, wanted: f64) {
        assert!((found - wanted).abs() < 1e-9, "{found} instead of {wanted}");
    }

    #[test]
    fn turns_and_stretches_are_those_of_the_conveyor() {
        let walking = Walking::default();
        let minutes = |look: Look, conveyor| look.standing_minutes(conveyor, &walking);
        // 132 m at 1.5 m/s are 88 s.
        near(minutes(look(1.0, 3.0, 0.0), UNKNOWN), 1.0 + 3.0 * 88.0 / 60.0);
        near(minutes(look(1.0, 3.0, 0.0), size(30.0, 1.0)), 1.0 + 3.0);
        near(minutes(look(0.1, 0.0, 3.0), size(200.0, 1.0)), 12.1);
        near(minutes(look(0.1, 0.0, 3.0), UNKNOWN), 0.1 + 3.0 * 66.0 / 50.0);
    }

    #[test]
    fn where_a_turn_is_long_one_is_enough() {
        let walking = Walking::default();
        let conveyor = size(600.0, 2.0);
        near(walking.turn_minutes(conveyor), 10.0);
        near(look(2.0, 3.0, 0.0).standing_minutes(conveyor, &walking), 12.0);
        near(look(2.0, 0.5, 0.0).standing_minutes(conveyor, &walking), 7.0);
        // Five minutes are not long yet.
        near(look(0.0, 3.0, 0.0).standing_minutes(size(300.0, 2.0), &walking), 15.0);
    }

    #[test]
    fn a_way_is_walked_from_place_to_place() {
        use LookPlace as P;
        let walking = Walking::default();
        let conveyor = size(100.0, 1.0);
        let way =
            |from, to, trouble| walking.minutes_between(Some(from), Some(to), trouble, conveyor);
        near(way(P::Tail, P::Head, None), 0.3 + 2.0);
        near(way(P::Head, P::LoadZone, None), 0.3 + 1.9);
        near(way(P::WholeLine, P::Tail, None), 0.3);
        near(way(P::TroubleSpot, P::Tail, None), 0.3 + 1.0);
        near(way(P::TroubleSpot, P::Tail, Some(P::Head)), 0.3 + 2.0);
        near(way(P::TroubleSpot, P::Tail, Some(P::Tail)), 0.0);
        near(walking.minutes_between(None, Some(P::Head), None, conveyor), 0.3);
        near(walking.minutes_between(Some(P::Head), None, None, conveyor), 0.3);
    }

    #[test]
    fn no_way_is_negative_and_each_is_as_long_back() {
        let walking = Walking::default();
        for &from in LookPlace::ALL {
            for &to in LookPlace::ALL {
                for trouble in [None, Some(LookPlace::Head), Some(LookPlace::TroubleSpot)] {
                    let there = walking.minutes_between(Some(from), Some(to), trouble, UNKNOWN);
                    let back = walking.minutes_between(Some(to), Some(from), trouble, UNKNOWN);
                    near(there, back);
                    assert!(there >= 0.0);
                    let papers = from == LookPlace::Papers || to == LookPlace::Papers;
                    assert!(!(from == to || papers) || there == 0.0);
                }
            }
        }
    }

    #[test]
    fn the_worst_place_is_what_its_role_was_answered() {
        let book = load::default_book().unwrap();
        let asked = book.roles.place.unwrap();
        let places: Vec<_> = (book.symptoms[asked].answers.places())
            .filter_map(|answer| book.trouble_place(answer))
            .map(LookPlace::word)
            .collect();
        assert_eq!(places, ["tail", "load-zone", "carry-run", "head", "return-run", "take-up"]);
    }
}

//! What cannot be is refused, with the part and the remedy.

use straybelt::mechanics::{BeltState, Case, Fault, Line, March, Reason, just_after_screws};
use straybelt::trade::End;
use straybelt::trade::Strand;

use super::support::{bare, reference};

#[track_caller]
fn refused(line: &Line, faults: &[Fault], reason: Reason, part: &str) {
    let wrong = Case::new(line, faults).unwrap_err();
    assert_eq!((wrong.reason, wrong.part.as_str()), (reason, part), "{wrong}");
    assert!(wrong.to_string().ends_with('.'));
}

#[test]
fn impossible_conveyors() {
    let with = |change: &dyn Fn(&mut Line)| {
        let mut line = reference();
        change(&mut line);
        line
    };
    let beyond = with(&|line| line.carry.stations_m.push(30.0));
    refused(&beyond, &[], Reason::OffTheConveyor, "carry idler 20 from the tail");
    let crossed = with(&|line| line.ret.stations_m.swap(1, 2));
    refused(&crossed, &[], Reason::Overlap, "return roll 3 from the tail");
    let slack = with(&|line| line.ret.tension_n = -5.0);
    refused(&slack, &[], Reason::Slack, "strand of the return rolls");
    let wide = with(&|line| line.head.face_m = 0.8);
    refused(&wide, &[], Reason::WiderThanFace, "head pulley");
    let nan = with(&|line| line.belt.modulus_n_per_m = f64::NAN);
    refused(&nan, &[], Reason::NotANumber, "belt");
    let nowhere = with(&|line| line.carry.stations_m[3] = f64::NAN);
    refused(&nowhere, &[], Reason::NotANumber, "carry idler 4 from the tail");
    let huge = with(&|line| line.tail.radius_m = 13.0);
    refused(&huge, &[], Reason::OutOfBounds, "tail pulley");
    let millimetres = with(&|line| line.belt.width_m = 900.0);
    refused(&millimetres, &[], Reason::OutOfBounds, "belt");
    let hollow = with(&|line| line.tail.crown_m = -0.001);
    refused(&hollow, &[], Reason::OutOfBounds, "tail pulley");
    let mut short = bare(0.4, 500.0);
    short.load.to_m = 0.4;
    refused(&short, &[], Reason::Overlap, "tail pulley");
    let mut long = Line::middling(40_000.0);
    long.belt.width_m = 0.1;
    long.belt.modulus_n_per_m = 1e5;
    refused(&long, &[], Reason::TooLarge, "conveyor");
}

#[test]
fn impossible_faults_and_moves() {
    let line = reference();
    let skew = |station, skew_rad| Fault::Skewed { strand: Strand::Return, station, skew_rad };
    refused(&line, &[skew(40, 0.01)], Reason::NoSuchStation, "return roll 41 from the tail");
    refused(
        &line,
        &[skew(usize::MAX, 0.01)],
        Reason::NoSuchStation,
        &format!("return roll {} from the tail", usize::MAX),
    );
    refused(&line, &[skew(1, 1.0)], Reason::OutOfBounds, "return roll 2 from the tail");
    refused(&line, &[skew(1, f64::NAN)], Reason::NotANumber, "return roll 2 from the tail");
    let metre = Fault::Screws { left_m: 1.0, right_m: 0.0 };
    refused(&line, &[metre], Reason::OutOfBounds, "take-up screws");
    let slack = Fault::Screws { left_m: -0.2, right_m: -0.2 };
    refused(&line, &[slack], Reason::Slack, "take-up screws");
    assert_eq!(just_after_screws(&line, -0.2, -0.2).unwrap_err().reason, Reason::Slack);
    let beyond = Fault::BentFrame { from_m: 20.0, to_m: 30.0, left_m: 0.01 };
    refused(&line, &[beyond], Reason::OffTheConveyor, "frame from 20 to 30 m");
    let backward = Fault::LowFrame { from_m: 10.0, to_m: 5.0, left_low_rad: 0.01 };
    refused(&line, &[backward], Reason::OffTheConveyor, "frame from 10 to 5 m");
    let off_belt = Fault::CrookedSplice { at_m: 60.0, kink_rad: 0.01 };
    refused(&line, &[off_belt], Reason::OffTheConveyor, "splice at 60 m of belt");
    let grown = Fault::WornCrown { end: End::Head, share: 1.5 };
    refused(&line, &[grown], Reason::OutOfBounds, "head pulley");
    let mesh = Case::meshed(&line, &[], 0.0).unwrap_err();
    assert_eq!(mesh.reason, Reason::OutOfBounds);
    assert_eq!(Case::meshed(&line, &[], f64::NAN).unwrap_err().reason, Reason::OutOfBounds);
    assert_eq!(Case::meshed(&line, &[], 1e-9).unwrap_err().reason, Reason::TooLarge);
}

#[test]
fn a_belt_of_another_conveyor_is_refused() {
    let one = Case::new(&reference(), &[]).unwrap();
    let other = Case::new(&Line::middling(50.0), &[]).unwrap();
    let wrong = March::new(&other, BeltState::straight(&one, 0.0)).err().unwrap();
    assert_eq!(wrong.reason, Reason::OtherConveyor);
    let mut march = March::new(&one, BeltState::straight(&one, 0.0)).unwrap();
    assert_eq!(march.watch(0).unwrap_err().reason, Reason::OutOfBounds);
    assert_eq!(march.watch(100_000).unwrap_err().reason, Reason::OutOfBounds);
}

#[test]
fn extreme_faults_have_an_answer_or_say_that_they_have_none() {
    let line = reference();
    for skew_rad in [-0.2, 0.2] {
        for station in 0..line.ret.stations_m.len() {
            let all: Vec<Fault> = (0..=station)
                .map(|station| Fault::Skewed {
                    strand: Strand::Return,
                    station,
                    skew_rad: if station % 2 == 0 { skew_rad } else { -skew_rad },
                })
                .collect();
            match Case::new(&line, &all).unwrap().steady() {
                Ok(found) => assert!(found.tail_m.is_finite()),
                Err(wrong) => assert_eq!(wrong.reason, Reason::Unsettled),
            }
        }
    }
}

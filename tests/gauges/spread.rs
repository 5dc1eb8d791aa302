//! The split of a table, by means and by medians, and the gauge `spread`.

use proptest::prelude::*;
use straybelt::gauge::first_split::{Lead, split};
use straybelt::gauge::spread::GAUGE;
use straybelt::gauge::two_way::{Table, by_means, by_medians};
use straybelt::gauge::{Outcome, Plot, Verdict};

use super::support::{figure, readings, says, tells, text, work};

fn table(rows: &[&[f64]]) -> Table {
    let cells: Vec<(usize, usize, f64)> = rows
        .iter()
        .enumerate()
        .flat_map(|(row, cells)| {
            cells.iter().enumerate().map(move |(column, it)| (row, column, *it))
        })
        .collect();
    Table::of(rows.len(), rows[0].len(), &cells)
}

fn close(got: &[f64], wanted: &[f64], within: f64) {
    assert_eq!(got.len(), wanted.len());
    for (got, wanted) in got.iter().zip(wanted) {
        assert!((got - wanted).abs() <= within, "{got} is not {wanted}");
    }
}

/// Box, Hunter and Hunter's penicillin data. Published: grand mean, effects and sums of squares, as printed by
/// J. Faraway (mixed models, penicillin). The raw table is from memory, but reproduces every printed figure.
#[test]
fn means_of_the_penicillin_table() {
    let table = table(&[
        &[89.0, 88.0, 97.0, 94.0],
        &[84.0, 77.0, 92.0, 79.0],
        &[81.0, 87.0, 87.0, 85.0],
        &[87.0, 92.0, 89.0, 84.0],
        &[79.0, 81.0, 80.0, 88.0],
    ]);
    let split = by_means(&table).unwrap();
    close(&[split.overall], &[86.0], 1e-9);
    close(&split.rows, &[6.0, -3.0, -1.0, 2.0, -4.0], 1e-9);
    close(&split.columns, &[-2.0, -1.0, 3.0, 0.0], 1e-9);
    let sums = split.sums();
    close(&[sums.rows, sums.columns, sums.rest], &[264.0, 70.0, 226.0], 1e-9);
}

/// Tukey's "deaths" table, ABC of EDA p. 224, as the example of R's medpolish. Published: overall, row effects, one
/// residual, the sum of absolute residuals. Derived here: the columns and the other residuals.
#[test]
fn median_polish_of_the_deaths_table() {
    let split = by_medians(&table(&[
        &[14.0, 15.0, 14.0],
        &[7.0, 4.0, 7.0],
        &[8.0, 2.0, 10.0],
        &[15.0, 9.0, 10.0],
        &[0.0, 2.0, 0.0],
    ]));
    assert_eq!(split.overall, 8.0);
    assert_eq!(split.rows, [6.0, -1.0, 0.0, 2.0, -8.0]);
    assert_eq!(split.columns, [0.0, -1.0, 0.0]);
    assert_eq!(split.rest.cell(2, 1), Some(-5.0));
    assert_eq!(split.rest.read().map(|(_, _, it)| it.abs()).sum::<f64>(), 19.0);
    let rest: Vec<f64> = split.rest.read().map(|(_, _, it)| it).collect();
    assert_eq!(rest, [0.0, 2.0, 0.0, 0.0, -2.0, 0.0, 0.0, -5.0, 2.0, 5.0, 0.0, 0.0, 0.0, 3.0, 0.0]);
}

/// Tables with missing cells against numpy's least squares (`reference/two_way.py`).
#[test]
fn means_with_missing_cells_are_those_of_least_squares() {
    let mut cells = Vec::new();
    let mut size = (0, 0);
    let mut cases = 0;
    let mut split = None;
    for line in include_str!("reference/two_way.txt").lines() {
        let (word, rest) = line.split_once(' ').unwrap();
        let numbers: Vec<f64> = rest.split(' ').map(|it| it.parse().unwrap()).collect();
        match word {
            "case" => {
                size = (numbers[1] as usize, numbers[2] as usize);
                cells.clear();
            }
            "cell" => cells.push((numbers[0] as usize, numbers[1] as usize, numbers[2])),
            "overall" => {
                split = by_means(&Table::of(size.0, size.1, &cells));
                close(&[split.as_ref().unwrap().overall], &numbers, 1e-10);
            }
            "rows" => close(&split.as_ref().unwrap().rows, &numbers, 1e-10),
            "columns" => close(&split.as_ref().unwrap().columns, &numbers, 1e-10),
            "sums" => {
                let sums = split.as_ref().unwrap().sums();
                close(&[sums.rows, sums.columns, sums.rest], &numbers, 1e-7);
                cases += 1;
            }
            other => panic!("{other}"),
        }
    }
    assert_eq!(cases, 6);
}

#[test]
fn a_table_in_two_pieces_is_not_split_by_means() {
    let pieces = Table::of(
        4,
        4,
        &[(0, 0, 1.0), (0, 1, 2.0), (1, 0, 3.0), (2, 2, 4.0), (3, 3, 5.0), (3, 2, 1.0)],
    );
    assert!(!pieces.hangs_together());
    assert_eq!(by_means(&pieces), None);
}

/// Edge readings in millimetres, rows stations A.. and columns marks 1..; nothing where there is none.
fn gauge(rows: &[&[Option<i32>]]) -> Outcome {
    let cells: Vec<[String; 3]> = rows
        .iter()
        .enumerate()
        .flat_map(|(row, cells)| {
            cells.iter().enumerate().filter_map(move |(column, it)| {
                it.map(|it| {
                    let station = char::from(b'A' + u8::try_from(row).unwrap());
                    [station.to_string(), (column + 1).to_string(), format!("{it} mm")]
                })
            })
        })
        .collect();
    let lines: Vec<[&str; 3]> = cells.iter().map(|[a, b, c]| [a.as_str(), b, c]).collect();
    let lines: Vec<&[&str]> = lines.iter().map(|it| &it[..]).collect();
    work(&GAUGE, "edges", &[], &lines).unwrap()
}

fn full<const N: usize>(rows: &[[i32; N]]) -> Outcome {
    let rows: Vec<Vec<Option<i32>>> =
        rows.iter().map(|row| row.iter().map(|it| Some(*it)).collect()).collect();
    gauge(&rows.iter().map(|it| &it[..]).collect::<Vec<_>>())
}

#[test]
fn each_picture_tells_its_word() {
    let place = full(&[[0, 1, -1, 0], [2, 0, 1, 1], [30, 32, 29, 31], [3, 4, 2, 3], [0, -1, 0, 1]]);
    assert_eq!(tells(&place, "first-split"), Some("place"));
    assert_eq!(place.verdict, Verdict::Beyond);
    assert!((figure(&place, "worst-station").size.si() - 0.0305).abs() < 1e-3);

    let stretch =
        full(&[[0, 1, -1, 0], [25, 26, 27, 25], [30, 32, 29, 31], [28, 27, 26, 27], [0, -1, 0, 1]]);
    assert_eq!(tells(&stretch, "first-split"), Some("stretch"));

    let all_along = full(&[[30, 31, 29, 30], [28, 29, 30, 29], [31, 30, 30, 32], [29, 30, 31, 30]]);
    assert_eq!(tells(&all_along, "first-split"), Some("stretch"));

    let part = full(&[[0, -40, 1, 0], [2, -39, 0, 1], [1, -41, 0, 2], [0, -38, 1, -1]]);
    assert_eq!(tells(&part, "first-split"), Some("part"));
    assert!((figure(&part, "worst-mark").size.si() + 0.040).abs() < 2e-3);

    let neither =
        full(&[[20, -15, 9, -22], [-18, 25, -30, 12], [14, -20, 28, -9], [-25, 17, -12, 24]]);
    assert_eq!(tells(&neither, "first-split"), Some("neither"));

    let still = full(&[[1, -2, 0, 1], [2, 0, 1, -1], [0, 1, -1, 2]]);
    assert_eq!(tells(&still, "first-split"), None);
    assert_eq!(still.verdict, Verdict::NoLimit);

    let both = full(&[[0, -30, 0, 0], [30, 0, 30, 30], [0, -30, 0, 0], [0, -30, 0, 0]]);
    assert_eq!(tells(&both, "first-split"), Some("both"));
    assert_eq!(both.verdict, Verdict::Beyond);
    assert!(text(&both.says).contains("It is both"));
}

#[test]
fn missing_and_repeated_cells_are_said_and_drawn() {
    let outcome = gauge(&[
        &[Some(0), Some(1), None],
        &[Some(30), None, Some(31)],
        &[Some(1), Some(0), Some(-1)],
        &[Some(2), Some(0), Some(1)],
    ]);
    assert_eq!(tells(&outcome, "first-split"), Some("place"));
    assert!(says(&outcome.notes, "2 of 12 cells have no reading"));
    let Some(Plot::Heat(heat)) = &outcome.plot else { panic!("no heat map") };
    assert_eq!(heat.sizes[1][1], None);
    assert_eq!(heat.rows.1, ["A", "B", "C", "D"]);
}

/// Stations named by numbers stand in the order of the numbers, whatever the order of the rows.
#[test]
fn numbered_stations_are_neighbours_by_number() {
    let rows: Vec<[String; 3]> = [(40, 0), (10, 0), (30, 27), (25, 28), (20, 30), (5, 0)]
        .iter()
        .flat_map(|(at, off)| {
            (1..=4).map(move |mark| [at.to_string(), mark.to_string(), off.to_string()])
        })
        .collect();
    let lines: Vec<[&str; 3]> = rows.iter().map(|[a, b, c]| [a.as_str(), b, c]).collect();
    let lines: Vec<&[&str]> = lines.iter().map(|it| &it[..]).collect();
    let outcome = work(&GAUGE, "edges", &[], &lines).unwrap();
    assert_eq!(tells(&outcome, "first-split"), Some("stretch"));
}

#[test]
fn bad_tables_are_refused_with_row_and_key() {
    let amiss = |rows: &[&[&str]]| work(&GAUGE, "edges", &[], rows).unwrap_err();
    assert_eq!(amiss(&[]).key.map(straybelt::gauge::ReadingKey::as_str), Some("station"));
    assert_eq!(
        amiss(&[&["A", "1", "3"]]).key.map(straybelt::gauge::ReadingKey::as_str),
        Some("station")
    );
    let few_marks: Vec<&[&str]> = vec![&["A", "1", "3"], &["B", "1", "3"], &["C", "1", "3"]];
    assert_eq!(amiss(&few_marks).key.map(straybelt::gauge::ReadingKey::as_str), Some("mark"));
    let mut rows: Vec<&[&str]> = few_marks.clone();
    rows.push(&["A", "2", "7000"]);
    let far = amiss(&rows);
    assert_eq!(
        (far.row, far.key.map(straybelt::gauge::ReadingKey::as_str)),
        (Some(3), Some("offset"))
    );
    // Three pairs that share nothing.
    let apart: Vec<&[&str]> = vec![&["A", "1", "3"], &["B", "2", "3"], &["C", "3", "3"]];
    assert_eq!(amiss(&apart).key.map(straybelt::gauge::ReadingKey::as_str), None);
    let short = readings(&GAUGE, "edges", &[], &[&["A", "1", ""]]);
    let missing = (GAUGE.work)(&short, &straybelt::gauge::Setting::default()).unwrap_err();
    assert_eq!(
        (missing.row, missing.key.map(straybelt::gauge::ReadingKey::as_str)),
        (Some(0), Some("offset"))
    );
}

fn cells() -> impl Strategy<Value = Vec<(usize, usize, f64)>> {
    prop::collection::vec((0..6_usize, 0..5_usize, -0.1..0.1_f64), 30..80)
}

proptest! {
    /// Left and right swapped: effects change sign, shares and what leads do not.
    #[test]
    fn mirror(cells in cells()) {
        let mirrored: Vec<_> = cells.iter().map(|(row, column, it)| (*row, *column, -it)).collect();
        let one = split(&Table::of(6, 5, &cells), 0.003, 0.5);
        let other = split(&Table::of(6, 5, &mirrored), 0.003, 0.5);
        prop_assert_eq!(one.is_some(), other.is_some());
        if let (Some(one), Some(other)) = (one, other) {
            prop_assert_eq!(one.lead, other.lead);
            prop_assert_eq!(one.worst_station.1, -other.worst_station.1);
            for (a, b) in one.shares.iter().zip(&other.shares) {
                prop_assert!((a - b).abs() < 1e-9);
            }
        }
    }

    /// Everything twice as large: shares and what leads stay, effects double.
    #[test]
    fn scale(cells in cells(), by in 0.1..10.0_f64) {
        let larger: Vec<_> = cells.iter().map(|(row, column, it)| (*row, *column, it * by)).collect();
        let one = split(&Table::of(6, 5, &cells), 0.003, 0.5);
        let other = split(&Table::of(6, 5, &larger), 0.003 * by, 0.5);
        if let (Some(one), Some(other)) = (one, other) {
            for (a, b) in one.shares.iter().zip(&other.shares) {
                prop_assert!((a - b).abs() < 1e-9);
            }
            prop_assert!((one.means.overall * by - other.means.overall).abs() < 1e-9);
            prop_assert!((one.share_error - other.share_error).abs() < 1e-9);
        }
    }

    /// Stations and marks swapped: place and piece swap.
    #[test]
    fn turned_over(cells in cells()) {
        let turned: Vec<_> = cells.iter().map(|(row, column, it)| (*column, *row, *it)).collect();
        let one = by_means(&Table::of(6, 5, &cells));
        let other = by_means(&Table::of(5, 6, &turned));
        prop_assert_eq!(one.is_some(), other.is_some());
        if let (Some(one), Some(other)) = (one, other) {
            let (one, other) = (one.sums(), other.sums());
            prop_assert!((one.rows - other.columns).abs() < 1e-9);
            prop_assert!((one.rest - other.rest).abs() < 1e-9);
        }
    }

    /// More of the same place makes the place's share larger, never smaller.
    #[test]
    fn a_worse_place_has_a_larger_share(off in 0.02..0.2_f64, more in 0.001..0.1_f64) {
        let share = |off: f64| {
            let cells: Vec<_> = (0..5_usize)
                .flat_map(|row| (0..4_usize).map(move |column| {
                    let wave = 0.001 * f64::from(u32::try_from((row * 7 + column * 3) % 5).unwrap());
                    (row, column, if row == 2 { off } else { 0.0 } + wave)
                }))
                .collect();
            let spread = split(&Table::of(5, 4, &cells), 0.003, 0.5).unwrap();
            assert_eq!(spread.lead, Lead::Place);
            spread.shares[0]
        };
        prop_assert!(share(off + more) >= share(off));
    }

    #[test]
    fn never_a_panic(rows in prop::collection::vec(("[A-D]{0,1}", "[1-4]{0,1}", -1e9..1e9_f64), 0..40), error in 0.0..1e6_f64) {
        let error = format!("{error:.3} mm");
        let rows: Vec<[String; 3]> = rows.into_iter().map(|(a, b, c)| [a, b, format!("{c:.0}")]).collect();
        let lines: Vec<[&str; 3]> = rows.iter().map(|[a, b, c]| [a.as_str(), b, c]).collect();
        let lines: Vec<&[&str]> = lines.iter().map(|it| &it[..]).collect();
        if let Ok(outcome) = work(&GAUGE, "edges", &[("error", &error)], &lines) {
            prop_assert!(outcome.figures.iter().all(|figure| figure.size.si().is_finite()));
        }
    }
}

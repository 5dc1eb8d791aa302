//! What holds for every gauge: whatever is read, the answer is numbers or words, never a panic or a silent NaN.

use std::collections::BTreeSet;

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use straybelt::conveyor::quantity::Quantity;
use straybelt::gauge::{
    ALL, Gauge, Given, Keyed, Outcome, Plot, ReadingKey, Readings, Row, Setting, Takes, Wanted, Way,
};
use straybelt::trade::Side;

/// Sizes as they come from tired hands: sensible ones, none, tiny, huge.
fn size() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.5..2.0_f64,
        3 => 0.0..0.01_f64,
        2 => Just(0.0),
        2 => -5.0..30.0_f64,
        1 => Just(1e-9),
        1 => Just(1e9),
    ]
}

fn given(takes: Takes) -> BoxedStrategy<Given> {
    match takes {
        Takes::Positive(kind) => size()
            .prop_map(move |size| Given::Quantity(Quantity::of(kind, size.abs().max(1e-9))))
            .boxed(),
        Takes::NotNegative(kind) => {
            size().prop_map(move |size| Given::Quantity(Quantity::of(kind, size.abs()))).boxed()
        }
        Takes::Signed(kind) => (size(), any::<bool>())
            .prop_map(move |(size, minus)| {
                Given::Quantity(Quantity::of(kind, if minus { -size } else { size }))
            })
            .boxed(),
        Takes::Count => (1..1_000_000_u32).prop_map(Given::Count).boxed(),
        Takes::Side => {
            prop_oneof![Just(Side::Left), Just(Side::Right)].prop_map(Given::Side).boxed()
        }
        Takes::Choice(words) => {
            (0..words.len()).prop_map(move |at| Given::Choice(words[at].0)).boxed()
        }
        Takes::Label => "[a-c][0-9]".prop_map(Given::Label).boxed(),
    }
}

fn keyed<C>(wanted: &'static [Wanted]) -> BoxedStrategy<C>
where
    C: FromIterator<(ReadingKey, Given)> + std::fmt::Debug + 'static,
{
    wanted
        .iter()
        .map(|wanted| {
            let must = wanted.need == straybelt::gauge::Need::Must;
            (Just(wanted.key), given(wanted.takes), any::<bool>())
                .prop_map(move |(key, given, there)| (must || there).then_some((key, given)))
        })
        .collect::<Vec<_>>()
        .prop_map(|pairs| pairs.into_iter().flatten().collect())
        .boxed()
}

fn readings(way: &'static Way) -> BoxedStrategy<Readings> {
    let rows = match &way.rows {
        Some(rows) => {
            proptest::collection::vec(keyed(rows.columns), rows.least..rows.least + 12).boxed()
        }
        None => Just(Vec::new()).boxed(),
    };
    (keyed(way.wanted), rows, any::<bool>())
        .prop_map(move |(single, mut rows, ordered)| {
            // Half of the tables run one way along, as tables do.
            if ordered && let Some(column) = way.rows.as_ref().and_then(|rows| rows.columns.first())
            {
                let place = |row: &Row| match row.given(column.key) {
                    Some(Given::Quantity(size)) => size.si(),
                    _ => 0.0,
                };
                rows.sort_by(|a, b| place(a).total_cmp(&place(b)));
            }
            Readings { way: way.id, single, rows, seen: std::collections::BTreeMap::new() }
        })
        .boxed()
}

fn sound(gauge: &Gauge, outcome: &Outcome) {
    for figure in &outcome.figures {
        assert!(figure.size.si().is_finite(), "{}: {figure:?}", gauge.id);
        assert!(
            figure.error.is_none_or(|error| error.si().is_finite() && error.si() >= 0.0),
            "{}: {figure:?}",
            gauge.id
        );
    }
    let ids: BTreeSet<&str> = outcome.figures.iter().map(|figure| figure.id).collect();
    assert_eq!(ids.len(), outcome.figures.len(), "{}: a figure twice", gauge.id);
    for (id, word) in &outcome.tells {
        let tell = gauge.tell(id).expect("a tell of the gauge");
        assert!(word.is_none_or(|word| tell.words.contains(&word)), "{}: {id} {word:?}", gauge.id);
    }
    assert!(!outcome.says.0.is_empty(), "{} says nothing", gauge.id);
    if let Some(Plot::Points(plot)) = &outcome.plot {
        let lines = plot.lines.iter().flat_map(|(_, ends)| ends.iter().copied());
        let points = plot.points.iter().map(|point| (point.along, point.up));
        for (along, up) in points.chain(lines) {
            assert!(along.is_finite() && up.is_finite(), "{}: {plot:?}", gauge.id);
        }
    }
}

#[test]
fn whatever_is_read_no_gauge_panics_or_answers_no_number() {
    for gauge in ALL {
        for way in gauge.ways {
            let mut runner = TestRunner::new(Config {
                cases: 400,
                failure_persistence: None,
                ..Config::default()
            });
            runner
                .run(&readings(way), |readings| {
                    if let Ok(outcome) = (gauge.work)(&readings, &Setting::default()) {
                        sound(gauge, &outcome);
                    }
                    Ok(())
                })
                .unwrap_or_else(|why| panic!("{} {}: {why}", gauge.id, way.id));
        }
    }
}

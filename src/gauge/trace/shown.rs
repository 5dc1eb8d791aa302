//! The numbers and the picture of the gauge `trace`.

use super::{BELT_SILENT, Moves, told};
use crate::gauge::outcome::{Figure, Plot, Verdict};
use crate::gauge::plots;
use crate::gauge::readings::Kind;
use crate::gauge::rhythm::{Body, Weave};
use crate::gauge::words::Words;
use crate::gauge::{Basis, Limit};
use crate::say;

pub(super) fn figures(weave: &Weave, error_m: f64, limit: Limit, moves: Moves) -> Vec<Figure> {
    let mut figures = Vec::new();
    let mut push_share = |id, what: Words, share: f64, leads: bool| {
        let mut figure = Figure::of(
            id,
            what,
            Kind::Percent,
            share,
            Basis::Derived("least squares waves with a floating mean"),
        );
        figure.limit = Some(limit);
        figure.verdict = if leads { Verdict::Beyond } else { Verdict::Within };
        figures.push(figure);
    };
    for rhythm in &weave.rhythms {
        push_share(
            told::share_id(rhythm.body),
            say!("weave that keeps time with ", told::name(rhythm.body)),
            rhythm.share,
            moves == Moves::With(rhythm.body),
        );
    }
    push_share(
        "share-slow",
        say!("weave that is slower than a belt turn"),
        weave.slow_share,
        moves == Moves::Slow,
    );
    let readings = weave.spectrum.samples.max(1) as f64;
    for rhythm in &weave.rhythms {
        let (number, amplitude_m) = rhythm.largest();
        figures.push(
            Figure::of(
                told::amplitude_id(rhythm.body),
                told::amplitude_words(rhythm.body, number),
                Kind::Length,
                amplitude_m,
                Basis::Derived("least squares waves with a floating mean"),
            )
            // Independent errors of single readings, as the root of their mean square.
            .off_by(Kind::Length, error_m * (2.0 / readings).sqrt()),
        );
        if rhythm.share >= BELT_SILENT {
            figures.push(Figure::of(
                told::turn_id(rhythm.body),
                say!("one turn of ", told::name(rhythm.body), ", as found"),
                Kind::Time,
                1.0 / rhythm.turns_hz,
                Basis::Derived("the line in the record within 3 % of what speed and size say"),
            ));
        }
    }
    figures.push(
        Figure::of(
            "scatter",
            say!("movement of the edge, root mean square"),
            Kind::Length,
            weave.scatter_m,
            Basis::Derived("readings about their mean"),
        )
        // Independent errors of single readings, and what their own scatter adds.
        .off_by(
            Kind::Length,
            error_m / readings.sqrt() + error_m * error_m / (8.0 * weave.scatter_m.max(error_m)),
        ),
    );
    figures.push(Figure::of(
        "turns",
        say!("belt turns in the record"),
        Kind::Number,
        weave.turns,
        Basis::Derived("length of the record over the belt's turn"),
    ));
    figures
}

/// How far the edge jumps.
pub(super) fn jump(jump_m: f64, error_m: f64) -> Figure {
    let from = Basis::Derived("range within a belt turn, the middle one of all turns");
    let what = say!("jump of the edge, once per belt turn");
    Figure::of("jump", what, Kind::Length, jump_m, from)
        .off_by(Kind::Length, 2.0_f64.sqrt() * error_m)
}

/// The amplitude over waves per belt turn, up to a little past the fastest part that has a say.
pub(super) fn plot(weave: &Weave, moves: Moves) -> Plot {
    const BINS: usize = 60;
    let belt_hz = weave
        .rhythms
        .iter()
        .find(|it| it.body == Body::Belt)
        .map_or(1.0 / weave.every_s, |it| it.turns_hz);
    let most_hz = weave
        .rhythms
        .iter()
        .filter(|it| it.share > BELT_SILENT && it.body != Body::Belt)
        .map(|it| it.turns_hz * it.largest().0 as f64 * 1.25)
        .fold(6.0 * belt_hz, f64::max);
    let mut bins = vec![0.0_f64; BINS];
    for (place, explained) in weave.spectrum.explained.iter().enumerate() {
        let bin = place as f64 * weave.spectrum.step_hz / most_hz * BINS as f64;
        if let Some(most) = bins.get_mut(bin as usize) {
            *most = most.max(*explained);
        }
    }
    let of_record = bins.iter().enumerate().map(|(place, explained)| {
        let along = (place as f64 + 0.5) / BINS as f64 * most_hz / belt_hz;
        ((along, weave.spectrum.amplitude(*explained)), false)
    });
    let of_parts = weave.rhythms.iter().filter_map(|rhythm| {
        let (number, amplitude_m) = rhythm.largest();
        let hz = rhythm.turns_hz * number as f64;
        let leads = moves == Moves::With(rhythm.body);
        (hz <= most_hz)
            .then(|| ((hz / belt_hz, amplitude_m), leads, told::name(rhythm.body).to_owned()))
    });
    plots::in_order("waves per belt turn", ("amplitude of the weave", Kind::Length))
        .points(of_record)
        .labelled(of_parts)
        .plot()
}

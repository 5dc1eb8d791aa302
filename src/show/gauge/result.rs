//! What came of a measurement: the sentence, the picture, the numbers with what they rest on, what to do.

use super::{GaugeWording, plot};
use crate::gauge::{Figure, Gauge, Mark, Outcome, Verdict};
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;

/// Numbers and notes on the page about steering; the gauge itself shows all.
const TELLING: usize = 5;

/// What came of a measurement.
pub fn outcome(screen: Screen, told: GaugeWording, gauge: &Gauge, outcome: &Outcome) -> String {
    let mut page = Page::new(screen);
    page.title(&format!("Result: {}", gauge.id));
    body(&mut page, told, outcome, usize::MAX);
    page.finish()
}

/// What steering with a take-up screw does: the answer to "why not just turn it?".
pub fn price_of_steering(screen: Screen, told: GaugeWording, worked: &Outcome) -> String {
    let mut page = Page::new(screen);
    page.title("Why not just turn the screw?");
    page.para("The belt comes back, so the screw looks like a cure. What made the belt run off is still there. The screw has its cost:");
    page.blank();
    body(&mut page, told, worked, TELLING);
    page.blank();
    page.para(
        "The gauge side-load shows all the numbers. It works them out for your own readings too.",
    );
    page.finish()
}

fn body(page: &mut Page, told: GaugeWording, outcome: &Outcome, most: usize) {
    let ink = match outcome.verdict {
        Verdict::Within => Ink::Good,
        Verdict::Beyond | Verdict::TooClose => Ink::Warn,
        Verdict::NoLimit => Ink::Strong,
    };
    page.para_in(ink, &told.words(&outcome.says));
    if let Some(plot) = &outcome.plot {
        page.blank();
        plot::draw(page, told, plot);
    }
    if !outcome.work.is_empty() {
        page.blank();
        page.head("To do, in this order; hands on only when locked out");
        for (number, line) in outcome.work.iter().enumerate() {
            page.item(&format!(" {}. ", number + 1), &told.words(line));
        }
    }
    let mut rests = Rests::default();
    if !outcome.figures.is_empty() {
        page.blank();
        page.head("Numbers");
        for figure in outcome.figures.iter().take(most) {
            one(page, told, figure, &mut rests);
        }
    }
    if !outcome.notes.is_empty() {
        page.blank();
        page.head("Mind");
        for note in outcome.notes.iter().take(most) {
            page.item(" - ", &told.words(note));
        }
    }
    rests.list(page, told);
}

fn one(page: &mut Page, told: GaugeWording, figure: &Figure, rests: &mut Rests) {
    let size = figure.size.words(told.units);
    let mut line = format!("{}: {size}", told.words(&figure.what));
    if let Some(error) = figure.error.filter(|error| error.si() > 0.0) {
        line.push_str(&format!(", give or take {}", error.words(told.units)));
    }
    line.push_str(&format!(" [{}]", rests.number(figure.mark)));
    page.item(" - ", &line);
    if let Some(limit) = figure.limit {
        let stands = match figure.verdict {
            Verdict::Within => "within the limit",
            Verdict::Beyond => "BEYOND the limit",
            Verdict::TooClose => "too close to call against the limit",
            Verdict::NoLimit => "the limit",
        };
        let weak = match (limit.is_weak(), limit.damaged) {
            (true, true) => "; printed damaged, so it calls for no work alone",
            (true, false) => "; a weak source, so it calls for no work alone",
            (false, _) => "",
        };
        let line = format!(
            "{stands} of {}: {}{weak} [{}]",
            limit.size.words(told.units),
            limit.what,
            rests.number(limit.mark)
        );
        page.item("   ", &line);
    }
}

/// What numbers rest on, each once, in the order of first use.
#[derive(Default)]
struct Rests(Vec<Mark>);

impl Rests {
    /// The number under which a mark is listed.
    fn number(&mut self, mark: Mark) -> usize {
        match self.0.iter().position(|known| *known == mark) {
            Some(place) => place + 1,
            None => {
                self.0.push(mark);
                self.0.len()
            }
        }
    }

    fn list(&self, page: &mut Page, told: GaugeWording) {
        if self.0.is_empty() {
            return;
        }
        page.blank();
        page.head("What the numbers rest on");
        for (number, mark) in self.0.iter().enumerate() {
            let lead = format!("[{}] ", number + 1);
            page.item_in(Ink::Faint, &lead, &told.mark(*mark));
        }
    }
}

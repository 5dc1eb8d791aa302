//! Which turning part a weave keeps time with: belt, pulleys, rolls, or something slower than all of them.
//!
//! A record is cut into windows of some belt turns, each with a mean, phases and frequencies of its own, because belt
//! speed changes with the load and no line stays sharp for long. A line counts for a part when it lies within 3 % of
//! where speed and diameter put it; two lines closer than one wave per window cannot be told apart.

use super::periodogram::{Comb, Look, Spectrum, Window, fit, highest_hz};

/// A part that turns with the belt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Body {
    /// The belt itself.
    Belt,
    /// The tail pulley.
    TailPulley,
    /// The head pulley.
    HeadPulley,
    /// The carry rolls.
    CarryRoll,
    /// The return rolls.
    ReturnRoll,
}

/// How often a part turns, as far as speed and size tell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turning {
    /// The part.
    pub body: Body,
    /// Turns per second.
    pub turns_hz: f64,
}

/// What a part's turning explains.
#[derive(Debug, Clone, PartialEq)]
pub struct Rhythm {
    /// The part.
    pub body: Body,
    /// Turns per second as found in the record, in the mean; as expected if it has no share worth the name.
    pub turns_hz: f64,
    /// Share of the sum of squares about the mean that its waves explain, beyond what the best of as many waves explains of chance.
    pub share: f64,
    /// The amplitude of each wave, m: one, two, three ... waves per turn.
    pub amplitudes_m: Vec<f64>,
    /// The number of waves per belt turn whose line it cannot be told apart from, if any, and the length of a record
    /// that would tell, s.
    pub like_belt: Option<(usize, f64)>,
    /// A part listed before it that it cannot be told apart from.
    pub like: Option<Body>,
}

/// What the first two waves of a turn hold of all of them, squared, when the movement is a jump and no sway.
const SWAY: f64 = 0.7;

impl Rhythm {
    /// Whether the edge jumps and comes back: a jump has many waves per turn, a sway one or two.
    pub fn jumps(&self) -> bool {
        let squares = |most: usize| -> f64 {
            let waves = self.amplitudes_m.iter().take(most);
            waves.map(|size| size * size).sum()
        };
        squares(2) < SWAY * squares(usize::MAX)
    }
}

impl Rhythm {
    /// The largest of its waves: how many per turn, and amplitude in m.
    pub fn largest(&self) -> (usize, f64) {
        self.amplitudes_m
            .iter()
            .enumerate()
            .map(|(place, size)| (place + 1, *size))
            .fold((1, 0.0), |best, it| if it.1 > best.1 { it } else { best })
    }
}

/// A part that the record cannot show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOut {
    /// The part.
    pub body: Body,
    /// How close together readings must be to show it, s.
    pub needs_every_s: f64,
}

/// How close together readings must be to show a part that turns so often, s.
pub fn needs_every_s(turns_hz: f64) -> f64 {
    0.4 / turns_hz
}

/// A record taken apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Weave {
    /// Belt turns that it spans.
    pub turns: f64,
    /// The middle of the times from one reading to the next, s.
    pub every_s: f64,
    /// The root of the mean square about the mean, m.
    pub scatter_m: f64,
    /// Share of what is slower than the belt's turn.
    pub slow_share: f64,
    /// What each part explains, the belt first.
    pub rhythms: Vec<Rhythm>,
    /// Parts that turn too fast for these readings.
    pub left_out: Vec<LeftOut>,
    /// The quick look over all frequencies.
    pub spectrum: Spectrum,
}

const TOLERANCE: f64 = 0.03;
const BELT_WAVES: usize = 12;
const OTHER_WAVES: usize = 3;
/// A smaller share is no find; slower movement of no more is left in.
const SLIGHT: f64 = 0.02;
/// All looks together take no more points than this.
const MOST_POINTS: usize = 1 << 25;

/// How many belt turns a window usually has.
pub const WINDOW_TURNS: f64 = 6.0;

/// Takes a record apart: times in s, never going back, and offsets in m; in windows of at least so many belt turns,
/// if it is that long. The belt must be among the parts and have turned at least once. Nothing if that is not so, or
/// there is no movement at all.
pub fn take_apart(
    times_s: &[f64],
    offsets_m: &[f64],
    turnings: &[Turning],
    window_turns: f64,
) -> Option<Weave> {
    let belt = turnings.iter().find(|it| it.body == Body::Belt)?;
    let count = times_s.len().min(offsets_m.len());
    let span_s = times_s.last()? - times_s.first()?;
    let turns = span_s * belt.turns_hz;
    if turns < 1.0 || count < 8 {
        return None;
    }
    let mean = offsets_m.iter().sum::<f64>() / count as f64;
    let total = squares(offsets_m, mean);
    if total <= 0.0 || !total.is_finite() {
        return None;
    }
    let slow = moving_mean(times_s, offsets_m, 1.0 / belt.turns_hz);
    // A mean of so many readings keeps this much of their chance scatter.
    let by_chance = turns / count as f64;
    let slow_share = (squares(&slow, mean) / total - by_chance).max(0.0);
    let quick: Vec<f64> = if slow_share > SLIGHT {
        offsets_m.iter().zip(&slow).map(|(it, slow)| it - slow).collect()
    } else {
        offsets_m.iter().map(|it| it - mean).collect()
    };
    let every_s = middle_step(times_s)?;
    let window_s = span_s / (turns / window_turns).floor().max(1.0);
    let windows = windows(times_s, &quick, window_s);
    let nyquist_hz = 0.5 / every_s;
    let wanted_hz =
        turnings.iter().map(|it| it.turns_hz * waves_wanted(it.body) as f64).fold(0.0, f64::max);
    let most_hz = (wanted_hz * (1.0 + 2.0 * TOLERANCE)).min(nyquist_hz).min(highest_hz(window_s));
    let mut weave = Weave {
        turns,
        every_s,
        scatter_m: (total / count as f64).sqrt(),
        slow_share,
        rhythms: Vec::new(),
        left_out: Vec::new(),
        spectrum: Spectrum::default(),
    };
    let mut sought = seek(turnings, most_hz, count / windows.len().max(1), &mut weave.left_out);
    let look = Look::new(window_s, most_hz);
    // A record that is full of gaps has far more windows than readings need: some of them are enough.
    let every = (windows.len() * look.points() / MOST_POINTS).max(1);
    let chosen: Vec<Window> = windows.iter().copied().step_by(every).collect();
    let mut seen = 0.0;
    for pair in chosen.chunks(2) {
        let two = [pair.first(), pair.get(1)].map(|it| it.copied().unwrap_or((&[], &[])));
        for (window, own) in two.iter().zip(look.at(two)) {
            weave.spectrum.add(&own);
            seen += squares(window.1, 0.0);
            for part in &mut sought {
                part.measure(*window, &own, window_s);
            }
        }
    }
    // What was slow is no longer in the windows.
    let quick_share = squares(&quick, 0.0) / total;
    weave.rhythms =
        sought.iter().map(|part| part.rhythm(quick_share / seen.max(f64::MIN_POSITIVE))).collect();
    mark_alike(&mut weave.rhythms, window_s);
    Some(weave)
}

fn squares(list: &[f64], about: f64) -> f64 {
    list.iter().map(|it| (it - about).powi(2)).sum()
}

/// A part that is looked for, window by window.
struct Sought {
    body: Body,
    expected_hz: f64,
    waves: usize,
    /// What its waves explain, and what they would explain of chance.
    explained: f64,
    by_chance: f64,
    /// Frequencies found, each times what it explains.
    weighed_hz: f64,
    /// Squares of the amplitudes, each times its samples.
    squares: Vec<f64>,
    samples: usize,
}

/// The parts in their order, each with as many waves as readings allow; those that turn too fast go to `left_out`.
fn seek(
    turnings: &[Turning],
    most_hz: f64,
    per_window: usize,
    left_out: &mut Vec<LeftOut>,
) -> Vec<Sought> {
    let slowest_other_hz = turnings
        .iter()
        .filter(|it| it.body != Body::Belt)
        .map(|it| it.turns_hz)
        .fold(f64::INFINITY, f64::min);
    let mut ordered: Vec<&Turning> = turnings.iter().collect();
    ordered.sort_by_key(|it| it.body);
    let mut sought = Vec::new();
    for turning in ordered {
        let reach_hz =
            if turning.body == Body::Belt { most_hz.min(0.8 * slowest_other_hz) } else { most_hz };
        let fits = (reach_hz / (turning.turns_hz * (1.0 + TOLERANCE))).floor() as usize;
        let waves = waves_wanted(turning.body).min(fits).min(per_window / 10);
        if waves == 0 {
            left_out.push(LeftOut {
                body: turning.body,
                needs_every_s: needs_every_s(turning.turns_hz),
            });
            continue;
        }
        sought.push(Sought {
            body: turning.body,
            expected_hz: turning.turns_hz,
            waves,
            explained: 0.0,
            by_chance: 0.0,
            weighed_hz: 0.0,
            squares: vec![0.0; waves],
            samples: 0,
        });
    }
    sought
}

impl Sought {
    fn measure(&mut self, (times, values): Window, look: &Spectrum, window_s: f64) {
        let found_hz = search(look, self.expected_hz, self.waves);
        let comb = [Comb { base_hz: found_hz, count: self.waves }];
        let Some(fit) = fit(times, values, &comb) else {
            return;
        };
        let (waves, all) = (self.waves as f64, times.len() as f64);
        // Of chance alone the best of so many tries explains about this many times the variance.
        let tries = (2.0 * TOLERANCE * self.expected_hz * waves * window_s).max(1.0).ln();
        let best_of = 2.0 * (waves + (2.0 * waves * tries).sqrt() + tries);
        let variance = (fit.total - fit.explained) / (all - 2.0 * waves - 1.0).max(1.0);
        self.by_chance += variance * best_of;
        self.explained += fit.explained;
        self.weighed_hz += found_hz * fit.explained;
        self.samples += times.len();
        for (sum, wave) in self.squares.iter_mut().zip(&fit.waves) {
            *sum += wave.amplitude().powi(2) * all;
        }
    }

    /// What came of it; `per` turns what is explained into a share.
    fn rhythm(&self, per: f64) -> Rhythm {
        let share = ((self.explained - self.by_chance) * per).clamp(0.0, 1.0);
        Rhythm {
            body: self.body,
            turns_hz: if share < SLIGHT {
                self.expected_hz
            } else {
                self.weighed_hz / self.explained
            },
            share,
            amplitudes_m: self
                .squares
                .iter()
                .map(|sum| (sum / self.samples.max(1) as f64).sqrt())
                .collect(),
            like_belt: None,
            like: None,
        }
    }
}

fn waves_wanted(body: Body) -> usize {
    if body == Body::Belt { BELT_WAVES } else { OTHER_WAVES }
}

/// The mean of all readings within half a turn before and after each. Near the ends, the nearest full one.
fn moving_mean(times_s: &[f64], values: &[f64], turn_s: f64) -> Vec<f64> {
    let (Some(&first), Some(&last)) = (times_s.first(), times_s.last()) else {
        return Vec::new();
    };
    let mut sums = Vec::with_capacity(values.len() + 1);
    let mut sum = 0.0;
    sums.push(sum);
    for value in values {
        sum += value;
        sums.push(sum);
    }
    let get = |place: usize| sums.get(place).copied().unwrap_or(sum);
    let (mut from, mut to) = (0, 0);
    times_s
        .iter()
        .map(|time| {
            let middle =
                time.clamp(first + turn_s / 2.0, (last - turn_s / 2.0).max(first + turn_s / 2.0));
            while times_s.get(from).is_some_and(|it| *it < middle - turn_s / 2.0) {
                from += 1;
            }
            while times_s.get(to).is_some_and(|it| *it < middle + turn_s / 2.0) {
                to += 1;
            }
            (get(to) - get(from)) / (to - from).max(1) as f64
        })
        .collect()
}

/// The median time from one reading to the next.
fn middle_step(times_s: &[f64]) -> Option<f64> {
    let mut steps: Vec<f64> = times_s
        .iter()
        .zip(times_s.iter().skip(1))
        .map(|(a, b)| b - a)
        .filter(|step| *step > 0.0)
        .collect();
    let middle = steps.len() / 2;
    if steps.is_empty() {
        return None;
    }
    let (_, step, _) = steps.select_nth_unstable_by(middle, f64::total_cmp);
    Some(*step)
}

fn windows<'a>(times_s: &'a [f64], values: &'a [f64], window_s: f64) -> Vec<Window<'a>> {
    let (Some(&first), Some(&last)) = (times_s.first(), times_s.last()) else {
        return Vec::new();
    };
    let number = ((last - first) / window_s).round().max(1.0) as usize;
    let mut cut = Vec::with_capacity(number);
    let (mut times, mut values) = (times_s, values);
    for window in 1..=number {
        let end = first + window as f64 * window_s;
        let here =
            if window == number { times.len() } else { times.partition_point(|time| *time < end) };
        let (these, left) = times.split_at(here.min(times.len()));
        let (own, left_values) = values.split_at(here.min(values.len()));
        // A window that falls into a gap tells nothing.
        if these.len() >= 8 {
            cut.push((these, own));
        }
        (times, values) = (left, left_values);
    }
    cut
}

/// Where, near the expected frequency, a comb of waves explains most.
fn search(spectrum: &Spectrum, expected_hz: f64, waves: usize) -> f64 {
    let step_hz = spectrum.step_hz / (2 * waves) as f64;
    let steps = (TOLERANCE * expected_hz / step_hz).ceil().min(1e6) as i32;
    let score = |step: i32| -> f64 {
        let base = expected_hz + f64::from(step) * step_hz;
        (1..=waves).map(|wave| spectrum.at(wave as f64 * base)).sum()
    };
    let mut best = (0, score(0));
    for step in -steps..=steps {
        let it = score(step);
        if it > best.1 {
            best = (step, it);
        }
    }
    let (before, after) = (score(best.0 - 1), score(best.0 + 1));
    let bend = before - 2.0 * best.1 + after;
    let shift = if bend < 0.0 { ((before - after) / (2.0 * bend)).clamp(-0.5, 0.5) } else { 0.0 };
    expected_hz + (f64::from(best.0) + shift) * step_hz
}

/// Notes which lines are too close together to be told apart in windows of that length.
fn mark_alike(rhythms: &mut [Rhythm], window_s: f64) {
    let apart_hz = 1.0 / window_s;
    for place in 0..rhythms.len() {
        let (before, rest) = rhythms.split_at_mut(place);
        let Some(here) = rest.first_mut() else {
            continue;
        };
        for other in before.iter() {
            let away_hz = (here.turns_hz - other.turns_hz).abs();
            if other.body != Body::Belt && away_hz < apart_hz {
                here.like = here.like.or(Some(other.body));
            }
            if other.body == Body::Belt {
                let number = (here.turns_hz / other.turns_hz).round();
                let away_hz = (here.turns_hz - number * other.turns_hz).abs();
                if away_hz < apart_hz {
                    here.like_belt = Some((number as usize, 1.5 / away_hz.max(1e-9)));
                }
            }
        }
    }
}

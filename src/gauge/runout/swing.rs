//! The wave of one turn in the readings of a dial.

/// What a dial does once per turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// What goes with the cosine of the angle turned.
    pub cosine_m: f64,
    /// What goes with the sine.
    pub sine_m: f64,
    /// How much the error of one reading comes to in its size.
    pub error: f64,
}

impl Swing {
    /// How far the shell runs off its centre.
    pub fn size_m(&self) -> f64 {
        self.cosine_m.hypot(self.sine_m)
    }
}

/// The wave of one turn with a mean, by least squares. Nothing with fewer than four readings, or with all of them where
/// such a wave cannot be told from its mean.
pub fn swing(turned_rad: &[f64], reads_m: &[f64]) -> Option<Swing> {
    let count = turned_rad.len().min(reads_m.len());
    if count < 4 {
        return None;
    }
    let number = count as f64;
    let waves: Vec<(f64, f64)> =
        turned_rad.iter().take(count).map(|it| (it.cos(), it.sin())).collect();
    let mean = |of: &dyn Fn(&(f64, f64)) -> f64| waves.iter().map(of).sum::<f64>() / number;
    let (cosines, sines) = (mean(&|it| it.0), mean(&|it| it.1));
    let read = reads_m.iter().take(count).sum::<f64>() / number;
    let (mut cc, mut cs, mut ss, mut cr, mut sr) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for ((cosine, sine), reading) in waves.iter().zip(reads_m) {
        let (c, s, r) = (cosine - cosines, sine - sines, reading - read);
        cc += c * c;
        cs += c * s;
        ss += s * s;
        cr += c * r;
        sr += s * r;
    }
    let whole = cc * ss - cs * cs;
    let (cosine_m, sine_m) = ((ss * cr - cs * sr) / whole, (cc * sr - cs * cr) / whole);
    let size_m = cosine_m.hypot(sine_m);
    // Along the wave's own direction; where it is nothing, the mean of both.
    let (c, s) = if size_m > 0.0 {
        (cosine_m / size_m, sine_m / size_m)
    } else {
        (0.5_f64.sqrt(), 0.5_f64.sqrt())
    };
    let error = ((ss * c * c - 2.0 * cs * c * s + cc * s * s) / whole).max(0.0).sqrt();
    let swing = Swing { cosine_m, sine_m, error };
    (cosine_m.is_finite() && sine_m.is_finite() && error.is_finite()).then_some(swing)
}

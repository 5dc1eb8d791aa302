//! Chance, settled by a seed: the same seed and the same question give the same number, whatever else was asked.

use fastrand::Rng;

/// Numbers for one purpose of one drill.
pub fn rng(seed: u64, purpose: &str) -> Rng {
    // FNV-1a over the words of the purpose.
    let mixed = purpose.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    let mut rng = Rng::with_seed(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ mixed);
    // The first number of neighbouring seeds is too much alike.
    rng.u64(..);
    rng
}

/// A normally distributed number with mean 0 and standard deviation 1 (Box and Muller's way).
pub fn normal(rng: &mut Rng) -> f64 {
    let radius = (-2.0 * (1.0 - rng.f64()).ln()).sqrt();
    radius * (std::f64::consts::TAU * rng.f64()).cos()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_purpose_has_its_own_numbers_and_keeps_them() {
        let first = |seed, purpose| rng(seed, purpose).f64();
        assert_eq!(first(1, "a").to_bits(), first(1, "a").to_bits());
        assert_ne!(first(1, "a").to_bits(), first(1, "b").to_bits());
        assert_ne!(first(1, "a").to_bits(), first(2, "a").to_bits());
    }

    #[test]
    fn normal_numbers_have_their_mean_and_spread() {
        let mut rng = rng(3, "normal");
        let drawn: Vec<f64> = (0..20_000).map(|_| normal(&mut rng)).collect();
        let mean = drawn.iter().sum::<f64>() / 20_000.0;
        let square = drawn.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 20_000.0;
        // Four standard errors of each.
        assert!(mean.abs() < 4.0 / 20_000_f64.sqrt(), "{mean}");
        assert!((square - 1.0).abs() < 4.0 * (2.0 / 20_000_f64).sqrt(), "{square}");
    }
}

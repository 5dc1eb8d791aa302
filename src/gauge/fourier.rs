//! The fast Fourier transform of a table whose size is a power of two. It stands here because one size and one
//! direction are all that is needed, and a crate for it brings several others along.

/// The turns that [`transform`] needs for a table of that size: `exp(-2 pi i k / size)` for the first half.
pub(super) fn twiddles(size: usize) -> Vec<(f64, f64)> {
    (0..size / 2)
        .map(|place| {
            let (sine, cosine) = (std::f64::consts::TAU * place as f64 / size as f64).sin_cos();
            (cosine, -sine)
        })
        .collect()
}

/// Transforms in place, without scaling. The size must be a power of two and the turns be of that size.
pub(super) fn transform(table: &mut [(f64, f64)], twiddles: &[(f64, f64)]) {
    let size = table.len();
    if !size.is_power_of_two() || size < 2 {
        return;
    }
    let shift = usize::BITS - size.trailing_zeros();
    for place in 0..size {
        let turned = place.reverse_bits() >> shift;
        if place < turned {
            table.swap(place, turned);
        }
    }
    let mut half = 1;
    while half < size {
        let stride = size / (2 * half);
        for block in table.chunks_exact_mut(2 * half) {
            let (low, high) = block.split_at_mut(half);
            for ((low, high), turn) in low.iter_mut().zip(high).zip(twiddles.iter().step_by(stride))
            {
                let odd = (high.0 * turn.0 - high.1 * turn.1, high.0 * turn.1 + high.1 * turn.0);
                *high = (low.0 - odd.0, low.1 - odd.1);
                *low = (low.0 + odd.0, low.1 + odd.1);
            }
        }
        half *= 2;
    }
}

"""Random records, evenly sampled or not, and their Lomb-Scargle power; writes periodogram.txt beside itself.

power:  scipy.signal.lombscargle(times, values, 2 pi f, normalize=False, floating_mean=True), of which a sine of
        amplitude A in N samples has about A^2 N / 4, so half the sum of squares that the fitted sine explains.
share:  the same with normalize=True: the share of the sum of squares about the mean that it explains.
joint:  numpy least squares of a mean with cosine and sine of every listed frequency at once.
Run with scipy 1.17 and numpy 2.4: python periodogram.py
"""

from pathlib import Path

import numpy as np
from scipy.signal import lombscargle

random = np.random.default_rng(20250612)
lines = []
for case, (count, even) in enumerate([(40, True), (60, False), (101, False), (64, True), (90, False)]):
    times = np.arange(count) * 0.5 if even else np.sort(random.uniform(0, count * 0.5, count))
    times = times.round(4)
    values = (
        random.normal(0, 10)
        + 8 * np.cos(2 * np.pi * 0.11 * times - random.uniform(0, 6))
        + 3 * np.cos(2 * np.pi * 0.37 * times - random.uniform(0, 6))
        + random.normal(0, 1, count)
    ).round(3)
    frequencies = np.array([0.03, 0.075, 0.11, 0.1834, 0.25, 0.37, 0.61])
    power = lombscargle(times, values, 2 * np.pi * frequencies, normalize=False, floating_mean=True)
    share = lombscargle(times, values, 2 * np.pi * frequencies, normalize=True, floating_mean=True)
    lines.append(f"case {case}")
    lines += [f"sample {time} {value}" for time, value in zip(times, values)]
    lines += [f"power {f} {p:.15g} {s:.15g}" for f, p, s in zip(frequencies, power, share)]
    together = [0.11, 0.22, 0.37]
    design = np.column_stack(
        [np.ones(count)]
        + [wave(2 * np.pi * f * times) for f in together for wave in (np.cos, np.sin)]
    )
    fitted, *_ = np.linalg.lstsq(design, values, rcond=None)
    about_mean = ((values - values.mean()) ** 2).sum()
    explained = about_mean - ((values - design @ fitted) ** 2).sum()
    amplitudes = np.hypot(fitted[1::2], fitted[2::2])
    lines.append("joint " + " ".join(f"{f} {a:.15g}" for f, a in zip(together, amplitudes)))
    lines.append(f"explained {explained:.15g}")
Path(__file__).with_name("periodogram.txt").write_text("\n".join(lines) + "\n")

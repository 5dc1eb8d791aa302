"""Calibration, Brier score and intervals of shares by scikit-learn and scipy.

Writes calibration.json beside this file; tests/rules/proof/score.rs reads it. No cargo test needs Python.

    pip install -r requirements.txt
    python calibration.py
"""

import json
import random
from pathlib import Path

import numpy as np
from scipy.stats import binomtest
from sklearn.calibration import calibration_curve
from sklearn.metrics import brier_score_loss

BANDS = 10


def murphy(stated, came):
    """The split of the Brier score by bands, from the definition (Murphy 1973), with numpy alone."""
    edges = np.linspace(0.0, 1.0, BANDS + 1)
    band = np.searchsorted(edges[1:-1], stated)
    mean = came.mean()
    reliability = resolution = 0.0
    for number in range(BANDS):
        inside = band == number
        if inside.any():
            share = inside.mean()
            reliability += share * (stated[inside].mean() - came[inside].mean()) ** 2
            resolution += share * (came[inside].mean() - mean) ** 2
    return reliability, resolution, mean * (1.0 - mean)


def case(name, stated, came):
    stated, came = np.array(stated), np.array(came)
    true, said = calibration_curve(came, stated, n_bins=BANDS, strategy="uniform")
    reliability, resolution, uncertainty = murphy(stated, came.astype(float))
    return {
        "name": name,
        "stated": stated.tolist(),
        "came_true": [bool(c) for c in came],
        "brier_score_loss": float(brier_score_loss(came, stated)),
        "curve_stated": said.tolist(),
        "curve_came_true": true.tolist(),
        "reliability": float(reliability),
        "resolution": float(resolution),
        "uncertainty": float(uncertainty),
    }


def drawn(name, seed, number, true_chance):
    rng = random.Random(seed)
    stated = [round(rng.random(), 6) for _ in range(number)]
    came = [int(rng.random() < true_chance(p)) for p in stated]
    return case(name, stated, came)


def main():
    edges = [band / BANDS for band in range(BANDS + 1)]
    cases = [
        case(
            "three stated chances",
            [0.9] * 10 + [0.6] * 10 + [0.2] * 10,
            [1] * 7 + [0] * 3 + [1] * 6 + [0] * 4 + [1] * 2 + [0] * 8,
        ),
        case("on the edges", edges * 2, [1, 0] * len(edges)),
        drawn("keeps its word", 1, 400, lambda p: p),
        drawn("too sure of itself", 2, 400, lambda p: 0.5 + 0.4 * (p - 0.5)),
        drawn("few", 3, 7, lambda p: p),
    ]
    shares = []
    for hits, of in [(0, 1), (1, 1), (0, 10), (7, 10), (10, 10), (41, 42), (150, 300), (299, 300), (3, 1000)]:
        between = binomtest(hits, of).proportion_ci(confidence_level=0.95, method="wilson")
        shares.append({"hits": hits, "of": of, "low": float(between.low), "high": float(between.high)})
    out = Path(__file__).with_name("calibration.json")
    out.write_text(json.dumps({"calibration": cases, "wilson": shares}, indent=1) + "\n")


if __name__ == "__main__":
    main()

"""Credible intervals of shares by scipy: quantiles of the posterior with Jeffreys' prior.

Writes intervals.json beside this file; tests/rules/authoring/learn.rs reads it. No cargo test needs Python.

    pip install -r requirements.txt
    python intervals.py
"""

import json
from pathlib import Path

from scipy.stats import beta

OF = [0, 1, 2, 3, 7, 8, 12, 20, 50, 100, 365, 1000, 20000]


def interval(hits, of):
    a, b = hits + 0.5, of - hits + 0.5
    return [float(beta.ppf(0.025, a, b)), float(beta.ppf(0.975, a, b))]


def main():
    shares = []
    for of in OF:
        for hits in sorted({0, 1, of // 7, of // 3, of // 2, of - 1, of}):
            if 0 <= hits <= of:
                shares.append({"hits": hits, "of": of, "between": interval(hits, of)})
    path = Path(__file__).with_name("intervals.json")
    path.write_text(json.dumps(shares, indent=1) + "\n")


if __name__ == "__main__":
    main()

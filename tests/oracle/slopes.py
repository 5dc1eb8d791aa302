"""Robust slopes with their ranges by scipy.stats.theilslopes, for the ratchet watch of a logbook.

Writes slopes.json beside this file; the tests in src/logbook/slope.rs read it. No cargo test needs Python.

    pip install -r requirements.txt
    python slopes.py
"""

import json
from pathlib import Path

import numpy as np
import scipy
from scipy.stats import theilslopes


def cases():
    rng = np.random.default_rng(18)
    for count in [3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 31, 60]:
        days = np.cumsum(rng.integers(5, 60, count)).astype(float)
        yield f"{count} readings", days, np.round(200 + 0.08 * days + rng.normal(0, 2, count), 1)
    for count in [6, 9, 14]:
        days = np.cumsum(rng.integers(5, 60, count)).astype(float)
        up = np.round(200 + 0.08 * days + rng.normal(0, 2, count), 1)
        up[count // 2] += 300
        yield f"{count} readings, one wrong", days, up
    for count in [6, 9, 14]:
        days = np.cumsum(rng.integers(5, 60, count)).astype(float)
        yield f"{count} readings, to whole centimetres", days, np.round(20 + 0.008 * days) * 10
    for count in [8, 12]:
        days = np.sort(rng.integers(0, 200, count)).astype(float)
        days[1] = days[0]
        days[-1] = days[-2]
        yield f"{count} readings, two on one day", days, np.round(200 + rng.normal(0, 2, count), 1)
    days = np.arange(10) * 30.0
    yield "a line", days, 200 + 0.1 * days
    yield "one that goes down", days, np.round(300 - 0.2 * days + rng.normal(0, 1, 10), 1)


def main():
    rows = []
    for name, along, up in cases():
        slope, start, low, high = theilslopes(up, along, alpha=0.95)
        rows.append(
            {
                "name": name,
                "along": along.tolist(),
                "up": up.tolist(),
                "slope": float(slope),
                "start": float(start),
                "low": float(low),
                "high": float(high),
            }
        )
    path = Path(__file__).with_name("slopes.json")
    path.write_text(json.dumps({"scipy": scipy.__version__, "cases": rows}, indent=1) + "\n")


if __name__ == "__main__":
    main()

"""Straight lines through random points, by scipy. Writes lines.txt beside this file.

Run with scipy and numpy installed: python3 lines.py. The seed is fixed.

Each case is five rows: along; across; least squares (intercept, slope, their standard errors, sum of squares left);
Theil and Sen (intercept as the median of what is left, slope, 95 % limits of the slope); the width and the slope of
the narrowest zone by linear programming.
"""

from pathlib import Path

import numpy as np
import scipy
from scipy.optimize import linprog
from scipy.stats import linregress, theilslopes

random = np.random.default_rng(20231125)
rows = []


def row(numbers):
    rows.append(" ".join(repr(float(number)) for number in numbers))


def narrowest(x, y):
    # Least half width h of a + b x with |y - a - b x| <= h.
    ones = np.ones_like(x)
    upper = np.column_stack([-ones, -x, -ones])
    lower = np.column_stack([ones, x, -ones])
    found = linprog(
        [0, 0, 1],
        A_ub=np.vstack([upper, lower]),
        b_ub=np.concatenate([-y, y]),
        bounds=[(None, None), (None, None), (0, None)],
        method="highs",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    return 2 * found.x[2], found.x[1]


for case in range(40):
    count = int(random.integers(3, 40))
    x = np.sort(random.uniform(0, 60, count))
    slope, height = random.normal(0, 0.5), random.normal(0, 5)
    y = height + slope * x + random.normal(0, 2, count)
    if case % 3 == 0:
        y[random.integers(0, count)] += 25
    row(x)
    row(y)
    fit = linregress(x, y)
    left = y - fit.intercept - fit.slope * x
    row([fit.intercept, fit.slope, fit.intercept_stderr, fit.stderr, np.dot(left, left)])
    robust = theilslopes(y, x, 0.95, method="joint")
    row([robust.intercept, robust.slope, robust.low_slope, robust.high_slope])
    row(narrowest(x, y))

Path(__file__).with_name("lines.txt").write_text("\n".join(rows) + "\n")
print(scipy.__version__)

"""Random tables with missing cells, split by numpy's least squares; writes two_way.txt beside itself.

Model: reading = overall + row + column + rest, the row effects adding up to nothing and the column effects likewise.
Run with numpy 2.4: python two_way.py
"""

from pathlib import Path

import numpy as np

random = np.random.default_rng(20250611)
lines = []
for case, (rows, columns, share) in enumerate(
    [(3, 3, 1.0), (5, 4, 1.0), (4, 7, 0.8), (9, 6, 0.6), (12, 5, 0.5), (6, 15, 0.4)]
):
    table = (
        3.0
        + random.normal(0, 20, (rows, 1))
        + random.normal(0, 10, (1, columns))
        + random.normal(0, 4, (rows, columns))
    ).round(2)
    there = random.random((rows, columns)) < share
    # A first row and a first column that are full keep the table in one piece.
    there[0, :] = True
    there[:, 0] = True
    cells = np.argwhere(there)
    readings = table[there]
    design = np.zeros((len(cells) + 2, 1 + rows + columns))
    for place, (row, column) in enumerate(cells):
        design[place, [0, 1 + row, 1 + rows + column]] = 1
    # The two conditions, met exactly because they cost the fit nothing.
    design[len(cells), 1 : 1 + rows] = 1
    design[len(cells) + 1, 1 + rows :] = 1
    wanted = np.append(readings, [0, 0])
    effects, *_ = np.linalg.lstsq(design, wanted, rcond=None)
    rest = readings - design[: len(cells)] @ effects
    by_row, by_column = effects[1 : 1 + rows], effects[1 + rows :]
    sums = [
        (by_row[cells[:, 0]] ** 2).sum(),
        (by_column[cells[:, 1]] ** 2).sum(),
        (rest**2).sum(),
    ]
    lines.append(f"case {case} {rows} {columns}")
    lines += [f"cell {row} {column} {reading}" for (row, column), reading in zip(cells, readings)]
    lines.append(f"overall {effects[0]:.15g}")
    lines.append("rows " + " ".join(f"{it:.15g}" for it in by_row))
    lines.append("columns " + " ".join(f"{it:.15g}" for it in by_column))
    lines.append("sums " + " ".join(f"{it:.15g}" for it in sums))
Path(__file__).with_name("two_way.txt").write_text("\n".join(lines) + "\n")

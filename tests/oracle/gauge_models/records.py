"""Tables and records: least squares with numpy, medians by hand, waves by a design matrix."""

import numpy as np


def spread(one, rows):
    stations = list(dict.fromkeys(row[0] for row in rows))
    marks = list(dict.fromkeys(row[1] for row in rows))
    table = np.full((len(stations), len(marks)), np.nan)
    for station, mark, offset in rows:
        table[stations.index(station), marks.index(mark)] = offset
    cells = np.argwhere(~np.isnan(table))
    read = table[~np.isnan(table)]
    count_r, count_c = table.shape
    design = np.zeros((len(cells) + 2, 1 + count_r + count_c))
    for place, (row, column) in enumerate(cells):
        design[place, [0, 1 + row, 1 + count_r + column]] = 1
    # Effects add up to nothing: two rows that cost the fit nothing.
    design[-2, 1 : 1 + count_r] = 1
    design[-1, 1 + count_r :] = 1
    fitted, *_ = np.linalg.lstsq(design, np.append(read, [0, 0]), rcond=None)
    rest = read - design[:-2] @ fitted
    of_rows, of_columns = fitted[1 : 1 + count_r][cells[:, 0]], fitted[1 + count_r :][cells[:, 1]]
    sums = np.array([of_rows @ of_rows, of_columns @ of_columns, rest @ rest])
    place, piece, neither = sums / sums.sum()
    overall, by_row, by_column = polish(table)
    levels = overall + by_row
    return {
        "place": place,
        "piece": piece,
        "neither": neither,
        "worst-station": levels[np.argmax(np.abs(levels))],
        "worst-mark": by_column[np.argmax(np.abs(by_column))],
    }


def polish(table):
    """Tukey's median polish, rows first, until the sum of what is left changes by less than 1 %."""
    left = table.copy()
    overall, rows, columns = 0.0, np.zeros(table.shape[0]), np.zeros(table.shape[1])
    before = 0.0
    for _ in range(50):
        step = np.nanmedian(left, axis=1)
        left -= step[:, None]
        rows += step
        overall += np.median(columns)
        columns -= np.median(columns)
        step = np.nanmedian(left, axis=0)
        left -= step[None, :]
        columns += step
        overall += np.median(rows)
        rows -= np.median(rows)
        now = np.nansum(np.abs(left))
        if now == 0 or abs(now - before) < 0.01 * now:
            break
        before = now
    return overall, rows, columns


def record(seconds, count, mean, waves):
    """A record of waves: each (frequency, amplitude, phase)."""
    times = np.arange(count) * seconds
    values = np.full(count, float(mean))
    for frequency, amplitude, phase in waves:
        values += amplitude * np.cos(2 * np.pi * frequency * times - phase)
    return times, values


def trace(seconds, count, mean, waves, turn):
    """What can be said of a record without looking for lines: its scatter and its length in belt turns."""
    times, values = record(seconds, count, mean, waves)
    return {"scatter": np.sqrt(np.mean((values - values.mean()) ** 2)), "turns": (times[-1] - times[0]) / turn}


def comb(seconds, count, mean, waves, base, number):
    """Amplitudes of a mean and of waves at 1, 2 ... times a frequency, fitted together; and the share they explain."""
    times, values = record(seconds, count, mean, waves)
    columns = [np.ones(count)]
    for wave in range(1, number + 1):
        turn = 2 * np.pi * base * wave * times
        columns += [np.cos(turn), np.sin(turn)]
    design = np.column_stack(columns)
    fitted, *_ = np.linalg.lstsq(design, values, rcond=None)
    about_mean = ((values - values.mean()) ** 2).sum()
    left = ((values - design @ fitted) ** 2).sum()
    sizes = np.hypot(fitted[1::2], fitted[2::2])
    return {f"amplitude {wave + 1}": size for wave, size in enumerate(sizes)} | {"share": 1 - left / about_mean}

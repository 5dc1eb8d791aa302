"""Bow, squared line, level, snub, rolls, run-out, height, slip and weight."""

import numpy as np
from scipy.optimize import brentq

from .geometry import sides


def bow(one, rows):
    """A parabola through the gaps of each length; the deepest of them by its share of the string."""
    side = 1 if one["edge"] == "left" else -1
    found = []
    for part in dict.fromkeys(row[0] for row in rows):
        place, gap = np.array([row[1:] for row in rows if row[0] == part], dtype=float).T
        long = place[-1] - place[0]
        design = np.column_stack([np.ones_like(place), place, place**2])
        fitted, *_ = np.linalg.lstsq(design, gap, rcond=None)
        ends, middle = fitted @ [1, place[0], place[0] ** 2], fitted @ [1, place[-1], place[-1] ** 2]
        half = place[0] + long / 2
        deep = fitted @ [1, half, half**2] - (ends + middle) / 2
        off_chord = gap - np.interp(place, place[[0, -1]], gap[[0, -1]])
        found.append((deep, long, np.abs(off_chord).max()))
    deep, long, largest = max(found, key=lambda it: abs(it[0]) / it[1])
    figures = {"bow-share": abs(deep) / long, "bow": side * deep, "largest": largest}
    if one.get("width") is not None:
        # An arc of that depth over that string has this curvature, and the edges lie half a width to both sides.
        curvature = 8 * abs(deep) / long**2
        inner, outer = 1 - curvature * one["width"] / 2, 1 + curvature * one["width"] / 2
        figures["edge-longer"] = outer - inner
    return figures


def arm_angle(along, out, slant):
    """Angle between two legs from the distance of their ends: points set out, and the angle sought that fits."""

    def misfit(angle):
        apart = out * np.array([np.cos(angle), np.sin(angle)]) - np.array([along, 0.0])
        return apart @ apart - slant**2

    return brentq(misfit, 1e-6, np.pi - 1e-6, xtol=1e-15, rtol=1e-14)


def line_triangles(one, _rows):
    toward_head = 1 if one["toward"] == "head" else -1
    leans = []
    for side, name in ((1, "left"), (-1, "right")):
        if one.get(f"{name}_out") is not None:
            angle = arm_angle(one["along"], one[f"{name}_out"], one[f"{name}_slant"])
            # An arm nearer to the leg than square leans the way the leg points.
            leans.append(side * toward_head * (np.pi / 2 - angle))
    return line_figures(np.mean(leans), leans)


def line_diagonals(one, _rows):
    toward_head = 1 if one["toward"] == "head" else -1
    along, out = one["along"], one["out"]

    def misfit(lean):
        """Both arms on one straight line; the left one leans the way the leg points."""
        left = out * np.array([np.sin(lean), np.cos(lean)])
        point = np.array([along, 0.0])
        return (point - left) @ (point - left) - (point + left) @ (point + left) - (one["left_slant"] ** 2 - one["right_slant"] ** 2)

    lean = toward_head * brentq(misfit, -1.2, 1.2, xtol=1e-15, rtol=1e-14)
    return line_figures(lean, [lean])


def line_figures(lean, leans):
    figures = {"off": lean, "lead-share": np.tan(lean)}
    if len(leans) == 2:
        # Both arms of a straight line lean alike.
        figures["bend"] = leans[0] - leans[1]
    return figures


def level_spirit(one, _rows):
    base = one["base"]
    first = (one["right_packing"] - one["left_packing"]) / base
    if one.get("left_turned") is None:
        return {"fall": first * base, "slope": first}
    turned = (one["right_turned"] - one["left_turned"]) / base
    # A level that is itself off shows the same too much both times, once to each side.
    slope, own = np.linalg.solve([[1, 1], [1, -1]], [first, turned])
    return {"fall": slope * base, "slope": slope, "own": own}


def level_water(one, _rows):
    higher = one["left"] - one["right"] if one["bigger"] == "higher" else one["right"] - one["left"]
    return {"fall": higher, "slope": higher / one["across"]}


def snub(one, _rows):
    short = one["left"] - one["right"]
    return {"difference": short, "angle": np.arctan2(abs(short), np.sqrt(one["across"] ** 2 - short**2))}


def rolls(one, rows, of_girth):
    turn = np.pi if of_girth else 1.0
    ends = [(left / turn, right / turn) for _, left, _, right in rows]
    cone = max((left - right for left, right in ends), key=abs)
    figures = {"cone": cone}
    if one.get("clean") is not None:
        across = [size / turn for row in rows for size in row[1:] if size is not None]
        figures["cake"] = max(max(across) - one["clean"], 0) / 2
        figures["worn"] = max(one["clean"] - min(across), 0) / 2
    return figures


def runout(_one, rows):
    turn = np.array([row[0] for row in rows])
    figures, swings = {}, {}
    design = np.column_stack([np.ones_like(turn), np.exp(1j * turn).real, np.exp(1j * turn).imag])
    for name, column in (("left", 1), ("right", 2)):
        read = np.array([row[column] for row in rows])
        fitted, *_ = np.linalg.lstsq(design, read, rcond=None)
        swings[name] = complex(fitted[1], fitted[2])
        figures[f"runout-{name}"] = np.ptp(read)
        figures[f"off-centre-{name}"] = abs(swings[name])
    # What both ends do alike, and what they do against each other.
    figures["together"] = abs(swings["left"] + swings["right"]) / 2
    figures["against"] = abs(swings["left"] - swings["right"]) / 2
    return figures


def height(one, rows):
    sign = 1 if one["bigger"] == "higher" else -1
    place = [row[1] for row in rows]
    worst_rise, worst_tilt = (0.0, 1.0), 0.0
    shares, tilts = [], []
    for at in range(1, len(rows) - 1):
        off = []
        for column in (2, 3):
            read = [sign * row[column] for row in rows]
            line = np.polynomial.Polynomial.fit([place[at - 1], place[at + 1]], [read[at - 1], read[at + 1]], 1)
            off.append(read[at] - line(place[at]))
        pitch = (place[at + 1] - place[at - 1]) / 2
        rise = (off[0] + off[1]) / 2
        if abs(rise) / pitch > abs(worst_rise[0]) / worst_rise[1]:
            worst_rise = (rise, pitch)
        if abs(off[0] - off[1]) > abs(worst_tilt):
            worst_tilt = off[0] - off[1]
        shares.append(abs(rise) / pitch)
        tilts.append(abs(off[0] - off[1]))
    if any(max(sizes) > 0 and sorted(sizes)[-2] > max(sizes) - 1e-6 for sizes in (shares, tilts) if len(sizes) > 1):
        # Which of two alike is the worst is nobody's business.
        return None
    return {"rise": worst_rise[0], "rise-share": abs(worst_rise[0]) / worst_rise[1], "across": worst_tilt}


def slip_timed(one, _rows):
    # The middle of the belt's thickness runs on a circle of its own.
    path = 2 * np.pi * (one["diameter"] / 2 + (one.get("thickness") or 0.0) / 2)
    pulley = one["turns"] * path / one["turns_time"]
    belt = one["passed"] / one["passed_time"]
    return {"slip": (pulley - belt) / pulley, "pulley-speed": pulley, "belt-speed": belt}


def slip_speeds(one, _rows):
    pulley, belt = one["pulley_speed"], one["belt_speed"]
    return {"slip": (pulley - belt) / pulley, "pulley-speed": pulley, "belt-speed": belt}


def weight(one, _rows):
    rope = one["weight"] / (one.get("weight_parts") or 1)
    pull = rope * (one.get("carriage_parts") or 1)
    if one.get("own_weight") is not None:
        slope = one.get("slope")
        # What hangs with the pulley pulls down the slope that the pulley moves on.
        down = 1.0 if slope is None else np.exp(1j * slope).imag
        pull += one["own_weight"] * down
    strand = np.linalg.solve([[1, 1], [1, -1]], [pull, 0])[0]
    figures = {"pull": pull, "strand": strand}
    if one.get("drawn") is not None:
        figures["over-drawn"] = (one["weight"] - one["drawn"]) / one["drawn"]
    if None not in (one.get("width"), one.get("rated_tension")):
        figures["rated-share"] = strand / (one["width"] * one["rated_tension"])
    if one.get("needed") is not None:
        figures["margin"] = strand / one["needed"]
    return sides(figures)

"""Measurements of tape, string and square."""

import numpy as np

from . import geometry

MM = 0.001


def at(random, low, high, step):
    """Between two sizes, in whole steps as they are read."""
    return round(round(random.uniform(low, high) / step) * step, 9)


def spaced(random, low, high, count):
    """Places in order, none near another."""
    room = (high - low) / count
    return [round(low + room * (place + random.uniform(0.1, 0.9)), 3) for place in range(count)]


def maybe(random, chance, size):
    return size if random.random() < chance else None


# --- splice ---

JUMP = ["slant", "belt_length", "speed", "span"]
JOINT_FIGURES = ["lead", "angle", "kink", "jump", "between"]


def jump(random):
    # What a conveyor's file may have and a visit may not.
    return {
        "slant": maybe(random, 0.4, at(random, -0.4, 0.4, MM)),
        "belt_length": maybe(random, 0.7, at(random, 20, 600, 0.1)),
        "speed": maybe(random, 0.7, at(random, 0.2, 5, 0.01)),
        "span": maybe(random, 0.7, at(random, 1, 6, 0.01)),
    }


def marks(random, width, joint, behind, ahead):
    """Middles along both straight lengths, read to half a millimetre."""
    rows = []
    for place in spaced(random, -3, 3, random.integers(5, 8)):
        slope = behind if place < joint else ahead
        middle = slope * (place - joint) + random.normal(0, 0.3 * MM)
        rows.append([place, *(round(width / 2 + it, 4) for it in (middle, -middle))])
    return rows


def splice_marks(random):
    width, joint = at(random, 0.4, 2.0, 0.01), at(random, -0.3, 0.3, 0.01)
    behind, ahead = random.normal(0, 0.01, 2)
    lead = random.normal(0, 0.01)
    one = {"joint": joint, "ahead_left": round(lead / 2, 4), "ahead_right": round(-lead / 2, 4), **jump(random)}
    return one, marks(random, width, joint, behind, ahead)


def straight(slope_behind, slope_ahead):
    slope = lambda place: slope_behind if place < 0 else slope_ahead
    return [
        [place, round(0.45 + slope(place) * place, 6), round(0.45 - slope(place) * place, 6)]
        for place in (-3, -2, -1, 1, 2, 3)
    ]


def splice_diagonals(random):
    along, width = at(random, 1.3, 3, 0.01), at(random, 0.4, 2.0, 0.01)
    one = {"along": along, "width": width, **jump(random)}
    slant = (one["slant"] or 0.0) / width

    def two(askew, toward):
        ahead = toward * width * (slant + askew)
        return round(np.hypot(along - ahead, width), 4), round(np.hypot(along + ahead, width), 4)

    one["tail_from_left"], one["tail_from_right"] = two(random.normal(0, 0.01), -1)
    if random.random() < 0.7:
        one["head_from_left"], one["head_from_right"] = two(random.normal(0, 0.01), 1)
    return one, []


X = ["tail_from_left", "tail_from_right", "head_from_left", "head_from_right"]


# --- square ---


def pulley(random):
    away, across = at(random, 2, 40, 0.1), at(random, 0.6, 2.5, 0.01)
    lead, shift = random.normal(0, 0.004, 2)
    one = {
        "pulley": str(random.choice(["tail", "head"])),
        "to": "pulley",
        "left": round(away + lead / 2, 4),
        "right": round(away - lead / 2, 4),
        "across": across,
    }
    if random.random() < 0.6:
        one["from_left"] = round(np.hypot(away + lead / 2, across + shift), 4)
        one["from_right"] = round(np.hypot(away - lead / 2, across - shift), 4)
    else:
        one["to"] = "line"
    return one, []


def bay(random):
    along, across, off = at(random, 1, 8, 0.1), at(random, 0.5, 2, 0.01), random.normal(0, 0.003)
    corners = np.array([[off, across], [0, 0], [along + off, across], [along, 0]]) + random.normal(0, 0.0005, (4, 2))
    tl, tr, hl, hr = corners
    apart = lambda a, b: round(float(np.linalg.norm(a - b)), 4)
    return {
        "left": apart(tl, hl), "right": apart(tr, hr), "tail": apart(tl, tr), "head": apart(hl, hr),
        "from_left": apart(tl, hr), "from_right": apart(tr, hl),
    }, []


SIX = ["left", "right", "tail", "head", "from_left", "from_right"]


def six(*lengths):
    return dict(zip(SIX, lengths)), []


# --- frame and idlers ---


def stations(random, count):
    return [round(float(place), 1) for place in np.cumsum(random.uniform(1.5, 4, count))]


def string(random):
    places = stations(random, random.integers(4, 9))
    slope, height = random.normal(0, 0.0005), random.uniform(0.03, 0.06)
    gaps = [round(height + slope * place + random.normal(0, 0.0015), 4) for place in places]
    return {"line": str(random.choice(["left", "right"]))}, [list(pair) for pair in zip(places, gaps)]


def level(random):
    rows = [
        [place, at(random, 0, 0.01, 0.0005), at(random, 0, 0.01, 0.0005)]
        for place in stations(random, random.integers(3, 6))
    ]
    return {"bigger": str(random.choice(["lower", "higher"]))}, rows


def idlers(random):
    across = at(random, 0.3, 1.2, 0.01)
    one = {
        "datum": str(random.choice(["tail", "head"])),
        "across": across,
        "width": maybe(random, 0.7, round(across * random.uniform(1, 1.8), 2)),
        "feet": maybe(random, 0.5, round(across * random.uniform(1.2, 2), 2)),
    }
    rows = []
    for number in range(1, random.integers(2, 6)):
        away = 1.2 * number
        rows.append([
            number, at(random, away - 0.006, away + 0.006, 0.0005), at(random, away - 0.006, away + 0.006, 0.0005),
            maybe(random, 0.4, at(random, -0.05, 0.05, 0.001)),
        ])
    return one, rows


# --- crown ---


def faces(random, gaps):
    length, count = at(random, 0.4, 1.6, 0.01), random.integers(5, 8)
    places = spaced(random, 0.01, length - 0.01, count)
    places[0], places[-1] = 0.01, round(length - 0.01, 3)
    part = np.array(places) / length
    height = random.uniform(-0.002, 0.006) * 4 * part * (1 - part) + random.normal(0, 0.001) * part
    one = {"pulley": "other", "drawn": maybe(random, 0.5, at(random, 0.001, 0.006, 0.0005)), "face": length}
    if gaps:
        one["parallel"] = str(random.choice(["yes", "no"]))
        gap = (height.max() - height) / 2
        return one, [[place, round(float(it), 5)] for place, it in zip(places, gap)]
    diameter = at(random, 0.2, 1.0, 0.01)
    return one, [[place, round(float(diameter + it), 5)] for place, it in zip(places, height)]


FACE = ["pulley", "face", "drawn"]

BLOCKS = [
    dict(
        gauge="splice", way="marks", share=2, model=geometry.splice_marks, draw=splice_marks,
        single=["joint", "ahead_left", "ahead_right", *JUMP], columns=["along", "left", "right"], figures=JOINT_FIGURES,
        named=[
            ("square joint, straight belt", {"joint": 0.0, "ahead_left": 0.0, "ahead_right": 0.0}, straight(0, 0)),
            ("square cut, kinked belt", {"joint": 0.0, "ahead_left": 0.003, "ahead_right": -0.003, "span": 3.0}, straight(0, 0.004)),
        ],
    ),
    dict(
        gauge="splice", way="diagonals", share=2, model=geometry.splice_diagonals, draw=splice_diagonals,
        single=["along", "width", *X, *JUMP], columns=[], figures=JOINT_FIGURES,
        named=[("slanted on purpose by a third of the width", {
            "along": 1.5, "width": 0.9, "slant": 0.3, "tail_from_left": round(float(np.hypot(1.8, 0.9)), 6),
            "tail_from_right": round(float(np.hypot(1.2, 0.9)), 6),
        }, [])],
    ),
    dict(
        gauge="square", way="pulley", share=2, model=geometry.square_pulley, draw=pulley,
        single=["pulley", "to", "left", "right", "across", "from_left", "from_right"], columns=[],
        figures=["difference", "angle", "askew-alike"],
        named=[
            ("tail 4 mm nearer on the left", {"pulley": "tail", "to": "line", "left": 2.0, "right": 2.004, "across": 1.0}, []),
            ("three four five", {"pulley": "head", "to": "pulley", "left": 4.0, "right": 4.0, "across": 3.0, "from_left": 5.0, "from_right": 5.0}, []),
        ],
    ),
    dict(
        gauge="square", way="bay", share=2, model=geometry.square_bay, draw=bay, single=SIX, columns=[],
        figures=["diagonals", "widths", "lengths", "lead"],
        # A quarter of a degree: worked by hand in tests/gauges/square.rs as well.
        named=[("a quarter of a degree off", *six(6.0, 6.0, 0.9, 0.9, 6.063239749, 6.071006814))],
    ),
    dict(
        gauge="frame", way="string", share=2, model=geometry.frame_string, draw=string, single=["line"],
        columns=["station", "gap"],
        figures=["station", "stretch", "zone", "zone-theil-sen", "zone-least-squares", "askew"],
        named=[
            ("straight but askew", {"line": "right"}, [[x, round(0.05 + 0.001 * x, 6)] for x in (0, 3, 6, 9, 12)]),
            ("one stand out", {"line": "left"}, [[0, 0.05], [3, 0.05], [6, 0.058], [9, 0.05], [12, 0.05], [15, 0.05]]),
        ],
    ),
    dict(
        gauge="frame", way="level", share=2, model=geometry.frame_level, draw=level, single=["bigger"],
        columns=["station", "left", "right"], figures=["across", "mean"],
        named=[("low on the left", {"bigger": "lower"}, [[0, 0.006, 0.0], [5, 0.004, 0.0], [10, 0.005, 0.001]])],
    ),
    dict(
        gauge="idlers", way="carry", model=geometry.idlers, draw=idlers,
        single=["datum", "across", "width", "feet"], columns=["idler", "left", "right", "tilt"], figures=["lead", "skew", "tilt"],
        named=[
            ("square", {"datum": "tail", "across": 0.3, "width": 0.9}, [[1, 1.2, 1.2, None]]),
            ("one askew", {"datum": "tail", "across": 0.3}, [[1, 1.2, 1.2, None], [2, 2.404, 2.4, None]]),
            ("leaning", {"datum": "head", "across": 0.9}, [[7, 1.2, 1.2, 0.03], [8, 2.4, 2.404, -0.04]]),
        ],
    ),
    dict(
        gauge="crown", way="diameters", share=2, model=geometry.crown_diameters, draw=lambda random: faces(random, False),
        single=FACE, columns=["place", "diameter"], figures=["crown", "ends", "should"],
        named=[
            ("as drawn", {"pulley": "tail", "face": 1.0, "drawn": 0.004}, [[0.0, 0.5], [0.25, 0.502], [0.5, 0.504], [0.75, 0.502], [1.0, 0.5]]),
            ("a cone", {"pulley": "other", "face": 1.0}, [[0.0, 0.5], [0.5, 0.502], [1.0, 0.504]]),
        ],
    ),
    dict(
        gauge="crown", way="gaps", share=2, model=geometry.crown_gaps, draw=lambda random: faces(random, True),
        single=[*FACE, "parallel"], columns=["place", "gap"], figures=["crown", "ends", "should"],
        named=[("hollow", {"pulley": "head", "face": 1.0, "parallel": "yes"}, [[0.0, 0.0], [0.5, 0.001], [1.0, 0.0]])],
    ),
]

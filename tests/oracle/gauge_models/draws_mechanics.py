"""Measurements of pull, load, heat and time."""

import numpy as np

from . import mechanics, records
from .draws_geometry import MM, at, maybe

# --- sag ---

SAG = ["spacing", "mass", "pull", "motor_kw", "speed", "wrap", "lagging", "full_load", "width", "rated_tension"]
SAG_FIGURES = ["sag-share", "sag", "pull", "grip-needs", "carry-needs", "margin", "rated-share"]


def sag(random, carry):
    spacing = at(random, 0.9, 1.5, 0.01) if carry else at(random, 2, 4, 0.01)
    one = {
        "spacing": spacing,
        "mass": maybe(random, 0.9, at(random, 5, 40, 0.1)),
        "pull": maybe(random, 0.4, at(random, 500, 20_000, 10)),
        "motor_kw": maybe(random, 0.6, at(random, 1, 90, 0.5)),
        "speed": at(random, 0.3, 5, 0.01),
        "wrap": maybe(random, 0.6, at(random, 3, 4.3, 0.01)),
        "lagging": maybe(random, 0.6, str(random.choice(["bare", "lagged"]))),
        "full_load": maybe(random, 0.7, at(random, 10, 200, 1)),
        "width": maybe(random, 0.8, at(random, 0.4, 2, 0.01)),
        "rated_tension": maybe(random, 0.8, at(random, 10_000, 100_000, 500)),
    }
    if carry:
        one["load"] = maybe(random, 0.5, at(random, 0, 60, 1))
    else:
        one["carry_pitch"] = maybe(random, 0.8, at(random, 0.9, 1.5, 0.01))
    deep = spacing * random.uniform(0.006, 0.03)
    return one, [[place, round(deep + random.normal(0, 0.001), 4)] for place in range(1, random.integers(2, 5))]


# --- take-up and one screw ---

TAKE_UP = ["left", "right", "left_before", "right_before", "bearing_centres", "centres", "width", "modulus", "rated_tension", "load"]
TAKE_UP_FIGURES = ["lead", "skew", "lead-before", "moved", "strain", "rise", "pull-rise", "rise-share"]


def takeup(key, words):
    def draw(random):
        left, right = at(random, 0.2, 0.6, 0.0005), 0.0
        right = round(left + random.normal(0, 0.003), 4)
        one = {
            "left": left,
            "right": right,
            key: str(random.choice(words)),
            "bearing_centres": maybe(random, 0.8, at(random, 0.8, 2, 0.01)),
            "centres": maybe(random, 0.8, at(random, 5, 60, 0.1)),
            "width": maybe(random, 0.8, at(random, 0.4, 1.6, 0.01)),
            "modulus": maybe(random, 0.5, at(random, 5e5, 1e7, 1e4)),
            "rated_tension": maybe(random, 0.7, at(random, 1e4, 1e5, 500)),
            "load": maybe(random, 0.7, at(random, 1000, 20_000, 10)),
        }
        if random.random() < 0.8:
            one["left_before"] = round(left - random.normal(0, 0.004), 4)
            one["right_before"] = round(right - random.normal(0, 0.004), 4)
        return one, []

    return draw


SCREW = [
    "side", "moved", "load", "width", "bearing_centres", "centres", "modulus", "rated_tension", "bearings", "corrections",
    "hub_arm", "shaft", "bearing_rating", "diameter", "speed",
]
SCREW_FIGURES = [
    "load-tight", "load-slack", "ratio", "skew", "slack-edge", "tight-edge", "absorbed", "tension", "tension-later",
    "tension-times", "life-left-ball", "life-against-ball", "life-left-roller", "life-against-roller", "life-before",
    "life-after", "hub-slope", "hub-slope-before", "shaft-bending",
]


def screw(random):
    width = at(random, 0.4, 1.4, 0.01)
    bearings = round(width * random.uniform(1.15, 1.4), 2)
    one = {
        "side": str(random.choice(["left", "right"])),
        "moved": at(random, -0.002, 0.008, 0.0005) or 0.001,
        "load": at(random, 2000, 15_000, 10),
        "width": width,
        "bearing_centres": bearings,
        "centres": at(random, 6, 40, 0.1),
        "modulus": maybe(random, 0.5, at(random, 5e5, 3e6, 1e4)),
        "rated_tension": at(random, 1e4, 4e4, 500),
        "bearings": maybe(random, 0.7, str(random.choice(["ball", "roller"]))),
        "corrections": maybe(random, 0.5, int(random.integers(1, 9))),
        "bearing_rating": maybe(random, 0.7, at(random, 20_000, 90_000, 100)),
        "diameter": at(random, 0.2, 0.8, 0.01),
        "speed": at(random, 0.5, 3, 0.01),
    }
    if random.random() < 0.8:
        one["hub_arm"] = round((bearings - width * 1.1) / 2, 3)
        one["shaft"] = at(random, 0.06, 0.12, 0.005)
    # A belt that hangs loose after the turn carries nothing.
    rise = mechanics.modulus_of(one) * width * one["moved"] / 2 / one["centres"]
    if one["load"] + rise < 500 or one["hub_arm" if "hub_arm" in one else "load"] <= 0.01:
        return screw(random)
    # Beyond that the other side carries nothing, and shares of nothing are no figures.
    figures = mechanics.side_load(one, [], False)
    if figures["load-slack"] < 50:
        return screw(random)
    return one, []


INCH, FOOT, POUND = 0.0254, 0.3048, 4.4482216152605
SMALL = {
    "side": "left", "moved": 0.0127, "load": round(700 * POUND, 6), "width": 24 * INCH, "bearing_centres": 30 * INCH,
    "centres": 30 * FOOT, "modulus": round(15_000 * POUND / INCH, 3),
}


# --- the rest ---


def transition(random):
    return {
        "distance": at(random, 0.5, 6, 0.01),
        "width": at(random, 0.4, 2, 0.05),
        "trough_angle": round(np.radians(random.choice([20, 30, 35, 45])), 9),
        "height": str(random.choice(["centre-roll", "half-trough"])),
        "pull_used": maybe(random, 0.8, str(random.choice(["most", "middle", "little"]))),
        "carcass": str(random.choice(["fabric", "steel-cord"])),
        "modulus": maybe(random, 0.7, at(random, 4e5, 1.5e7, 1e4)),
        "rated_tension": maybe(random, 0.8, at(random, 2e4, 6e5, 1e3)),
    }, []


def load_edges(random):
    width = at(random, 0.4, 2, 0.05)
    return {
        "bare_left": at(random, 0, 0.3 * width, MM), "bare_right": at(random, 0, 0.3 * width, MM), "width": width, **masses(random),
    }, []


def load_offset(random):
    width = at(random, 0.4, 2, 0.05)
    return {"side": str(random.choice(["left", "right"])), "offset": at(random, 0, 0.2 * width, MM), "width": width, **masses(random)}, []


def masses(random):
    return {
        "belt_mass": maybe(random, 0.7, at(random, 4, 40, 0.1)),
        "load_mass": maybe(random, 0.7, at(random, 10, 300, 1)),
        "trough": "troughed",
    }


LAID = ["width", "belt_mass", "load_mass", "trough"]
LAID_FIGURES = ["offset", "offset-share", "bound"]


def heat(random):
    kelvin = lambda low, high: round(at(random, low, high, 0.5) + 273.15, 2)
    return {
        "left": kelvin(0, 160), "right": kelvin(0, 160), "ambient": maybe(random, 0.6, kelvin(-30, 45)),
        "left_before": maybe(random, 0.5, kelvin(0, 120)), "right_before": maybe(random, 0.5, kelvin(0, 120)),
    }, []


HEAT = ["left", "right", "ambient", "left_before", "right_before"]


def trim(random):
    centres = at(random, 20, 200, 0.1)
    one = {
        "side": str(random.choice(["left", "right"])), "drift": at(random, 0.005, 0.15, MM),
        "strand": str(random.choice(["carry", "return"])), "place": round(centres * random.uniform(0.05, 0.95), 1),
        "centres": centres, "carry_pitch": at(random, 0.9, 1.5, 0.01), "return_pitch": at(random, 2.4, 3.6, 0.01),
        "foot_spacing": maybe(random, 0.7, at(random, 0.5, 2, 0.01)),
        "belt_length": maybe(random, 0.5, round(2 * centres * 1.05, 1)), "speed": maybe(random, 0.7, at(random, 0.3, 5, 0.01)),
        "turn": maybe(random, 0.4, at(random, 10, 300, 0.5)),
    }
    return one, []


TRIM = ["side", "drift", "strand", "place", "centres", "carry_pitch", "return_pitch", "foot_spacing", "belt_length", "speed", "turn"]


def spread(random):
    stations, marks = random.integers(3, 5), 3
    by_station, by_mark = random.normal(0, 0.02, stations), random.normal(0, 0.01, marks)
    rows = []
    for station in range(stations):
        for mark in range(marks):
            # A first row and a first column that are full keep the table in one piece.
            if station == 0 or mark == 0 or random.random() < 0.85:
                rows.append([station + 1, mark + 1, round(by_station[station] + by_mark[mark] + random.normal(0, 0.003), 3)])
    return {}, rows if len(rows) >= 9 else spread(random)[1]


def table(cells):
    return [[i + 1, j + 1, size] for i, row in enumerate(cells) for j, size in enumerate(row)]


def record(one):
    return one["every"], one["count"], one["mean"]


def weave(random, most_turns=9):
    turn, every = at(random, 20, 90, 0.5), at(random, 0.3, 1.0, 0.05)
    count = int(turn * random.uniform(4, most_turns) / every)
    waves = [
        [round(random.uniform(0.5, 12) / turn, 6), at(random, 0.001, 0.01, 0.0001), at(random, 0, 6.2, 0.01)]
        for _ in range(random.integers(1, 4))
    ]
    return {"every": every, "count": count, "mean": at(random, -0.02, 0.02, 0.001), "turn": turn}, waves


def comb(random):
    """A record, and three waves of one frequency fitted to it whether they are in it or not."""
    one, waves = weave(random, 6)
    return one | {"base": round(random.uniform(0.9, 1.1) * waves[0][0], 6)}, waves


BLOCKS = [
    dict(
        gauge="sag", way="return", share=4, model=lambda one, rows: mechanics.sag(one, rows, False, False),
        draw=lambda random: sag(random, False), single=[*SAG, "carry_pitch"], columns=["place", "sag"], figures=SAG_FIGURES,
        named=[("screws, a motor, bare pulley", {
            "spacing": 3.0, "mass": 12.0, "motor_kw": 11.0, "speed": 1.5, "carry_pitch": 1.2, "full_load": 80.0, "width": 0.8,
            "rated_tension": 40_000.0,
        }, [[1, 0.04], [2, 0.044], [3, 0.042]])],
    ),
    dict(
        gauge="sag", way="carry", share=2, model=lambda one, rows: mechanics.sag(one, rows, True, False),
        draw=lambda random: sag(random, True), single=[*SAG, "load"], columns=["place", "sag"], figures=SAG_FIGURES,
        named=[("loaded", {"spacing": 1.2, "mass": 20.0, "load": 80.0, "speed": 1.0, "full_load": 80.0}, [[1, 0.02]])],
    ),
    dict(
        gauge="sag", way="return", share=4, facts={"take_up": "gravity"},
        model=lambda one, rows: mechanics.sag(one, rows, False, True), draw=lambda random: sag(random, False),
        single=[*SAG, "carry_pitch"], columns=["place", "sag"], figures=SAG_FIGURES,
        named=[("a weight, lagged", {"spacing": 3.0, "mass": 12.0, "pull": 5000.0, "speed": 1.0, "lagging": "lagged"}, [[1, 0.03]])],
    ),
    dict(
        gauge="takeup", way="shaft", share=2, model=lambda one, rows: mechanics.takeup(one, rows, one["marks"] == "outward"),
        draw=takeup("marks", ["inward", "outward"]), single=[*TAKE_UP, "marks"], columns=[], figures=TAKE_UP_FIGURES,
        named=[
            ("both alike", {"left": 0.3, "right": 0.3, "marks": "inward", "bearing_centres": 1.0}, []),
            ("a month of tightening", {
                "left": 0.31, "right": 0.305, "left_before": 0.3, "right_before": 0.3, "marks": "inward", "bearing_centres": 1.0,
                "centres": 6.096, "width": 0.6096, "modulus": 1_751_268.35, "load": 3113.755,
            }, []),
        ],
    ),
    dict(
        gauge="takeup", way="thread", share=2, model=lambda one, rows: mechanics.takeup(one, rows, one["tightening"] == "less"),
        draw=takeup("tightening", ["more", "less"]), single=[*TAKE_UP, "tightening"], columns=[], figures=TAKE_UP_FIGURES,
        named=[("less thread is tighter", {"left": 0.1, "right": 0.11, "tightening": "less", "bearing_centres": 1.2}, [])],
    ),
    dict(
        gauge="side-load", way="screw", share=2, model=lambda one, rows: mechanics.side_load(one, rows, False), draw=screw,
        single=SCREW, columns=[], figures=SCREW_FIGURES,
        named=[
            ("half an inch on 24 in by 30 ft", SMALL, []),
            ("the same slackened by 3 mm", {**SMALL, "moved": -0.003}, []),
        ],
    ),
    dict(
        gauge="side-load", way="screw", share=2, facts={"take_up": "gravity"},
        model=lambda one, rows: mechanics.side_load(one, rows, True), draw=screw, single=SCREW, columns=[], figures=SCREW_FIGURES,
        named=[("a weight keeps the pull", SMALL, [])],
    ),
    dict(
        gauge="transition", way="tape", model=mechanics.transition, draw=transition,
        single=["distance", "width", "trough_angle", "height", "pull_used", "carcass", "modulus", "rated_tension"],
        columns=[], figures=["distance", "widths", "edge-strain", "edge-pull", "by-stretch"],
        named=[
            (name, {"distance": far, "width": 1.0, "trough_angle": round(np.radians(35), 9), "height": "centre-roll", "pull_used": "most", "carcass": "fabric"}, [])
            for name, far in (("as printed", 3.2), ("half of it", 1.6), ("twice", 6.4))
        ],
    ),
    dict(
        gauge="load", way="edges", share=2, model=mechanics.load_edges, draw=load_edges, single=["bare_left", "bare_right", *LAID],
        columns=[], figures=LAID_FIGURES,
        named=[
            ("in the middle", {"bare_left": 0.1, "bare_right": 0.1, "width": 1.0, "trough": "troughed"}, []),
            ("50 mm to the left", {"bare_left": 0.1, "bare_right": 0.2, "width": 1.0, "belt_mass": 12.0, "load_mass": 80.0, "trough": "troughed"}, []),
        ],
    ),
    dict(
        gauge="load", way="offset", share=2, model=mechanics.load_offset, draw=load_offset, single=["side", "offset", *LAID],
        columns=[], figures=LAID_FIGURES,
        named=[("from a photograph", {"side": "right", "offset": 0.06, "width": 0.9, "trough": "troughed"}, [])],
    ),
    dict(
        gauge="heat", way="infrared", model=mechanics.heat, draw=heat, single=HEAT, columns=[],
        figures=["left", "right", "difference", "left-change", "right-change", "left-rise", "right-rise"],
        named=[
            ("both cool", {"left": 313.15, "right": 315.15}, []),
            ("one hot", {"left": 363.15, "right": 328.15, "ambient": 293.15}, []),
            ("frost", {"left": 298.15, "right": 248.15, "ambient": 248.15, "left_before": 258.15}, []),
        ],
    ),
    dict(
        gauge="trim", way="drift", model=mechanics.trim, draw=trim, single=TRIM, columns=[],
        figures=["step", "idlers", "drift", "angle", "watch"],
        named=[
            ("carry, in the middle", {"side": "left", "drift": 0.08, "strand": "carry", "place": 30.0, "centres": 60.0, "carry_pitch": 1.2, "return_pitch": 3.0, "foot_spacing": 0.914, "speed": 1.5}, []),
            ("return, near the tail", {"side": "right", "drift": 0.08, "strand": "return", "place": 0.0, "centres": 60.0, "carry_pitch": 1.2, "return_pitch": 3.0}, []),
            ("near the head of the return", {"side": "right", "drift": 0.08, "strand": "return", "place": 48.0, "centres": 60.0, "carry_pitch": 1.2, "return_pitch": 3.0, "turn": 80.0}, []),
        ],
    ),
    dict(
        gauge="spread", way="edges", model=records.spread, draw=spread, single=[], columns=["station", "mark", "offset"],
        figures=["place", "piece", "neither", "worst-station", "worst-mark"],
        named=[
            # The table of deaths in Tukey's book, in millimetres: 8; 6 -1 0 2 -8; 0 -1 0 by medians.
            ("medians of a published table", {}, table([[0.014, 0.015, 0.014], [0.007, 0.004, 0.007], [0.008, 0.002, 0.010], [0.015, 0.009, 0.010], [0.0, 0.002, 0.0]])),
            ("one place", {}, table([[0.0, 0.001, 0.0], [0.04, 0.041, 0.04], [0.001, 0.0, 0.0]])),
            ("one mark", {}, table([[0.0, 0.03, 0.0], [0.001, 0.03, 0.0], [0.0, 0.031, 0.001]])),
        ],
    ),
    dict(
        gauge="trace", way="edge", share=2, model=lambda one, waves: records.trace(*record(one), waves, one["turn"]), draw=weave,
        single=["every", "count", "mean", "turn"], columns=["frequency", "amplitude", "phase"], figures=["scatter", "turns"],
        named=[
            ("a sway of the belt", {"every": 0.5, "count": 400, "mean": 0.002, "turn": 40.0}, [[0.025, 0.008, 0.6]]),
            ("a pulley", {"every": 0.1, "count": 1200, "mean": 0.0, "turn": 30.0}, [[0.9, 0.004, 0.0]]),
            ("belt and pulley", {"every": 0.2, "count": 900, "mean": 0.0, "turn": 30.0}, [[0.0333, 0.004, 0.0], [0.9, 0.003, 2.0]]),
        ],
    ),
    dict(
        gauge="trace", way="comb", share=2, model=lambda one, waves: records.comb(*record(one), waves, one["base"], 3), draw=comb,
        single=["every", "count", "mean", "base"], columns=["frequency", "amplitude", "phase"],
        figures=["amplitude 1", "amplitude 2", "amplitude 3", "share"], named=[],
    ),
]

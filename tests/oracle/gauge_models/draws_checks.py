"""Measurements of bow, squared line, level, snub, rolls, run-out, height, slip and weight."""

import numpy as np

from . import checks
from .draws_geometry import MM, at, maybe, spaced


def bow(random):
    one = {"edge": str(random.choice(["left", "right"])), "width": maybe(random, 0.7, at(random, 0.4, 2, 0.05))}
    rows = []
    for part in range(1, 3 if random.random() < 0.3 else 2):
        long = at(random, 8, 20, 0.5)
        deep = random.normal(0, 0.006) * long
        places = [0.0, *(round(it, 1) for it in spaced(random, 0.5, long - 0.5, random.integers(1, 4))), long]
        rows += [
            [part, place, round(4 * deep * place * (long - place) / long**2 + random.normal(0, MM), 4)] for place in places
        ]
    return one, rows


def arc(deep, long, part=1):
    return [[part, place, round(4 * deep * place * (long - place) / long**2, 6)] for place in np.linspace(0, long, 5).tolist()]


def triangles(random):
    along, toward = at(random, 0.8, 5, 0.05), str(random.choice(["tail", "head"]))
    lean = random.normal(0, 0.003)
    one = {"along": along, "toward": toward}
    which = random.choice(["left", "right", "both"])
    for side, name in ((1, "left"), (-1, "right")):
        if which in (name, "both"):
            out = at(random, 0.4, 3, 0.05)
            cosine = side * (1 if toward == "head" else -1) * np.sin(lean)
            one[f"{name}_out"] = out
            one[f"{name}_slant"] = round(float(np.sqrt(along**2 + out**2 - 2 * along * out * cosine)), 4)
    return one, []


def diagonals(random):
    along, out, lean = at(random, 0.8, 5, 0.05), at(random, 0.4, 3, 0.05), random.normal(0, 0.003)
    slant = lambda sign: round(float(np.sqrt(along**2 + out**2 - sign * 2 * along * out * np.sin(lean))), 4)
    return {
        "along": along, "out": out, "toward": str(random.choice(["tail", "head"])),
        "left_slant": slant(1), "right_slant": slant(-1),
    }, []


def spirit(random):
    packing = lambda: at(random, 0, 0.003, 0.00005)
    one = {"base": at(random, 0.2, 1.2, 0.05), "left_packing": packing(), "right_packing": 0.0}
    if random.random() < 0.8:
        one |= {"left_turned": packing(), "right_turned": packing()}
    return one, []


def water(random):
    return {
        "left": at(random, 0.1, 0.12, 0.0005), "right": at(random, 0.1, 0.12, 0.0005), "across": at(random, 0.6, 2.5, 0.01),
        "bigger": str(random.choice(["lower", "higher"])),
    }, []


def snub(random):
    away = at(random, 0.4, 3, 0.01)
    return {
        "from": str(random.choice(["pulley", "line"])), "left": round(away + random.normal(0, 0.002), 4), "right": away,
        "across": at(random, 0.5, 2.2, 0.01),
    }, []


def rolls(random, turn):
    clean = at(random, 0.06, 0.2, MM)
    one = {"clean": maybe(random, 0.7, clean)}
    size = lambda: round(float((clean + random.normal(0.001, 0.002)) * turn), 5)
    rows = [[number, size(), maybe(random, 0.5, size()), size()] for number in range(1, random.integers(2, 5))]
    return one, rows


def runout(random):
    count = random.integers(6, 8)
    rows = []
    left, right = random.normal(0, MM, 2), random.normal(0, MM, 2)
    for place in range(count):
        turn = round(2 * np.pi * place / count, 3)
        swing = lambda it: round(float(it @ [np.cos(turn), np.sin(turn)] + random.normal(0, 0.0002)), 5)
        rows.append([turn, swing(left), swing(right)])
    return {}, rows


def eight(left, right):
    """Readings at eight places of a turn, of swings of one size and phase each."""
    turns = [round(2 * np.pi * place / 8, 8) for place in range(8)]
    return [[turn, *(round(float(size * np.cos(turn - phase)), 8) for size, phase in (left, right))] for turn in turns]


def heights(random):
    rows, place = [], 0.0
    for number in range(1, random.integers(4, 6)):
        place = round(place + random.uniform(0.9, 1.5), 1)
        rows.append([number, place, at(random, 0.1, 0.11, 0.0005), at(random, 0.1, 0.11, 0.0005)])
    return {"bigger": str(random.choice(["lower", "higher"]))}, rows


def slip_timed(random):
    diameter, thickness = at(random, 0.2, 1.2, 0.005), maybe(random, 0.7, at(random, 0.005, 0.025, MM))
    turns, time = int(random.integers(10, 60)), at(random, 20, 90, 0.1)
    path = turns * np.pi * (diameter + (thickness or 0))
    passed = round(path * random.uniform(0.9, 1.0), 2)
    return {"diameter": diameter, "thickness": thickness, "turns": turns, "turns_time": time, "passed": passed, "passed_time": time}, []


def slip_speeds(random):
    speed = at(random, 0.3, 5, 0.01)
    return {"pulley_speed": speed, "belt_speed": round(speed * random.uniform(0.9, 1.0), 3)}, []


def weight(random):
    hangs = at(random, 1000, 60_000, 10)
    return {
        "weight": hangs, "carriage_parts": maybe(random, 0.6, int(random.integers(1, 5))),
        "weight_parts": maybe(random, 0.6, int(random.integers(1, 5))), "own_weight": maybe(random, 0.6, at(random, 500, 9000, 10)),
        "slope": maybe(random, 0.5, at(random, 0, 0.4, 0.01)), "drawn": maybe(random, 0.6, at(random, 1000, 60_000, 10)),
        "width": maybe(random, 0.7, at(random, 0.4, 2, 0.05)), "rated_tension": maybe(random, 0.7, at(random, 1e4, 1e5, 500)),
        "needed": maybe(random, 0.6, at(random, 500, 20_000, 10)),
    }, []


LINE = ["off", "lead-share", "bend"]
WEIGHT = ["weight", "carriage_parts", "weight_parts", "own_weight", "slope", "drawn", "width", "rated_tension", "needed"]

BLOCKS = [
    dict(
        gauge="bow", way="string", model=checks.bow, draw=bow, single=["edge", "width"], columns=["part", "at", "gap"],
        figures=["bow-share", "bow", "largest", "edge-longer"],
        named=[
            ("straight", {"edge": "left"}, arc(0.0, 10.0)),
            ("50 mm in 10 m", {"edge": "left", "width": 0.9}, arc(0.05, 10.0)),
            ("two lengths bowed opposite ways", {"edge": "right", "width": 1.2}, arc(0.06, 10.0, 1) + arc(-0.08, 12.0, 2)),
        ],
    ),
    dict(
        gauge="line", way="triangles", share=2, model=checks.line_triangles, draw=triangles,
        single=["along", "toward", "left_out", "left_slant", "right_out", "right_slant"], columns=[], figures=LINE,
        named=[
            ("three four five", {"along": 4.0, "toward": "head", "left_out": 3.0, "left_slant": 5.0}, []),
            ("both arms, the line bent", {"along": 4.0, "toward": "tail", "left_out": 3.0, "left_slant": 5.004, "right_out": 3.0, "right_slant": 5.0}, []),
        ],
    ),
    dict(
        gauge="line", way="diagonals", share=2, model=checks.line_diagonals, draw=diagonals,
        single=["along", "toward", "out", "left_slant", "right_slant"], columns=[], figures=LINE,
        named=[("4 mm between the diagonals", {"along": 4.0, "toward": "head", "out": 3.0, "left_slant": 4.998, "right_slant": 5.002}, [])],
    ),
    dict(
        gauge="level", way="spirit", share=2, model=checks.level_spirit, draw=spirit,
        single=["base", "left_packing", "right_packing", "left_turned", "right_turned"], columns=[], figures=["fall", "slope", "own"],
        named=[
            ("a level that is itself off", {"base": 0.5, "left_packing": 0.001, "right_packing": 0.0, "left_turned": 0.0, "right_turned": 0.0}, []),
            ("low on the right", {"base": 0.5, "left_packing": 0.0, "right_packing": 0.002, "left_turned": 0.0, "right_turned": 0.002}, []),
        ],
    ),
    dict(
        gauge="level", way="water", share=2, model=checks.level_water, draw=water, single=["left", "right", "across", "bigger"],
        columns=[], figures=["fall", "slope"],
        named=[("2 mm lower on the left", {"left": 0.102, "right": 0.1, "across": 1.0, "bigger": "lower"}, [])],
    ),
    dict(
        gauge="snub", way="tape", model=checks.snub, draw=snub, single=["from", "left", "right", "across"], columns=[],
        figures=["difference", "angle"],
        named=[
            ("square", {"from": "pulley", "left": 0.8, "right": 0.8, "across": 1.0}, []),
            ("met first on the left", {"from": "pulley", "left": 0.8, "right": 0.804, "across": 1.0}, []),
            ("met first on the right", {"from": "line", "left": 1.203, "right": 1.2, "across": 0.9}, []),
        ],
    ),
    dict(
        gauge="roll", way="caliper", share=2, model=lambda one, rows: checks.rolls(one, rows, False), draw=lambda random: rolls(random, 1.0),
        single=["clean"], columns=["roll", "left", "middle", "right"], figures=["cake", "worn", "cone"],
        named=[
            ("clean", {"clean": 0.108}, [[1, 0.108, None, 0.108]]),
            ("caked at the left end", {"clean": 0.108}, [[1, 0.114, 0.11, 0.109], [2, 0.108, 0.108, 0.108]]),
        ],
    ),
    dict(
        gauge="roll", way="girth", share=2, model=lambda one, rows: checks.rolls(one, rows, True), draw=lambda random: rolls(random, np.pi),
        single=["clean"], columns=["roll", "left", "middle", "right"], figures=["cake", "worn", "cone"],
        named=[("round the roll", {"clean": 0.1}, [[1, 0.33, 0.32, 0.31416]])],
    ),
    dict(
        gauge="runout", way="dial", model=checks.runout, draw=runout, single=[], columns=["turned", "left", "right"],
        figures=["runout-left", "runout-right", "off-centre-left", "off-centre-right", "together", "against"],
        named=[
            ("true", {}, eight((0.0, 0.0), (0.0, 0.0))),
            ("a bent shaft", {}, eight((0.001, 0.5), (0.001, 0.5))),
            ("a shell askew on its shaft", {}, eight((0.001, 0.5), (0.001, round(0.5 + np.pi, 6)))),
        ],
    ),
    dict(
        gauge="height", way="level", model=checks.height, draw=heights, single=["bigger"], columns=["idler", "at", "left", "right"],
        figures=["rise", "rise-share", "across"],
        named=[
            ("all on a slope", {"bigger": "higher"}, [[n, 1.2 * n, round(0.1 + 0.01 * n, 4), round(0.1 + 0.01 * n, 4)] for n in (1, 2, 3, 4)]),
            ("one stands high", {"bigger": "lower"}, [[1, 1.2, 0.1, 0.1], [2, 2.4, 0.095, 0.095], [3, 3.6, 0.1, 0.1]]),
            ("one low on the left", {"bigger": "lower"}, [[1, 1.2, 0.1, 0.1], [2, 2.4, 0.106, 0.1], [3, 3.6, 0.1, 0.1]]),
        ],
    ),
    dict(
        gauge="slip", way="timed", share=2, model=checks.slip_timed, draw=slip_timed,
        single=["diameter", "thickness", "turns", "turns_time", "passed", "passed_time"], columns=[],
        figures=["slip", "pulley-speed", "belt-speed"],
        named=[
            ("none, thickness counted", {"diameter": 0.5, "thickness": 0.01, "turns": 20, "turns_time": 20.0, "passed": round(20 * np.pi * 0.51, 9), "passed_time": 20.0}, []),
            ("a tenth", {"diameter": 0.5, "turns": 20, "turns_time": 20.0, "passed": round(18 * np.pi * 0.5, 9), "passed_time": 20.0}, []),
        ],
    ),
    dict(
        gauge="slip", way="speeds", share=2, model=checks.slip_speeds, draw=slip_speeds, single=["pulley_speed", "belt_speed"],
        columns=[], figures=["slip", "pulley-speed", "belt-speed"],
        named=[("5 of 100", {"pulley_speed": 2.0, "belt_speed": 1.9}, [])],
    ),
    dict(
        gauge="weight", way="hung", model=checks.weight, draw=weight, single=WEIGHT, columns=[],
        figures=["pull", "strand", "over-drawn", "rated-share", "margin"],
        named=[
            ("hangs at the pulley", {"weight": 10_000.0, "own_weight": 3000.0}, []),
            ("a carriage pulled by two parts", {"weight": 10_000.0, "carriage_parts": 2, "own_weight": 4000.0, "slope": 0.0}, []),
            ("a weight on two parts, up a slope", {"weight": 10_000.0, "weight_parts": 2, "own_weight": 4000.0, "slope": 0.2, "drawn": 9000.0, "needed": 3000.0}, []),
        ],
    ),
]

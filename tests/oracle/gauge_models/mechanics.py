"""Pull, sag, loads and slopes: differential equations integrated and linear systems solved, no closed forms ported."""

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from .geometry import sides

G = 9.81
POUND = 4.4482216152605
INCH = 0.0254
STEEL = 29e6 * POUND / INCH**2


# --- sag and pull ---


def hang(pull, line_weight, span):
    """How deep a strand hangs half way: curvature is line weight over pull; integrated twice from support to middle."""
    curvature = line_weight / pull
    return quad(lambda x: quad(lambda _: curvature, x, span / 2)[0], 0, span / 2, epsabs=0, epsrel=1e-12)[0]


def pull_of(sag, line_weight, span):
    start = line_weight * span**2 / (8 * sag)
    return brentq(lambda pull: hang(pull, line_weight, span) / sag - 1, start / 3, start * 3, xtol=1e-9, rtol=1e-13)


def grip(effective, wrap, friction):
    """Slack pull that the belt needs: along the wrap the pull grows by friction times itself."""
    grown = solve_ivp(lambda _, pull: friction * pull, (0, wrap), [1.0], rtol=1e-12, atol=1e-14, method="DOP853")
    return effective / (grown.y[0, -1] - 1)


def grip_needs(one, follows):
    effective = one.get("pull")
    if effective is None and one.get("motor_kw") is not None:
        effective = one["motor_kw"] * 1000 / one["speed"]
    if effective is None:
        return None
    lagged = one.get("lagging") == "lagged"
    friction = 0.35 if lagged else 0.25
    wrap = one.get("wrap") or np.pi
    needs = grip(effective, wrap, friction)
    if follows:
        return needs
    # Screws: a table's figure at half a turn, other wraps in proportion.
    return needs * (0.8 if lagged else 1.2) / grip(1.0, np.pi, friction)


def sag(one, rows, carry, follows):
    span, depth = one["spacing"], np.mean([sag for _, sag in rows])
    figures = {"sag-share": depth / span, "sag": depth}
    mass = one.get("mass")
    lies = (one.get("load") or 0.0) if carry else 0.0
    pull = None
    if mass is not None:
        pull = pull_of(depth, (mass + lies) * G, span)
        figures["pull"] = pull
    pitch = span if carry else one.get("carry_pitch")
    figures["grip-needs"] = grip_needs(one, follows)
    if None not in (mass, pitch, one.get("full_load")):
        figures["carry-needs"] = pull_of(0.02 * pitch, (mass + one["full_load"]) * G, pitch)
    needs = [figures[name] for name in ("grip-needs", "carry-needs") if figures.get(name) is not None]
    if pull is not None and needs:
        figures["margin"] = pull / max(needs)
    if None not in (pull, one.get("width"), one.get("rated_tension")):
        figures["rated-share"] = pull / (one["width"] * one["rated_tension"])
    return sides(figures)


# --- take-up ---


def path(centres):
    """Belt on two pulleys that count as points: out and back."""
    return 2 * centres


def stretch(moved, centres):
    return path(centres + moved) / path(centres) - 1


def modulus_of(one):
    if one.get("modulus") is not None:
        return one["modulus"]
    if one.get("rated_tension") is None:
        return None
    return one["rated_tension"] / 0.015


def takeup(one, _rows, outward):
    sign = -1 if outward else 1
    left, right = sign * one["left"], sign * one["right"]
    figures = {"lead": abs(left - right)}
    if one.get("bearing_centres") is not None:
        figures["skew"] = abs(np.angle(complex(one["bearing_centres"], left - right)))
    if one.get("left_before") is not None:
        left_before, right_before = sign * one["left_before"], sign * one["right_before"]
        figures["lead-before"] = abs(left_before - right_before)
        moved = (left + right) / 2 - (left_before + right_before) / 2
        figures["moved"] = moved
        if one.get("centres") is not None:
            strain = stretch(moved, one["centres"])
            figures["strain"] = strain
            modulus = modulus_of(one)
            if None not in (modulus, one.get("width")):
                rise = modulus * one["width"] * strain
                figures["rise"] = rise
                figures["pull-rise"] = 2 * rise
                if one.get("load") is not None:
                    figures["rise-share"] = rise / one["load"]
    return figures


# --- one screw moved ---


def end_moment(stiffness, pull, length, slope):
    """Moment that turns the end of a pulled strand by a slope, the far end square, no force across: `EI y'''' = T y''`.

    Unknowns are the factors of 1, x, exp(-Kx), exp(-K(L-x)), so that nothing grows without bound.
    """
    k = np.sqrt(pull / stiffness)
    near, far = np.exp(-k * length), 1.0

    def row(x, order):
        a, b = np.exp(-k * x), np.exp(-k * (length - x))
        return [1.0 if order == 0 else 0.0, x if order == 0 else (1.0 if order == 1 else 0.0), (-k) ** order * a, k**order * b]

    force = stiffness * np.array(row(0, 3)) - pull * np.array(row(0, 1))
    system = np.array([row(0, 0), row(0, 1), row(length, 1), force / pull])
    factors = np.linalg.solve(system, [0.0, slope, 0.0, 0.0])
    assert near <= far
    return -stiffness * np.dot(row(0, 2), factors)


def beam_slope(arm, bearings, loads, stiffness):
    """Slope of a shaft at its first hub: a beam of three elements on two supports, solved for its eight freedoms."""
    places = [0.0, arm, bearings - arm, bearings]
    system = np.zeros((8, 8))
    for at, (start, end) in enumerate(zip(places, places[1:])):
        h = end - start
        block = stiffness / h**3 * np.array(
            [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h], [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]]
        )
        system[2 * at : 2 * at + 4, 2 * at : 2 * at + 4] += block
    free = [1, 2, 3, 4, 5, 7]
    right = np.zeros(8)
    right[2], right[4] = loads
    moved = np.linalg.solve(system[np.ix_(free, free)], right[free])
    return moved[free.index(3)]


def hub_loads(arm, bearings, near, far):
    """Loads of both hubs that rest so on both bearings."""
    share = (bearings - arm) / bearings
    return np.linalg.solve([[share, 1 - share], [1 - share, share]], [near, far])


def side_load(one, _rows, follows):
    width, bearings, centres = one["width"], one["bearing_centres"], one["centres"]
    before, moved, modulus = one["load"], one["moved"], modulus_of(one)
    # The middle of the pulley goes half as far as its one end.
    rise = 0.0 if follows else modulus * width * stretch(moved / 2, centres)
    pull = before + rise
    inertia = 2 * quad(lambda y: y * y, 0, width / 2)[0]
    slope = moved / bearings
    moment = end_moment(modulus * inertia, pull, centres, slope)
    # No pull lies outside the belt; two strands turn the pulley, two bearings hold it.
    moment_held = np.clip(moment, -pull * width / 2, pull * width / 2)
    moved_side, other_side = np.linalg.solve(
        [[1, 1], [bearings / 2, -bearings / 2]], [2 * pull, 2 * moment_held]
    )
    tight, slack = (moved_side, other_side) if moved >= 0 else (other_side, moved_side)
    edge = abs(moment) * (width / 2) / inertia
    figures = {
        "load-tight": tight,
        "load-slack": slack,
        "ratio": tight / slack,
        "skew": abs(np.angle(complex(bearings, moved))),
        "slack-edge": max(pull / width - edge, 0.0),
        "tight-edge": pull / width + edge,
        "absorbed": modulus * inertia * slope / moment,
        "tension": pull,
    }
    for name, power in (("ball", 3), ("roller", 10 / 3)):
        if one.get("bearings") in (None, name):
            figures[f"life-left-{name}"] = np.exp(-power * np.log(tight / before))
            figures[f"life-against-{name}"] = np.exp(-power * np.log(tight / slack))
    if rise > 0:
        later = before + (one.get("corrections") or 3) * rise
        figures |= {"tension-later": later, "tension-times": later / before}
    if None not in (one.get("hub_arm"), one.get("shaft")):
        arm, diameter = one["hub_arm"], one["shaft"]
        second = quad(lambda r: np.pi * r**3, 0, diameter / 2)[0]
        figures["hub-slope"] = beam_slope(arm, bearings, hub_loads(arm, bearings, tight, slack), STEEL * second)
        figures["hub-slope-before"] = beam_slope(arm, bearings, (before, before), STEEL * second)
        stress = tight * arm * (diameter / 2) / second
        figures["shaft-bending"] = stress / (8000 * POUND / INCH**2)
    if None not in (one.get("bearing_rating"), one.get("diameter"), one.get("speed"), one.get("bearings")):
        power = 3 if one["bearings"] == "ball" else 10 / 3
        a_turn = np.pi * one["diameter"] / one["speed"]
        for name, load in (("life-before", before), ("life-after", tight)):
            life = 1e6 * (one["bearing_rating"] / load) ** power * a_turn
            if life <= 1e6 * 3600:
                figures[name] = life
    return figures


# --- the rest ---

FABRIC = {"most": (1.8, 3.2, 4.0), "middle": (1.6, 2.4, 3.2), "little": (1.2, 1.8, 2.4)}
CORD = {"most": (4.0, 6.8, 8.0), "middle": (3.2, 5.2, 6.4), "little": (2.0, 3.6, 4.4)}


def edge_rise(width, angle, height):
    """A third of the belt goes up the wing roll."""
    up = np.linalg.norm(np.array([0.0, width / 3]) * np.array([np.cos(angle), np.sin(angle)]))
    return up if height == "centre-roll" else up / 2


def transition(one, _rows):
    distance = one["distance"]
    rise = edge_rise(one["width"], one["trough_angle"], one["height"])
    figures = {
        "distance": distance,
        "widths": distance / one["width"],
        # The edge runs up a straight slope: the root of both squares, less the way along.
        "edge-strain": np.hypot(distance, rise) / distance - 1,
    }
    if None not in (one.get("modulus"), one.get("rated_tension")):
        stiff = one["modulus"] / one["rated_tension"]
        # A row of the table stands for the most that it may be of the rated pull.
        used = {"most": 1.0, "middle": 0.9, "little": 0.6}[one.get("pull_used") or "most"]
        figures["edge-pull"] = used + stiff * figures["edge-strain"]
        # As the standard has it the edge's strain is half the square of rise over distance; 115 % is the most.
        over = lambda far: used + stiff * (rise / far) ** 2 / 2 - 1.15
        figures["by-stretch"] = brentq(over, 1e-6 * rise, 1e6 * rise, xtol=1e-12, rtol=1e-13)
    return figures


def load_edges(one, _rows):
    right_edge, left_edge = 0.0, one["width"]
    middle_of_load = ((left_edge - one["bare_left"]) + (right_edge + one["bare_right"])) / 2
    return laid(middle_of_load - one["width"] / 2, one)


def load_offset(one, _rows):
    return laid(one["offset"] if one["side"] == "left" else -one["offset"], one)


def laid(off, one):
    load, belt = one.get("load_mass"), one.get("belt_mass")
    weights = (1.0, 0.0) if None in (load, belt) else (load, belt)
    # The common centre of gravity comes to lie over the middle of the trough.
    shift = -np.average([off, 0.0], weights=weights)
    return {"offset": off, "offset-share": off / one["width"], "bound": shift}


def heat(one, _rows):
    left, right = one["left"], one["right"]
    figures = {"left": left, "right": right, "difference": abs(left - right)}
    if one.get("left_before") is not None:
        figures["left-change"] = left - one["left_before"]
    if one.get("right_before") is not None:
        figures["right-change"] = right - one["right_before"]
    if one.get("ambient") is not None:
        figures |= {"left-rise": left - one["ambient"], "right-rise": right - one["ambient"]}
    return figures


def trim(one, _rows):
    feet = one.get("foot_spacing")
    degrees = np.pi / 180
    if feet is None:
        step = 0.006
    else:
        tangent = np.sin(0.4 * degrees) / np.cos(0.4 * degrees)
        step = min(max(round(1000 * feet * tangent), 1), 10) / 1000
    pitch = one["carry_pitch"] if one["strand"] == "carry" else one["return_pitch"]
    before = one["place"] if one["strand"] == "carry" else one["centres"] - one["place"]
    shifted = [station for station in (2, 3, 4) if before - station * pitch >= 1.5 * pitch]
    if not shifted:
        return None
    figures = {"step": step, "idlers": float(len(shifted)), "drift": one["drift"]}
    if feet is not None:
        figures["angle"] = np.angle(complex(feet, step))
    turn = one.get("turn")
    if turn is None and one.get("speed") is not None:
        turn = (one.get("belt_length") or 2 * one["centres"]) / one["speed"]
    if turn is not None:
        figures["watch"] = 3 * turn
    return figures

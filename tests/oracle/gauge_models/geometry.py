"""Tape, string and square: points are drawn, and what was measured is found again by root finding and least squares."""

import numpy as np
from scipy.optimize import brentq, fsolve
from scipy.stats import theilslopes


def sides(figures):
    """Figures that could be worked out."""
    return {name: size for name, size in figures.items() if size is not None}


# --- the joint of the belt ---


def joint_angle(lead, width, belt_angle):
    """Angle of the joint from square to a belt that lies askew to the string: by components of the joint's own line."""
    along, across = np.array([lead, width]) @ np.array(
        [[np.cos(belt_angle), -np.sin(belt_angle)], [np.sin(belt_angle), np.cos(belt_angle)]]
    )
    return np.arctan2(along, across)


def joint(width, behind, ahead, slant, span, length, speed):
    meant = np.arctan2(slant or 0.0, width)
    found = [angle - meant for angle in (behind, ahead) if angle is not None]
    worst = max(found, key=abs)
    kink = None if None in (behind, ahead) else ahead - behind
    thrown = worst if kink is None else kink
    return sides(
        {
            "lead": width * np.tan(worst),
            "angle": worst,
            "kink": None if kink is None else np.tan(kink),
            "jump": None if span is None else abs(np.tan(thrown)) * span,
            "between": None if None in (length, speed) else length / speed,
        }
    )


def splice_marks(one, rows):
    width = np.mean([left + right for _, left, right in rows])
    lead = one["ahead_left"] - one["ahead_right"]

    def angle(marks):
        if len(marks) < 2:
            return None
        along, left, right = np.array(marks).T
        design = np.column_stack([np.ones_like(along), along])
        _, slope = np.linalg.lstsq(design, (left - right) / 2, rcond=None)[0]
        # The belt points to the left of the string by that slope, so its own square leans back by as much.
        return joint_angle(lead, width, np.arctan(slope))

    behind = angle([row for row in rows if row[0] < one["joint"]])
    ahead = angle([row for row in rows if row[0] >= one["joint"]])
    return joint(width, behind, ahead, one.get("slant"), one.get("span"), one.get("belt_length"), one.get("speed"))


def splice_diagonals(one, _rows):
    along, width = one["along"], one["width"]

    def points(angle, toward):
        """Ends of the joint, and the marks so far along the straight edges from them."""
        half, lead = width / 2, width / 2 * np.tan(angle)
        left, right = np.array([lead, half]), np.array([-lead, -half])
        step = np.array([toward * along, 0.0])
        return left, right, left + step, right + step

    def angle(from_left, from_right, toward):
        if from_left is None:
            return None

        def misfit(angle):
            left, right, far_left, far_right = points(angle, toward)
            ours = np.dot(far_right - left, far_right - left) - np.dot(far_left - right, far_left - right)
            return ours - (from_left**2 - from_right**2)

        return brentq(misfit, -1.3, 1.3, xtol=1e-15, rtol=1e-14)

    behind = angle(one["tail_from_left"], one["tail_from_right"], -1)
    ahead = angle(one.get("head_from_left"), one.get("head_from_right"), 1)
    return joint(width, behind, ahead, one.get("slant"), one.get("span"), one.get("belt_length"), one.get("speed"))


# --- end pulleys and bays ---


def square_pulley(one, _rows):
    across, left, right = one["across"], one["left"], one["right"]
    figures = {"difference": left - right, "angle": np.arcsin(abs(left - right) / across)}
    if one.get("from_left") is not None:
        base_left, base_right = np.array([0.0, across / 2]), np.array([0.0, -across / 2])

        def point(near, straight, far, crosswise, guess):
            return fsolve(
                lambda it: [
                    np.linalg.norm(it - near) - straight,
                    np.linalg.norm(it - far) - crosswise,
                ],
                guess,
                xtol=1e-12,
            )

        at_left = point(base_left, left, base_right, one["from_left"], [left, across / 2])
        at_right = point(base_right, right, base_left, one["from_right"], [right, -across / 2])
        middle = (at_left + at_right) / 2
        # Both shafts lie at right angles to the base; a middle that lies aside is a line askew to both of them.
        lead = across * middle[1] / middle[0]
        figures["askew-alike"] = lead if one["pulley"] == "head" else -lead
    return figures


def square_bay(one, _rows):
    along = (one["left"] + one["right"]) / 2
    across = (one["tail"] + one["head"]) / 2

    def misfit(angle):
        """Equal opposite sides, the left beam ahead by that angle."""
        tail_left = across * np.array([np.sin(angle), np.cos(angle)])
        step = np.array([along, 0.0])
        head_left = tail_left + step
        from_left = step - tail_left
        return from_left @ from_left - head_left @ head_left - (one["from_left"] ** 2 - one["from_right"] ** 2)

    angle = brentq(misfit, -1.5, 1.5, xtol=1e-15, rtol=1e-14)
    return {
        "diagonals": one["from_left"] - one["from_right"],
        "widths": one["head"] - one["tail"],
        "lengths": one["left"] - one["right"],
        "lead": across * np.tan(angle),
    }


# --- frame and idlers ---


def spread_about(slope, x, y):
    off = y - slope * x
    return off.max() - off.min()


def narrowest(x, y):
    """The narrowest zone: two points lie on one of its edges, so all pairs are tried."""
    slopes = [(y[j] - y[i]) / (x[j] - x[i]) for i in range(len(x)) for j in range(i + 1, len(x))]
    return min(spread_about(slope, x, y) for slope in slopes)


def frame_string(one, rows, stretch=12.0):
    x, gap = np.array(rows).T
    y = gap if one["line"] == "right" else -gap
    slope = theilslopes(y, x).slope
    height = np.median(y - slope * x)
    off = y - height - slope * x
    windows = [
        narrowest(x[i:j], y[i:j])
        for i in range(len(x))
        for j in range(i + 3, len(x) + 1)
        if x[j - 1] - x[i] <= stretch + 1e-9
    ]
    fitted = np.polynomial.polynomial.polyfit(x, y, 1)
    return sides(
        {
            "station": off[np.argmax(np.abs(off))],
            "stretch": max(windows) if windows else None,
            "zone": narrowest(x, y),
            "zone-theil-sen": spread_about(slope, x, y),
            "zone-least-squares": spread_about(fitted[1], x, y),
            "askew": 10 * slope,
        }
    )


def frame_level(one, rows):
    _, left, right = np.array(rows).T
    high = left - right if one["bigger"] == "higher" else right - left
    low, worst = np.sort(np.abs(high))[-2:]
    if worst - low < 1e-6:
        # Which of two alike is the worst is nobody's business.
        return None
    return {"across": high[np.argmax(np.abs(high))], "mean": high.mean()}


def idlers(one, rows):
    nearer_head = [(left - right) * (1 if one["datum"] == "tail" else -1) for _, left, right, _ in rows]
    worst = max(nearer_head, key=abs)

    def along(angle):
        """How far one of two points `across` apart leads the other."""
        return one["across"] * np.sin(angle) - worst

    angle = brentq(along, -1.5, 1.5, xtol=1e-15, rtol=1e-14)
    figures = {"lead": (one.get("width") or one["across"]) * np.sin(angle), "skew": angle}
    tilts = [tilt for *_, tilt in rows if tilt is not None]
    if tilts:
        figures["tilt"] = max(tilts, key=abs)
    return figures


# --- faces ---


def face(one, rows, should):
    place, diameter = np.array(rows).T
    part = (place - place[0]) / (place[-1] - place[0])
    middle = diameter[(part > 1 / 3 - 1e-9) & (part < 2 / 3 + 1e-9)]
    figures = {"crown": middle.mean() - (diameter[0] + diameter[-1]) / 2, "ends": diameter[0] - diameter[-1]}
    if should is not None:
        figures["should"] = should
    return figures


def crown_diameters(one, rows):
    return face(one, rows, one.get("drawn"))


def crown_gaps(one, rows):
    figures = face(one, [(place, -2 * gap) for place, gap in rows], one.get("drawn"))
    if one.get("parallel") != "yes":
        del figures["ends"]
    return figures

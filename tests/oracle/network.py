"""The fixture format of a network, as types, and small readings of it.

A network holds causes (only their priors) and symptoms of three kinds. The
format is written down in README.md beside this file. Nothing here computes a
belief; that is done in enumeration.py and, independently, in libraries.py.
"""

from __future__ import annotations

from typing import Literal, NotRequired, TypedDict


class Present(TypedDict):
    """How many causes may be present at once: from `min` to `max`."""

    min: int
    max: int


class Voice(TypedDict):
    """What one cause says in a pattern.

    Either `row` (one chance per answer), or `parent` and `rows`: one row per
    answer of the parent symptom, `None` where the cause has no voice.
    """

    cause: int
    weight: float
    row: NotRequired[list[float]]
    parent: NotRequired[int]
    rows: NotRequired[list[list[float] | None]]


class GradeRow(TypedDict):
    """The cumulative row of one cause in a grade; the last entry is 1."""

    cause: int
    row: list[float]


class Symptom(TypedDict):
    """One question. Which of the optional keys are there depends on `kind`."""

    kind: Literal["sign", "pattern", "grade"]
    minutes: float
    group: str | None
    leak: NotRequired[float]
    links: NotRequired[list[tuple[int, float]]]
    background: NotRequired[list[float]]
    voices: NotRequired[list[Voice]]
    base: NotRequired[list[float]]
    rows: NotRequired[list[GradeRow]]


class AskableResult(TypedDict):
    """What is expected of a symptom that may still be asked."""

    predictive: list[float]
    bits: float


class Expected(TypedDict):
    """The right numbers of one network."""

    log_evidence: float
    posterior: list[float]
    symptoms: list[AskableResult | None]
    best: int | None


class Network(TypedDict):
    """One line of networks.jsonl."""

    seed: int
    features: list[str]
    present: Present
    priors: list[float]
    symptoms: list[Symptom]
    answers: list[int | None]
    groups: list[list[int]]
    expected: NotRequired[Expected]


def sign(leak: float, links: list[tuple[int, float]], minutes: float = 1.0) -> Symptom:
    """A sign (no, yes): `leak` alone, and one link per cause."""
    return {"kind": "sign", "leak": leak, "links": links, "minutes": minutes, "group": None}


def pattern(background: list[float], voices: list[Voice], minutes: float = 1.0) -> Symptom:
    """A pattern: the background row, and one voice per cause."""
    return {
        "kind": "pattern",
        "background": background,
        "voices": voices,
        "minutes": minutes,
        "group": None,
    }


def grade(base: list[float], rows: list[GradeRow], minutes: float = 1.0) -> Symptom:
    """A grade: cumulative rows of the base and of each cause."""
    return {"kind": "grade", "base": base, "rows": rows, "minutes": minutes, "group": None}


def answer_count(symptom: Symptom) -> int:
    """How many answers the symptom has."""
    if symptom["kind"] == "sign":
        return 2
    if symptom["kind"] == "pattern":
        return len(symptom["background"])
    return len(symptom["base"])


def linked_causes(symptom: Symptom) -> list[int]:
    """Indexes of the causes that the symptom's own table depends on, sorted."""
    if symptom["kind"] == "sign":
        return sorted(cause for cause, _ in symptom["links"])
    if symptom["kind"] == "pattern":
        return sorted(voice["cause"] for voice in symptom["voices"])
    return sorted(row["cause"] for row in symptom["rows"])


def parents_of(symptom: Symptom) -> list[int]:
    """Indexes of the symptoms that a relative pattern looks at, sorted."""
    return sorted({voice["parent"] for voice in symptom.get("voices", []) if "parent" in voice})


def all_parents(network: Network) -> list[int]:
    """Indexes of all symptoms that some relative pattern looks at, sorted."""
    return sorted({parent for symptom in network["symptoms"] for parent in parents_of(symptom)})


def known_answers(network: Network) -> dict[int, int]:
    """The answered symptoms with their answers."""
    return {i: answer for i, answer in enumerate(network["answers"]) if answer is not None}


def result_of(expected: Expected, index: int) -> AskableResult:
    """The numbers of a symptom that may still be asked."""
    result = expected["symptoms"][index]
    if result is None:
        raise KeyError(f"symptom {index} is answered or closed")
    return result


def evidence_lists(network: Network) -> list[list[int]]:
    """The answered symptoms, in lists that count once each."""
    answers = network["answers"]
    grouped = {index for group in network["groups"] for index in group}
    lists = [[i] for i, answer in enumerate(answers) if answer is not None and i not in grouped]
    for group in network["groups"]:
        answered = [i for i in group if answers[i] is not None]
        if answered:
            lists.append(answered)
    return lists


def askable(network: Network) -> list[int]:
    """Indexes of the symptoms that are unanswered and not in an answered group."""
    closed = {
        index
        for group in network["groups"]
        if any(network["answers"][i] is not None for i in group)
        for index in group
    }
    return [i for i, answer in enumerate(network["answers"]) if answer is None and i not in closed]

"""The right numbers of a network, by walking through every set of causes.

Nothing clever is done on purpose: every set S with `min` to `max` causes is
listed, every likelihood is worked out for every set, and unanswered parents of
relative patterns are summed out answer by answer. The work grows with 2^causes.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import NDArray

from network import (
    Expected,
    Network,
    Present,
    Symptom,
    all_parents,
    answer_count,
    askable,
    evidence_lists,
    known_answers,
)

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


def cause_sets(causes: int, present: Present) -> Flags:
    """All allowed sets, one row each, one column per cause."""
    rows: list[list[bool]] = []
    for size in range(present["min"], min(present["max"], causes) + 1):
        for chosen in itertools.combinations(range(causes), size):
            rows.append([cause in chosen for cause in range(causes)])
    return np.array(rows, dtype=bool).reshape(len(rows), causes)


def set_priors(sets: Flags, priors: list[float]) -> Floats:
    """P(S), causes independent, given that the number present is allowed."""
    chances = np.where(sets, np.array(priors), 1.0 - np.array(priors)).prod(axis=1)
    return chances / math.fsum(chances)


def answer_chances(symptom: Symptom, sets: Flags, parent_answers: dict[int, int]) -> Floats:
    """P(answer | S) for every set (rows) and answer (columns).

    `parent_answers` must hold the answer of each symptom that this one's
    voices are relative to; other entries do not matter.
    """
    if symptom["kind"] == "sign":
        no = np.full(len(sets), 1.0 - symptom["leak"])
        for cause, link in symptom["links"]:
            no = np.where(sets[:, cause], no * (1.0 - link), no)
        return np.stack([no, 1.0 - no], axis=1)

    if symptom["kind"] == "grade":
        at_most = np.tile(np.array(symptom["base"]), (len(sets), 1))
        for link_row in symptom["rows"]:
            at_most[sets[:, link_row["cause"]]] *= np.array(link_row["row"])
        return np.diff(at_most, axis=1, prepend=0.0)

    weights = np.zeros(len(sets))
    mixed = np.zeros((len(sets), len(symptom["background"])))
    for voice in symptom["voices"]:
        relative = "parent" in voice
        row = voice["rows"][parent_answers[voice["parent"]]] if relative else voice["row"]
        if row is None:
            continue
        speaks = sets[:, voice["cause"]]
        weights[speaks] += voice["weight"]
        mixed[speaks] += voice["weight"] * np.array(row)
    silent = weights == 0.0
    mixed[silent] = np.array(symptom["background"])
    weights[silent] = 1.0
    return mixed / weights[:, None]


def bits_between(joint: Floats) -> float:
    """I(S; answer) in bits from P(S, answer), rows S, columns answers."""
    joint = joint / math.fsum(joint.ravel())
    by_set = joint.sum(axis=1, keepdims=True)
    by_answer = joint.sum(axis=0, keepdims=True)
    seen = joint > 0.0
    ratio = joint[seen] / (by_set * by_answer)[seen]
    return math.fsum(joint[seen] * np.log2(ratio))


def joint_weights(network: Network) -> tuple[Flags, Floats, dict[int, Floats]]:
    """The sets, P(S, answers) and, per askable symptom, P(S, answers, its answer).

    Symptoms that others are relative to are summed out where unanswered. A
    group with several answers counts by the geometric mean of their likelihoods.
    """
    symptoms, known = network["symptoms"], known_answers(network)
    sets = cause_sets(len(network["priors"]), network["present"])
    prior = set_priors(sets, network["priors"])
    hidden = [i for i in all_parents(network) if i not in known]
    asked = askable(network)

    total = np.zeros(len(sets))
    joints = {i: np.zeros((len(sets), answer_count(symptoms[i]))) for i in asked}
    for values in itertools.product(*(range(answer_count(symptoms[i])) for i in hidden)):
        guess = dict(zip(hidden, values))
        parent_answers = known | guess
        weight = prior.copy()
        for index, value in guess.items():
            weight *= answer_chances(symptoms[index], sets, parent_answers)[:, value]
        for members in evidence_lists(network):
            likelihood = np.ones(len(sets))
            for index in members:
                chances = answer_chances(symptoms[index], sets, parent_answers)
                likelihood *= chances[:, known[index]]
            weight *= likelihood ** (1.0 / len(members))
        total += weight
        for index in asked:
            if index in guess:
                joints[index][:, guess[index]] += weight
            else:
                chances = answer_chances(symptoms[index], sets, parent_answers)
                joints[index] += weight[:, None] * chances
    return sets, total, joints


def expected(network: Network) -> Expected:
    """Posterior, evidence, predictive chances, bits and the best next question."""
    sets, total, joints = joint_weights(network)
    evidence = math.fsum(total)
    results: list = [None] * len(network["symptoms"])
    rates: dict[int, float] = {}
    for index, joint in joints.items():
        bits = max(0.0, bits_between(joint))
        predictive = [math.fsum(column) / evidence for column in joint.T]
        results[index] = {"predictive": predictive, "bits": bits}
        rates[index] = bits / network["symptoms"][index]["minutes"]
    return {
        "log_evidence": math.log(evidence),
        "posterior": [math.fsum(total[sets[:, c]]) / evidence for c in range(sets.shape[1])],
        "symptoms": results,
        "best": max(rates, key=lambda index: rates[index]) if rates else None,
    }

"""Makes networks.jsonl: random networks with their right numbers.

The numbers come from enumeration.py and are checked against two general
Bayesian-network libraries (libraries.py). Nothing is written unless every
difference is within the tolerance.

    python make_networks.py            make, check and write
    python make_networks.py --check    check the file that is there, write nothing

Needs what requirements.txt lists. Seeds are fixed.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
import time
import warnings
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.random import Generator

import enumeration
import libraries
from network import (
    Expected,
    GradeRow,
    Network,
    Present,
    Symptom,
    Voice,
    all_parents,
    answer_count,
    askable,
    grade,
    linked_causes,
    parents_of,
    pattern,
    result_of,
    sign,
)

HERE = Path(__file__).resolve().parent
FILE = HERE / "networks.jsonl"
REFERENCE = HERE / "nets"
TOLERANCE = 1e-9
FIRST_SEED = 1000
FIRST_WIDE_SEED = 5000
BLOCKS = 30  # each block: limited or not, relative voices or not, groups or not
WIDE = 8  # more causes than 2^causes could list, but at most 2 or 3 present
PGMPY_CAUSES = 6  # pgmpy checks networks up to this size
MINUTES = (0.5, 1.0, 1.5, 2.0, 3.0, 5.0, 10.0, 15.0)
PARTS = 10_000  # rows are made of ten-thousandths, so that they are short to write


# --- making -----------------------------------------------------------------


def shares(rng: Generator, size: int, least: int) -> list[int]:
    """`size` whole ten-thousandths, each at least `least`, that sum to PARTS."""
    drawn = rng.dirichlet(np.full(size, rng.choice([0.4, 1.0, 3.0])))
    parts = np.floor(drawn * (PARTS - least * size)).astype(int) + least
    parts[int(np.argmax(parts))] += PARTS - int(parts.sum())
    return [int(part) for part in parts]


def random_row(rng: Generator, size: int) -> list[float]:
    """Chances of `size` answers, each at least 0.001."""
    return [part / PARTS for part in shares(rng, size, 10)]


def cumulative_row(rng: Generator, size: int) -> list[float]:
    """Cumulative chances, every step a little over 0.001, the last entry 1."""
    return [int(total) / PARTS for total in np.cumsum(shares(rng, size, 12))]


def random_chance(rng: Generator, low: float, high: float) -> float:
    """A chance with three decimals; now and then one of the outermost allowed."""
    if rng.random() < 0.04:
        return float(rng.choice([0.001, 0.999]))
    return round(float(rng.uniform(low, high)), 3)


def some_causes(rng: Generator, causes: int, widest: int) -> list[int]:
    """One to `widest` causes, or, rarely, none."""
    if rng.random() < 0.02:
        return []
    count = int(rng.integers(1, min(causes, widest) + 1))
    return sorted(int(c) for c in rng.choice(causes, count, replace=False))


def random_symptom(rng: Generator, causes: int, widest: int, kind: str) -> Symptom:
    """A symptom without parents and without a group."""
    linked = some_causes(rng, causes, widest)
    minutes = float(rng.choice(MINUTES))
    if kind == "sign":
        leak = random_chance(rng, 0.001, 0.3)
        return sign(leak, [(c, random_chance(rng, 0.05, 0.97)) for c in linked], minutes)
    size = int(rng.integers(2, 6))
    if kind == "pattern":
        background = random_row(rng, size)
        voices: list[Voice] = [
            {
                "cause": c,
                "weight": float(rng.choice([0.3, 0.5, 1.0, 1.0, 2.0])),
                "row": random_row(rng, size),
            }
            for c in linked
        ]
        return pattern(background, voices, minutes)
    base = cumulative_row(rng, size)
    rows: list[GradeRow] = [{"cause": c, "row": cumulative_row(rng, size)} for c in linked]
    return grade(base, rows, minutes)


def make_relative(rng: Generator, symptoms: list[Symptom], index: int, parents: list[int]) -> None:
    """Lets some voices of a pattern depend on the answers of the parents."""
    symptom = symptoms[index]
    size = len(symptom["background"])
    for position, voice in enumerate(symptom["voices"]):
        if position >= len(parents) and rng.random() < 0.4:
            continue
        parent = parents[position % len(parents)]
        count = answer_count(symptoms[parent])
        rows: list[list[float] | None] = [random_row(rng, size) for _ in range(count)]
        for answer in range(count):
            if rng.random() < 0.25:
                rows[answer] = None
        if all(row is None for row in rows):
            rows[0] = random_row(rng, size)
        del voice["row"]
        voice["parent"] = parent
        voice["rows"] = rows


def random_relatives(rng: Generator, symptoms: list[Symptom], causes: int, widest: int) -> None:
    """Turns one or two symptoms into relative patterns; the others may be parents."""
    order = [int(i) for i in rng.permutation(len(symptoms))]
    count = 2 if len(symptoms) >= 5 and rng.random() < 0.5 else 1
    relatives, plain = order[:count], order[count:]
    for index in relatives:
        while True:
            made = random_symptom(rng, causes, max(2, widest), "pattern")
            if len(made["voices"]) >= min(2, causes):
                break
        symptoms[index] = made
    first = plain[:1]
    second = first if rng.random() < 0.5 else plain[1:2]
    if rng.random() < 0.25:
        first = plain[:2]
    make_relative(rng, symptoms, relatives[0], first)
    if count == 2:
        make_relative(rng, symptoms, relatives[1], second)


def random_groups(rng: Generator, symptoms: list[Symptom]) -> list[list[int]]:
    """One or two groups of two or three plain symptoms that nobody looks at."""
    parents = {p for symptom in symptoms for p in parents_of(symptom)}
    free = [i for i, symptom in enumerate(symptoms) if i not in parents and not parents_of(symptom)]
    free = [int(i) for i in rng.permutation(free)]
    groups = []
    for name in ("g1", "g2")[: 1 + int(rng.random() < 0.4)]:
        members = sorted(free[: int(rng.integers(2, 4))])
        free = [i for i in free if i not in members]
        if len(members) >= 2:
            groups.append(members)
            for index in members:
                symptoms[index]["group"] = name
    return groups


def drawn_answers(rng: Generator, network: Network) -> list[int]:
    """An answer to every symptom, drawn from the network itself."""
    sets = enumeration.cause_sets(len(network["priors"]), network["present"])
    chances = enumeration.set_priors(sets, network["priors"])
    chosen = sets[rng.choice(len(sets), p=chances / chances.sum())][None, :]
    drawn: dict[int, int] = {}
    symptoms = network["symptoms"]
    for index in sorted(range(len(symptoms)), key=lambda i: bool(parents_of(symptoms[i]))):
        row = enumeration.answer_chances(symptoms[index], chosen, drawn)[0]
        drawn[index] = int(rng.choice(len(row), p=row / row.sum()))
    return [drawn[i] for i in range(len(symptoms))]


def hide_some(rng: Generator, network: Network, answers: list[int]) -> list[int | None]:
    """Leaves a random share of the answers, and shapes what relatives and groups see."""
    share = float(rng.choice([0.0, 0.2, 0.4, 0.5, 0.6, 0.8, 1.0], p=[0.04, *[0.184] * 5, 0.04]))
    kept: list[int | None] = [a if rng.random() < share else None for a in answers]
    if 0.0 < share < 1.0:
        for index, symptom in enumerate(network["symptoms"]):
            if parents_of(symptom):
                kept[index] = answers[index] if rng.random() < 0.6 else None
        for parent in all_parents(network):
            kept[parent] = answers[parent] if rng.random() < 0.45 else None
        for group in network["groups"]:
            if rng.random() < 0.7:
                for index in group[: int(rng.integers(2, len(group) + 1))]:
                    kept[index] = answers[index]
    return kept


def features_of(network: Network) -> list[str]:
    """Words for what a network exercises, so that a failing test can say it."""
    symptoms, answers = network["symptoms"], network["answers"]
    relatives = [i for i, symptom in enumerate(symptoms) if parents_of(symptom)]
    seen = Counter(p for i in relatives for p in parents_of(symptoms[i]))
    answered = [i for i in relatives if answers[i] is not None]
    tests = {
        "limited": network["present"]["max"] < len(network["priors"])
        or network["present"]["min"] > 0,
        "wide": len(network["priors"]) > 12,
        "relative": bool(relatives),
        "two-parents": any(len(parents_of(symptoms[i])) > 1 for i in relatives),
        "shared-parent": any(count > 1 for count in seen.values()),
        "hidden-parent": any(answers[p] is None for i in answered for p in parents_of(symptoms[i])),
        "group": bool(network["groups"]),
        "shared-evidence": any(
            sum(answers[i] is not None for i in group) > 1 for group in network["groups"]
        ),
    }
    return [word for word, holds in tests.items() if holds]


def random_network(
    seed: int, causes: int, present: Present, relative: bool, grouped: bool
) -> Network:
    """One network with its answers, without the expected numbers."""
    rng = np.random.default_rng(seed)
    fewest = 3 + 2 * relative + 3 * grouped
    count = int(rng.integers(fewest, 21))
    if causes > 12:
        count = int(rng.integers(20, 31))
    widest = int(rng.choice([2, 3, 4, 6, 8])) if causes <= 12 else 5
    if rng.random() < 0.25 and causes <= 12:
        priors = [round(float(p), 3) for p in rng.uniform(0.02, 0.9, causes)]
    else:
        priors = [round(float(p), 4) for p in 10 ** rng.uniform(-2.7, -0.8, causes)]
    kinds = [str(k) for k in rng.choice(["sign", "pattern", "grade"], count, p=[0.4, 0.35, 0.25])]
    symptoms = [random_symptom(rng, causes, widest, kind) for kind in kinds]
    if relative:
        random_relatives(rng, symptoms, causes, widest)
    network: Network = {
        "seed": seed,
        "features": [],
        "present": present,
        "priors": priors,
        "symptoms": symptoms,
        "answers": [None] * count,
        "groups": random_groups(rng, symptoms) if grouped else [],
    }
    if rng.random() < 0.8:
        answers = drawn_answers(rng, network)
    else:  # answers that hardly fit together
        answers = [int(rng.integers(answer_count(symptom))) for symptom in symptoms]
    network["answers"] = hide_some(rng, network, answers)
    network["features"] = features_of(network)
    return network


def all_networks() -> list[Network]:
    """Every network of the file, in order, without the expected numbers."""
    networks = []
    for block in range(BLOCKS):
        causes = 2 + (block * 11) // BLOCKS
        for variant in range(8):
            seed = FIRST_SEED + 8 * block + variant
            limited, relative, grouped = variant & 1, bool(variant & 2), bool(variant & 4)
            present: Present = {"min": 0, "max": causes}
            if limited:
                # Three present of two causes is allowed and must be harmless.
                present = {"min": 1, "max": 1 + (block + variant) % 3}
            networks.append(random_network(seed, causes, present, relative, grouped))
    for number in range(WIDE):
        causes = 18 + 3 * number
        present = {"min": number % 2, "max": 3 if causes <= 30 else 2 + number % 2}
        seed = FIRST_WIDE_SEED + number
        networks.append(
            random_network(seed, causes, present, relative=number % 2 == 1, grouped=number % 4 > 1)
        )
    return networks


# --- checking ---------------------------------------------------------------


@dataclass
class Differences:
    """The largest difference per figure and how often each was compared."""

    largest: dict[str, float] = field(default_factory=dict)
    compared: Counter[str] = field(default_factory=Counter)
    networks: int = 0

    def add(self, figure: str, ours: float, theirs: float) -> None:
        """Notes one comparison; a figure that is not a number counts as infinitely off."""
        gap = abs(ours - theirs)
        gap = math.inf if math.isnan(gap) else gap
        self.largest[figure] = max(self.largest.get(figure, 0.0), gap)
        self.compared[figure] += 1

    def merge(self, other: Differences) -> None:
        """Takes in another count."""
        for figure, gap in other.largest.items():
            self.largest[figure] = max(self.largest.get(figure, 0.0), gap)
        self.compared.update(other.compared)
        self.networks += other.networks

    def worst(self) -> float:
        """The largest difference of all."""
        return max(self.largest.values(), default=0.0)


def compare(ours: Expected, theirs: libraries.Answered) -> Differences:
    """Our numbers against those of a library."""
    found = Differences(networks=1)
    found.add("log evidence", ours["log_evidence"], theirs.log_evidence)
    for left, right in zip(ours["posterior"], theirs.posterior, strict=True):
        found.add("posterior", left, right)
    for index, row in theirs.predictive.items():
        for left, right in zip(result_of(ours, index)["predictive"], row, strict=True):
            found.add("predictive", left, right)
    for index, bits in theirs.bits.items():
        found.add("bits", result_of(ours, index)["bits"], bits)
    return found


def joint_causes(network: Network) -> dict[int, list[int]]:
    """For which symptoms, and over which causes, pyAgrum is to give the bits.

    Up to 12 causes: all askable symptoms over all causes. Above that, a joint
    over all causes is out of reach: plain symptoms that nobody looks at, over
    their own causes, which hold all that the answer can tell.
    """
    if len(network["priors"]) <= 12:
        return {i: list(range(len(network["priors"]))) for i in askable(network)}
    parents = set(all_parents(network))
    return {
        i: linked_causes(network["symptoms"][i])
        for i in askable(network)
        if i not in parents and not parents_of(network["symptoms"][i])
    }


def check_one(network: Network) -> tuple[Expected, dict[str, Differences]]:
    """Enumerates one network and asks the libraries about it."""
    warnings.filterwarnings("ignore")
    ours = enumeration.expected(network)
    asked = askable(network)
    found = {"pyAgrum": compare(ours, libraries.ask_pyagrum(network, asked, joint_causes(network)))}
    if len(network["priors"]) <= PGMPY_CAUSES:
        found["pgmpy"] = compare(ours, libraries.ask_pgmpy(network, asked))
    if "expected" in network:
        found["file"] = compare(ours, read_expected(network["expected"], asked))
        found["file"].add("best", ours["best"] or 0, network["expected"]["best"] or 0)
    return ours, found


def read_expected(written: Expected, asked: list[int]) -> libraries.Answered:
    """The numbers that stand in a file, in the shape that `compare` takes."""
    return libraries.Answered(
        written["log_evidence"],
        written["posterior"],
        {i: result_of(written, i)["predictive"] for i in asked},
        {i: result_of(written, i)["bits"] for i in asked},
    )


def separate_best(network: Network, result: Expected) -> bool:
    """Whether the best question is best by more than rounding."""
    rates = sorted(
        (
            result_of(result, i)["bits"] / network["symptoms"][i]["minutes"]
            for i in askable(network)
        ),
        reverse=True,
    )
    return len(rates) < 2 or rates[0] - rates[1] > 1e-6 * rates[0]


def check_reference() -> Differences:
    """Enumeration against the older networks in nets/, made by other hands."""
    found = Differences()
    for path in sorted(REFERENCE.glob("net_*.json")):
        old = json.loads(path.read_text())
        ids = [cause["id"] for cause in old["causes"]]
        names = [question["id"] for question in old["questions"]]
        network: Network = {
            "seed": old["seed"],
            "features": [],
            "present": {"min": 0, "max": len(ids)},
            "priors": [cause["prior"] for cause in old["causes"]],
            "symptoms": [from_reference(question, ids) for question in old["questions"]],
            "answers": [old["evidence"].get(name) for name in names],
            "groups": [],
        }
        written = old["expected"]
        results = [written["questions"].get(name) for name in names]
        theirs = libraries.Answered(
            written["log_evidence"],
            [written["posterior"][name] for name in ids],
            {i: r["predictive"] for i, r in enumerate(results) if r is not None},
            {i: r["eig_joint"] for i, r in enumerate(results) if r is not None},
        )
        found.merge(compare(enumeration.expected(network), theirs))
    return found


def from_reference(question: dict, ids: list[str]) -> Symptom:
    """A question of nets/ as a symptom."""
    at = {name: index for index, name in enumerate(ids)}
    minutes = question["cost"]
    if question["kind"] == "noisy_or":
        links = [(at[name], link) for name, link in question["links"].items()]
        return sign(question["leak"], links, minutes)
    if question["kind"] == "mixture":
        voices: list[Voice] = [
            {"cause": at[name], "weight": voice["w"], "row": voice["p"]}
            for name, voice in question["voices"].items()
        ]
        return pattern(question["background"], voices, minutes)
    rows: list[GradeRow] = [
        {"cause": at[name], "row": row} for name, row in question["cum"].items()
    ]
    return grade(question["leak_cum"], rows, minutes)


# --- writing ----------------------------------------------------------------


def written(network: Network) -> str:
    """One line of the file; floats as the shortest text that reads back the same."""
    return json.dumps(network, separators=(",", ":"), allow_nan=False)


def print_summary(networks: list[Network], found: dict[str, Differences]) -> None:
    """Counts and the largest differences, a table for people."""
    words = Counter(word for network in networks for word in network["features"])
    kinds = Counter(s["kind"] for network in networks for s in network["symptoms"])
    answered = sum(a is not None for network in networks for a in network["answers"])
    print(f"{len(networks)} networks, {sum(kinds.values())} symptoms {dict(kinds)}")
    print(f"{answered} answers; networks with {dict(words)}")
    print(f"{'against':<10} {'networks':>8}  figure         compared   largest difference")
    for name, differences in found.items():
        for figure, gap in differences.largest.items():
            count = differences.compared[figure]
            print(f"{name:<10} {differences.networks:>8}  {figure:<13} {count:>9}   {gap:.1e}")


def main() -> int:
    """Makes or checks the file; 1 if anything is off by more than the tolerance."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--check", action="store_true", help="check the file, write nothing")
    parser.add_argument("--jobs", type=int, default=2, help="processes at once")
    options = parser.parse_args()

    started = time.monotonic()
    if options.check:
        networks: list[Network] = [json.loads(line) for line in FILE.read_text().splitlines()]
    else:
        networks = all_networks()
    found: dict[str, Differences] = {"nets/": check_reference()}
    with ProcessPoolExecutor(options.jobs) as pool:
        for network, (ours, differences) in zip(networks, pool.map(check_one, networks)):
            if not separate_best(network, ours):
                print(f"seed {network['seed']}: two questions tie for best", file=sys.stderr)
                return 1
            for name, gaps in differences.items():
                found.setdefault(name, Differences()).merge(gaps)
                if gaps.worst() > TOLERANCE:
                    print(f"seed {network['seed']}: {name} {gaps.largest}", file=sys.stderr)
            network["expected"] = ours
    print_summary(networks, found)
    print(f"{time.monotonic() - started:.0f} s")
    if max(differences.worst() for differences in found.values()) > TOLERANCE:
        print(f"a difference is above {TOLERANCE:g}; nothing written", file=sys.stderr)
        return 1
    if not options.check:
        FILE.write_text("".join(written(network) + "\n" for network in networks))
        print(f"{FILE.name}: {FILE.stat().st_size} bytes")
    return 0


if __name__ == "__main__":
    sys.exit(main())

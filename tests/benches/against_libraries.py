"""Our reasoning against general Bayesian-network libraries: speed and agreement.

Makes networks of 40 causes and 60 questions, gives the same answers to
everybody, and times two things: the belief in every cause, and the value (in
bits) of every question that is still open. There are two families of rows:

* any number of causes present, signs and grades only: home ground of a library,
  for nothing has to be added to its network; the first library that finishes is
  the measure of the others;
* one to three causes present, all kinds: what a rule book asks. A library needs
  a chain of counting nodes for it, which costs it dearly; plain enumeration is
  the measure.

    python against_libraries.py                              libraries only
    python against_libraries.py --ours 'command'             ours as well
    python against_libraries.py --ours 'command {file}'      network in a file
    python against_libraries.py --family any-number          one family of rows
    python against_libraries.py --quick                      two small rows of each

The command of --ours gets one network as JSON on standard input (or the path of
a file where it says {file}), in the format of ../oracle/README.md without
`expected`. It prints one JSON object:

    {"posterior": [one chance per cause], "bits": [per question, null if answered],
     "belief_us": microseconds for the posterior, "bits_us": for all the bits}

Everybody is treated alike and kindly: the time to build a network and to start
a program is not counted; libraries see only the answered questions, ask for the
causes alone, and work bits out from the joint chance of a question's own causes.
Each library runs in a process of its own, with limits on time and memory.
Needs ../oracle/requirements.txt.
"""

from __future__ import annotations

import argparse
import json
import resource
import shlex
import statistics
import subprocess
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "oracle"))

import enumeration  # noqa: E402
import libraries  # noqa: E402
from make_networks import MINUTES, cumulative_row, drawn_answers, random_row  # noqa: E402
from network import (  # noqa: E402
    GradeRow,
    Network,
    Symptom,
    Voice,
    askable,
    grade,
    linked_causes,
    pattern,
    sign,
)

TOLERANCE = 1e-9
CAUSES, QUESTIONS, AT_MOST = 40, 60, 3
REPEAT_FOR = 0.5  # seconds; quick calls are repeated that long and the best time kept
LIBRARIES = ("pyAgrum", "pgmpy")


# --- networks ---------------------------------------------------------------


@dataclass(frozen=True)
class Scenario:
    """What one row of the table is about."""

    family: str
    narrowest: int
    widest: int
    answered: int

    def __str__(self) -> str:
        """The heading of the row in the table."""
        return (
            f"{FAMILIES[self.family]}; {self.narrowest}-{self.widest} causes each, "
            f"{self.answered} answered"
        )


FAMILIES = {
    "any-number": "any number present, signs and grades",
    "limited": f"1 to {AT_MOST} present, all kinds",
}


def scenarios(family: str | None, quick: bool) -> list[Scenario]:
    """The rows of the table."""
    widths = [(3, 6)] if quick else [(3, 6), (8, 14)]
    counts = [4, 8] if quick else [4, 8, 12]
    chosen = [family] if family else list(FAMILIES)
    return [Scenario(f, low, high, n) for f in chosen for low, high in widths for n in counts]


def random_question(rng: Generator, scenario: Scenario) -> Symptom:
    """A question of any kind that touches as many causes as the scenario says."""
    count = int(rng.integers(scenario.narrowest, scenario.widest + 1))
    linked = sorted(int(c) for c in rng.choice(CAUSES, count, replace=False))
    minutes = float(rng.choice(MINUTES))
    kinds = ["sign", "grade"] if scenario.family == "any-number" else ["sign", "pattern", "grade"]
    kind, size = str(rng.choice(kinds)), int(rng.integers(3, 6))
    if kind == "sign":
        return sign(0.03, [(c, round(float(rng.uniform(0.2, 0.95)), 3)) for c in linked], minutes)
    if kind == "pattern":
        voices: list[Voice] = [
            {"cause": c, "weight": 1.0, "row": random_row(rng, size)} for c in linked
        ]
        return pattern(random_row(rng, size), voices, minutes)
    rows: list[GradeRow] = [{"cause": c, "row": cumulative_row(rng, size)} for c in linked]
    return grade(cumulative_row(rng, size), rows, minutes)


def random_network(seed: int, scenario: Scenario) -> Network:
    """A network with answers drawn from itself, one to three causes being present."""
    rng = np.random.default_rng(seed)
    network: Network = {
        "seed": seed,
        "features": [],
        "present": {"min": 1, "max": AT_MOST},
        "priors": [round(float(p), 4) for p in 10 ** rng.uniform(-2.7, -1.2, CAUSES)],
        "symptoms": [random_question(rng, scenario) for _ in range(QUESTIONS)],
        "answers": [None] * QUESTIONS,
        "groups": [],
    }
    answers = drawn_answers(rng, network)
    for index in rng.choice(QUESTIONS, scenario.answered, replace=False):
        network["answers"][int(index)] = answers[int(index)]
    if scenario.family == "any-number":
        network["present"] = {"min": 0, "max": CAUSES}
    return network


# --- a library in its own process -------------------------------------------


def timed(work: Callable[[], Any]) -> tuple[Any, float]:
    """The result and the best time in microseconds of a few runs."""
    began, best, result = time.perf_counter(), float("inf"), None
    while True:
        start = time.perf_counter()
        result = work()
        best = min(best, time.perf_counter() - start)
        if time.perf_counter() - began > REPEAT_FOR:
            return result, best * 1e6


def bits_of(causes_joint: NDArray[np.float64], table: NDArray[np.float64]) -> float:
    """Bits of a question from the joint of its causes and its table P(answer | causes)."""
    return libraries.information(causes_joint[..., None] * table, table.ndim - 1)


def with_pyagrum(network: Network, tables: dict[int, Any]) -> tuple[Callable, Callable, float]:
    """Belief and bits as calls, and the microseconds of building."""
    import pyagrum

    start = time.perf_counter()
    nodes, evidence, _ = libraries.as_nodes(network, only_answered=True)
    net = libraries.pyagrum_net(nodes)
    build = (time.perf_counter() - start) * 1e6
    names = [libraries.cause_name(c) for c in range(CAUSES)]

    def engine():  # noqa: ANN202 (the library has no stubs)
        made = pyagrum.LazyPropagation(net)
        made.setEvidence(evidence)
        made.eraseAllTargets()
        return made

    def belief() -> list[float]:
        made = engine()
        for name in names:
            made.addTarget(name)
        made.makeInference()
        return [float(made.posterior(name).toarray()[1]) for name in names]

    def bits() -> list[float | None]:
        values: list[float | None] = [None] * QUESTIONS
        for index, (causes, table) in tables.items():
            made = engine()
            wanted = [names[c] for c in causes]
            made.addJointTarget(set(wanted))
            made.makeInference()
            joint = made.jointPosterior(set(wanted))
            order = list(reversed(joint.names))
            axes = [order.index(name) for name in wanted]
            values[index] = bits_of(joint.toarray().transpose(axes), table)
        return values

    return belief, bits, build


def with_pgmpy(network: Network, tables: dict[int, Any]) -> tuple[Callable, Callable, float]:
    """Belief and bits as calls, and the microseconds of building."""
    from pgmpy.inference import VariableElimination

    start = time.perf_counter()
    nodes, evidence, _ = libraries.as_nodes(network, only_answered=True)
    engine = VariableElimination(libraries.pgmpy_net(nodes))
    build = (time.perf_counter() - start) * 1e6
    names = [libraries.cause_name(c) for c in range(CAUSES)]

    def query(wanted: list[str]):  # noqa: ANN202 (the library has no stubs)
        return engine.query(wanted, evidence=evidence, show_progress=False)

    def belief() -> list[float]:
        return [float(query([name]).values[1]) for name in names]

    def bits() -> list[float | None]:
        values: list[float | None] = [None] * QUESTIONS
        for index, (causes, table) in tables.items():
            wanted = [names[c] for c in causes]
            joint = query(wanted)
            axes = [joint.variables.index(name) for name in wanted]
            values[index] = bits_of(joint.values.transpose(axes), table)
        return values

    return belief, bits, build


def be_worker(library: str, memory_gb: float) -> None:
    """Reads a network, prints a line after the belief and one after the bits."""
    warnings.filterwarnings("ignore")
    limit = int(memory_gb * 2**30)
    resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
    network: Network = json.load(sys.stdin)
    tables = {}
    for index in askable(network):
        causes = linked_causes(network["symptoms"][index])
        node = libraries.symptom_node(network, index)
        sizes = dict.fromkeys(node.parents, 2)
        tables[index] = (causes, libraries.table_of(node, sizes))
    start = {"pyAgrum": with_pyagrum, "pgmpy": with_pgmpy}[library]
    belief, bits, build = start(network, tables)
    posterior, took = timed(belief)
    print(json.dumps({"build_us": build, "belief_us": took, "posterior": posterior}), flush=True)
    values, took = timed(bits)
    print(json.dumps({"bits_us": took, "bits": values}), flush=True)


# --- running and comparing --------------------------------------------------


@dataclass
class Run:
    """What one engine gave for one network; keys are missing where it did not finish."""

    result: dict[str, Any]
    trouble: str | None = None


def ended(errors: str | bytes | None, code: int) -> str:
    """Why a process failed, in a few words: its last line of errors, else its code."""
    text = errors.decode(errors="replace") if isinstance(errors, bytes) else errors or ""
    if "MemoryError" in text or "bad_alloc" in text or "Unable to allocate" in text:
        return "out of memory"
    lines = [line for line in text.splitlines() if line.strip()]
    return lines[-1][:100] if lines else f"ended with code {code}"


def run_library(library: str, network: Network, options: argparse.Namespace) -> Run:
    """One library on one network, in its own process."""
    command = [sys.executable, str(Path(__file__).resolve()), "--worker", library]
    command += ["--memory", str(options.memory)]
    trouble = None
    try:
        done = subprocess.run(
            command,
            input=json.dumps(network),
            capture_output=True,
            text=True,
            timeout=options.timeout,
            check=False,
        )
        output = done.stdout
        if done.returncode != 0:
            trouble = ended(done.stderr, done.returncode)
    except subprocess.TimeoutExpired as late:
        output = late.stdout.decode() if isinstance(late.stdout, bytes) else late.stdout or ""
        trouble = f"over {options.timeout:g} s"
    result: dict[str, Any] = {}
    for line in output.splitlines():
        if line.endswith("}"):
            result |= json.loads(line)
    return Run(result, trouble)


def run_ours(network: Network, options: argparse.Namespace) -> Run:
    """The command of --ours on one network."""
    text = json.dumps(network)
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        file.write(text)
        file.flush()
        words = [word.replace("{file}", file.name) for word in shlex.split(options.ours)]
        try:
            done = subprocess.run(
                words,
                input=text,
                capture_output=True,
                text=True,
                timeout=options.timeout,
                check=False,
            )
        except subprocess.TimeoutExpired:
            return Run({}, f"over {options.timeout:g} s")
        except OSError as error:
            return Run({}, str(error))
    if done.returncode != 0:
        return Run({}, ended(done.stderr, done.returncode))
    try:
        return Run(json.loads(done.stdout))
    except json.JSONDecodeError as error:
        return Run({}, f"no JSON: {error}")


def largest_gap(got: list[float | None], right: list[float | None]) -> float:
    """The largest difference of two lists of the same shape; infinite if shapes differ."""
    if len(got) != len(right) or any((a is None) != (b is None) for a, b in zip(got, right)):
        return float("inf")
    gaps = [abs(a - b) for a, b in zip(got, right) if a is not None and b is not None]
    return float(np.max(gaps)) if not np.isnan(gaps).any() else float("inf")


@dataclass
class Row:
    """One engine's line of the table, over the networks of a scenario."""

    times: dict[str, list[float]] = field(default_factory=dict)
    gaps: dict[str, float] = field(default_factory=dict)
    troubles: list[str] = field(default_factory=list)

    def add(self, run: Run, right: dict[str, list[float | None]]) -> None:
        """Takes in one network's run."""
        for key in ("build_us", "belief_us", "bits_us"):
            if key in run.result:
                self.times.setdefault(key, []).append(float(run.result[key]))
        for key in ("posterior", "bits"):
            if key in run.result and key in right:
                gap = largest_gap(run.result[key], right[key])
                self.gaps[key] = max(gap, self.gaps.get(key, 0.0))
        if run.trouble is not None:
            self.troubles.append(run.trouble)

    def median(self, key: str) -> float | None:
        """Median microseconds, or nothing if no network was finished."""
        return statistics.median(self.times[key]) if key in self.times else None


def times(ratio: float) -> str:
    """A ratio for people: 12,345x, 12x, 1.2x, 0.05x."""
    return f"{ratio:,.0f}x" if ratio >= 10 else f"{ratio:.2g}x"


def cells(row: Row, ours: Row | None) -> list[str]:
    """The figures of a row as text."""
    made = []
    build = row.median("build_us")
    made.append("-" if build is None else f"{build / 1000:.1f}")
    for key in ("belief_us", "bits_us"):
        value = row.median(key)
        made.append("-" if value is None else f"{value / 1000:.3f}")
        base = ours.median(key) if ours is not None else None
        made.append("-" if value is None or not base else times(value / base))
    for key in ("posterior", "bits"):
        made.append(f"{row.gaps[key]:.1e}" if key in row.gaps else "-")
    trouble = "; ".join(f"{row.troubles.count(t)} {t}" for t in sorted(set(row.troubles)))
    return [*made, trouble]


HEADS = [
    "",
    "build ms",
    "belief ms",
    "ratio",
    "values ms",
    "ratio",
    "off by",
    "bits off",
    "trouble",
]


def print_line(texts: list[str]) -> None:
    """One line of the table."""
    widths = [10, 10, 11, 8, 12, 8, 9, 9]
    line = texts[0].ljust(widths[0])
    line += "".join(text.rjust(width) for text, width in zip(texts[1:8], widths[1:]))
    print(f"{line}  {texts[8]}".rstrip(), flush=True)


def right_numbers(network: Network, runs: dict[str, Run]) -> dict[str, list[float | None]]:
    """By enumeration or, without a limit, by the first library that has the numbers."""
    if network["present"]["max"] > AT_MOST:
        right: dict[str, list[float | None]] = {}
        for key in ("posterior", "bits"):
            having = [runs[name].result for name in LIBRARIES if key in runs[name].result]
            if having:
                right[key] = having[0][key]
        return right
    numbers = enumeration.expected(network)
    bits = [result["bits"] if result is not None else None for result in numbers["symptoms"]]
    return {"posterior": list(numbers["posterior"]), "bits": bits}


def parsed() -> argparse.Namespace:
    """The command line."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--ours", metavar="COMMAND", help="the command that answers for us")
    parser.add_argument("--family", choices=list(FAMILIES), help="one family of rows only")
    parser.add_argument("--quick", action="store_true", help="small rows, one network each")
    parser.add_argument("--networks", type=int, default=3, help="networks per row (default 3)")
    parser.add_argument("--timeout", type=float, help="seconds per network (default 120, quick 30)")
    parser.add_argument("--memory", type=float, default=8.0, help="GB per library (default 8)")
    parser.add_argument("--seed", type=int, default=7000, help="first seed (default 7000)")
    parser.add_argument("--worker", choices=LIBRARIES, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.timeout is None:
        options.timeout = 30.0 if options.quick else 120.0
    return options


def main() -> int:
    """Prints the table; 1 if anybody's numbers are off, or ours did not finish."""
    options = parsed()
    if options.worker:
        be_worker(options.worker, options.memory)
        return 0
    good = True
    print(f"{CAUSES} causes, {QUESTIONS} questions; medians")
    for scenario in scenarios(options.family, options.quick):
        rows = {name: Row() for name in (*(["ours"] if options.ours else []), *LIBRARIES)}
        for number in range(1 if options.quick else options.networks):
            seed = options.seed + 100 * scenario.widest + 10 * scenario.answered + number
            network = random_network(seed, scenario)
            runs = {
                name: run_ours(network, options)
                if name == "ours"
                else run_library(name, network, options)
                for name in rows
            }
            right = right_numbers(network, runs)
            for name, row in rows.items():
                row.add(runs[name], right)
        print(f"\n{scenario}")
        print_line(HEADS)
        for name, row in rows.items():
            print_line([name, *cells(row, rows.get("ours"))])
            good &= all(gap <= TOLERANCE for gap in row.gaps.values())
            good &= name != "ours" or not row.troubles
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())

"""The same numbers from general Bayesian-network libraries.

A network is turned into a plain list of table nodes, written out one row at a
time in ordinary Python, so that it shares no code with enumeration.py. Two
libraries then answer exactly:

* pyAgrum (lazy propagation); signs use its own noisy-OR nodes, not a table;
* pgmpy (variable elimination).

Limits on how many causes are present become a chain of counting nodes and one
node "allowed" that is set as evidence. A group with several answers becomes one
two-valued node whose chance of "seen" is the geometric mean: the libraries then
check the inference, while the geometric mean itself is a formula of this file.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from network import (
    Network,
    Symptom,
    answer_count,
    evidence_lists,
    known_answers,
    linked_causes,
    parents_of,
)

Row = list[float]


@dataclass(frozen=True)
class Node:
    """One variable: its parents by name, and its row of chances for their values."""

    name: str
    size: int
    parents: tuple[str, ...]
    row: Callable[[tuple[int, ...]], Row]
    noisy_or: tuple[float, tuple[float, ...]] | None = None  # leak, link per parent


@dataclass
class Answered:
    """What a library said about a network."""

    log_evidence: float
    posterior: list[float]
    predictive: dict[int, list[float]]
    bits: dict[int, float]


def chances_by_hand(symptom: Symptom, present: set[int], parents: dict[int, int]) -> Row:
    """P(answer | causes present, answers of the parent symptoms), one set at a time."""
    if symptom["kind"] == "sign":
        no = 1.0 - symptom["leak"]
        for cause, link in symptom["links"]:
            if cause in present:
                no *= 1.0 - link
        return [no, 1.0 - no]
    if symptom["kind"] == "grade":
        at_most = []
        for level, start in enumerate(symptom["base"]):
            factors = [row["row"][level] for row in symptom["rows"] if row["cause"] in present]
            at_most.append(start * math.prod(factors))
        return [b - a for a, b in itertools.pairwise([0.0, *at_most])]
    heard = []
    for voice in symptom["voices"]:
        row = voice["rows"][parents[voice["parent"]]] if "parent" in voice else voice["row"]
        if voice["cause"] in present and row is not None:
            heard.append((voice["weight"], row))
    if not heard:
        return list(symptom["background"])
    whole = sum(weight for weight, _ in heard)
    return [
        sum(weight * row[answer] for weight, row in heard) / whole
        for answer in range(len(symptom["background"]))
    ]


def cause_name(index: int) -> str:
    """Name of a cause's node."""
    return f"c{index}"


def symptom_name(index: int) -> str:
    """Name of a symptom's node."""
    return f"q{index}"


def cause_node(index: int, prior: float) -> Node:
    """The node of a cause."""
    return Node(cause_name(index), 2, (), lambda _: [1.0 - prior, prior])


def symptom_node(network: Network, index: int) -> Node:
    """The node of a symptom: parents are its causes, then its parent symptoms."""
    symptom = network["symptoms"][index]
    causes, looked_at = linked_causes(symptom), parents_of(symptom)

    def row(values: tuple[int, ...]) -> Row:
        present = {cause for cause, value in zip(causes, values) if value}
        parents = dict(zip(looked_at, values[len(causes) :]))
        return chances_by_hand(symptom, present, parents)

    names = [cause_name(c) for c in causes] + [symptom_name(p) for p in looked_at]
    noisy_or = None
    if symptom["kind"] == "sign":
        links = dict(symptom["links"])
        noisy_or = (symptom["leak"], tuple(links[cause] for cause in causes))
    return Node(symptom_name(index), answer_count(symptom), tuple(names), row, noisy_or)


def group_node(network: Network, members: list[int]) -> Node:
    """A node that is 1 with the geometric mean of the members' likelihoods."""
    symptoms = network["symptoms"]
    answers = known_answers(network)
    causes = sorted({cause for i in members for cause in linked_causes(symptoms[i])})

    def row(values: tuple[int, ...]) -> Row:
        present = {cause for cause, value in zip(causes, values) if value}
        logs = [math.log(chances_by_hand(symptoms[i], present, {})[answers[i]]) for i in members]
        seen = math.exp(sum(logs) / len(logs))
        return [1.0 - seen, seen]

    name = "g" + "_".join(str(i) for i in members)
    return Node(name, 2, tuple(cause_name(c) for c in causes), row)


def counting_nodes(causes: int, least: int, most: int) -> Iterator[Node]:
    """A chain that counts the causes present, and "allowed" at its end."""
    top = most + 1

    def step(values: tuple[int, ...]) -> Row:
        count = min(top, sum(values))
        return [float(level == count) for level in range(top + 1)]

    previous: tuple[str, ...] = ()
    for cause in range(causes):
        yield Node(f"n{cause}", top + 1, (cause_name(cause), *previous), step)
        previous = (f"n{cause}",)

    def allowed(values: tuple[int, ...]) -> Row:
        inside = float(least <= values[0] <= most)
        return [1.0 - inside, inside]

    yield Node("allowed", 2, previous, allowed)


def as_nodes(
    network: Network, only_answered: bool = False
) -> tuple[list[Node], dict[str, int], dict[str, int]]:
    """All nodes (parents first), the evidence, and the part of it that is the limit.

    With `only_answered`, symptoms that are unanswered and that nobody looks at
    are left out.
    """
    causes = len(network["priors"])
    nodes = []
    for index, prior in enumerate(network["priors"]):
        nodes.append(cause_node(index, prior))
    limit: dict[str, int] = {}
    least, most = network["present"]["min"], network["present"]["max"]
    if least > 0 or most < causes:
        nodes.extend(counting_nodes(causes, least, most))
        limit["allowed"] = 1

    answers = known_answers(network)
    evidence = dict(limit)
    in_groups: set[int] = set()
    for members in evidence_lists(network):
        if len(members) == 1:
            evidence[symptom_name(members[0])] = answers[members[0]]
        else:
            in_groups.update(members)
            node = group_node(network, members)
            nodes.append(node)
            evidence[node.name] = 1
    needed = set(range(len(network["symptoms"]))) - in_groups
    if only_answered:
        needed = {i for i in needed if i in answers}
        needed |= {p for i in needed for p in parents_of(network["symptoms"][i])}
    for index in sorted(needed, key=lambda i: (bool(parents_of(network["symptoms"][i])), i)):
        nodes.append(symptom_node(network, index))
    return nodes, evidence, limit


def table_of(node: Node, sizes: dict[str, int]) -> NDArray[np.float64]:
    """The node's table: one axis per parent in order, the node itself last."""
    shape = [sizes[parent] for parent in node.parents]
    table = np.empty([*shape, node.size])
    for values in itertools.product(*(range(size) for size in shape)):
        table[values] = node.row(values)
    return table


def information(table: NDArray[np.float64], axis: int) -> float:
    """I(one axis; all others) in bits of a joint table."""
    flat = np.moveaxis(table, axis, -1).reshape(-1, table.shape[axis])
    flat = flat / flat.sum()

    def entropy(chances: NDArray[np.float64]) -> float:
        kept = chances[chances > 0.0]
        return -math.fsum(kept * np.log2(kept))

    return entropy(flat.sum(axis=0)) + entropy(flat.sum(axis=1)) - entropy(flat.ravel())


def pyagrum_net(nodes: list[Node]):  # noqa: ANN201 (the library has no stubs)
    """The nodes as a pyAgrum network."""
    import pyagrum

    net = pyagrum.BayesNet("network")
    sizes = {node.name: node.size for node in nodes}
    for node in nodes:
        variable = pyagrum.RangeVariable(node.name, node.name, 0, node.size - 1)
        if node.noisy_or is not None and node.parents:
            leak, links = node.noisy_or
            net.addNoisyORNet(variable, leak)
            for parent, link in zip(node.parents, links):
                net.addWeightedArc(parent, node.name, link)
            continue
        net.add(variable)
        for parent in node.parents:
            net.addArc(parent, node.name)
        # pyAgrum fills with the node fastest, then its first parent, and so on.
        table = table_of(node, sizes)
        axes = [*reversed(range(len(node.parents))), len(node.parents)]
        net.cpt(node.name).fillWith(np.transpose(table, axes).ravel().tolist())
    return net


def ask_pyagrum(network: Network, asked: list[int], joint_causes: dict[int, list[int]]) -> Answered:
    """Everything from pyAgrum.

    `joint_causes` names the symptoms whose bits are wanted, each with the
    causes that the joint table is to hold.
    """
    import pyagrum

    nodes, evidence, limit = as_nodes(network)
    net = pyagrum_net(nodes)

    def started(observed: dict[str, int]):  # noqa: ANN202
        engine = pyagrum.LazyPropagation(net)
        engine.setEvidence(observed)
        return engine

    engine = started(evidence)
    engine.makeInference()
    log_evidence = math.log(engine.evidenceProbability()) if evidence else 0.0
    if limit:
        outer = started(limit)
        outer.makeInference()
        log_evidence -= math.log(outer.evidenceProbability())
    posterior = [
        float(engine.posterior(cause_name(c)).toarray()[1]) for c in range(len(network["priors"]))
    ]
    predictive = {i: engine.posterior(symptom_name(i)).toarray().tolist() for i in asked}
    bits = {}
    for index, causes in joint_causes.items():
        names = {cause_name(c) for c in causes} | {symptom_name(index)}
        engine = started(evidence)
        engine.addJointTarget(names)
        engine.makeInference()
        joint = engine.jointPosterior(names)
        # The axes of the array run against the order of the names.
        axis = list(reversed(joint.names)).index(symptom_name(index))
        bits[index] = information(joint.toarray(), axis)
    return Answered(log_evidence, posterior, predictive, bits)


def pgmpy_net(nodes: list[Node]):  # noqa: ANN201 (the library has no stubs)
    """The nodes as a pgmpy network."""
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.models import DiscreteBayesianNetwork

    net = DiscreteBayesianNetwork()
    sizes = {node.name: node.size for node in nodes}
    for node in nodes:
        net.add_node(node.name)
        net.add_edges_from([(parent, node.name) for parent in node.parents])
        values = table_of(node, sizes).reshape(-1, node.size).T
        shape = [sizes[parent] for parent in node.parents]
        net.add_cpds(
            TabularCPD(node.name, node.size, values, list(node.parents) or None, shape or None)
        )
    return net


def ask_pgmpy(network: Network, asked: list[int]) -> Answered:
    """Everything from pgmpy; the evidence by the chain rule, one answer at a time."""
    from pgmpy.inference import VariableElimination

    nodes, evidence, limit = as_nodes(network)
    engine = VariableElimination(pgmpy_net(nodes))
    causes = [cause_name(c) for c in range(len(network["priors"]))]

    def query(names: list[str], observed: dict[str, int]):  # noqa: ANN202
        return engine.query(names, evidence=observed, show_progress=False)

    log_evidence = 0.0
    seen = dict(limit)
    for name, value in evidence.items():
        if name not in seen:
            log_evidence += math.log(query([name], seen).values[value])
            seen[name] = value
    posterior = [float(query([name], evidence).values[1]) for name in causes]
    predictive, bits = {}, {}
    for index in asked:
        name = symptom_name(index)
        joint = query([*causes, name], evidence)
        axis = joint.variables.index(name)
        others = tuple(i for i in range(joint.values.ndim) if i != axis)
        predictive[index] = joint.values.sum(axis=others).tolist()
        bits[index] = information(joint.values, axis)
    return Answered(log_evidence, posterior, predictive, bits)

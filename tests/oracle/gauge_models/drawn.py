"""Measurements: three with a name for each gauge, and how further ones are drawn."""

from dataclasses import dataclass, field
from typing import Callable

from . import draws_checks, draws_geometry, draws_mechanics


@dataclass
class Block:
    """One way of one gauge."""

    gauge: str
    way: str
    single: list
    columns: list
    figures: list
    model: Callable
    draw: Callable
    named: list
    facts: dict = field(default_factory=dict)
    # A gauge of several blocks shares its draws among them.
    share: int = 1


def blocks():
    for make in (*draws_geometry.BLOCKS, *draws_mechanics.BLOCKS, *draws_checks.BLOCKS):
        yield Block(**make)

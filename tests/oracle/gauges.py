"""The gauges worked out a second time, and what comes of three named and 200 drawn measurements of each.

    python gauges.py            writes gauges.jsonl
    python gauges.py --check    works all of it out again and compares

A line with "gauge" opens a block: which way is measured, the order of the readings, of the columns of a table and of
the figures, and facts of the conveyor. Each further line is one measurement: its name, if it has one, the readings,
the rows and the figures, `null` for what is not there. All is SI; shares are of one. `gauge_models/` says how the
figures are worked out; the readings are drawn from the seed below.
"""

import json
import sys
from pathlib import Path

import numpy as np

from gauge_models import drawn

SEED = 20261130
DRAWN = 200
FILE = Path(__file__).with_name("gauges.jsonl")


def short(number, digits):
    if number is None or isinstance(number, str):
        return number
    if isinstance(number, (list, tuple)):
        return [short(it, digits) for it in number]
    number = float(f"{float(number):.{digits}g}")
    return int(number) if number == int(number) and abs(number) < 1e6 else number


def worked(block, name, single, rows):
    figures = block.model(single, rows)
    if figures is None:
        return None
    unknown = set(figures) - set(block.figures)
    assert not unknown, f"{block.gauge} {block.way}: {unknown}"
    readings = [[single.get(key) for key in block.single], rows]
    # Eight digits: more than the comparison to 1e-6 needs.
    found = [figures.get(key) for key in block.figures]
    return ([name] if name else []) + short(readings, 12) + [short(found, 8)]


def lines():
    for block in drawn.blocks():
        yield {
            "gauge": block.gauge,
            "way": block.way,
            "facts": block.facts,
            "single": block.single,
            "columns": block.columns,
            "figures": block.figures,
        }
        # Each block has its own draws: a change of one leaves the others as they are.
        random = np.random.default_rng([SEED, *f"{block.gauge} {block.way} {block.facts}".encode()])
        for name, single, rows in block.named:
            line = worked(block, name, single, rows)
            assert line is not None, f"{block.gauge} {name}"
            yield line
        count = 0
        while count < DRAWN // block.share:
            line = worked(block, None, *block.draw(random))
            if line is not None:
                count += 1
                yield line


def main():
    text = "".join(json.dumps(line, separators=(",", ":")) + "\n" for line in lines())
    if "--check" not in sys.argv:
        FILE.write_text(text)
        print(len(text), "bytes")
        return
    before = FILE.read_text().splitlines()
    now = text.splitlines()
    assert len(before) == len(now), (len(before), len(now))
    for old, new in zip(before, now):
        assert close(json.loads(old), json.loads(new)), f"{old}\n{new}"


def close(old, new):
    """Equal, but for the last digits of another version of the libraries."""
    if isinstance(old, list):
        return len(old) == len(new) and all(map(close, old, new))
    if isinstance(old, (int, float)) and isinstance(new, (int, float)):
        return abs(old - new) <= 1e-7 * max(abs(old), abs(new), 1e-9)
    return old == new


if __name__ == "__main__":
    main()

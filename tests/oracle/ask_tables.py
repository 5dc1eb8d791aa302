"""Questions put to the flat tables of `straybelt logbook export` in DuckDB, and the same counted in plain Python.

    pip install -r requirements.txt
    straybelt logbook export -o all.ndjson
    python ask_tables.py all.ndjson

A thousand made visits to ask about: STRAYBELT_TABLES=/tmp/all.ndjson cargo test --test cli the_tables

Prints which causes come back, minutes by cause, and how often a stated chance came true; fails where the engine and the
plain count part. No cargo test needs Python.
"""

import json
import sys
from collections import Counter, defaultdict

import duckdb

COMES_BACK = """
    select v.conveyor, f.cause, count(*) as times
    from findings f join visits v on f.visit_id = v.id
    where f.cured group by all having count(*) > 1 order by all
"""
MINUTES = """
    select f.cause, sum(v.minutes)::bigint as minutes
    from findings f join visits v on f.visit_id = v.id
    where f.cured group by all order by all
"""
CAME_TRUE = """
    select least(floor(c.chance * 10), 9)::int as tenth, count(*) as stated,
           count(*) filter (where coalesce(f.cured, false)) as came_true
    from chances c join visits v on c.visit_id = v.id
    left join findings f on f.visit_id = c.visit_id and f.cause = c.cause
    where v.state = 'true' group by all order by all
"""


def load(path):
    rows = [json.loads(line) for line in open(path)]
    db = duckdb.connect()
    for table in sorted({row["table"] for row in rows}):
        db.execute(
            f"create table {table} as select * exclude (\"table\") from "
            f"read_json(?, format = 'newline_delimited', union_by_name = true, sample_size = -1) "
            f"where \"table\" = ?",
            [path, table],
        )
    return rows, db


def plain(rows):
    of = defaultdict(list)
    for row in rows:
        of[row["table"]].append(row)
    visits = {row["id"]: row for row in of["visits"]}
    cured = [row for row in of["findings"] if row["cured"]]
    times = Counter((visits[row["visit_id"]]["conveyor"], row["cause"]) for row in cured)
    minutes = Counter()
    for row in cured:
        minutes[row["cause"]] += visits[row["visit_id"]]["minutes"]
    was = {(row["visit_id"], row["cause"]): row["cured"] for row in of["findings"]}
    tenths = defaultdict(lambda: [0, 0])
    for row in of["chances"]:
        if visits[row["visit_id"]]["state"] == "true":
            tenth = tenths[min(int(row["chance"] * 10), 9)]
            tenth[0] += 1
            tenth[1] += bool(was.get((row["visit_id"], row["cause"]), False))
    return (
        sorted((c, k, n) for (c, k), n in times.items() if n > 1),
        sorted(minutes.items()),
        sorted((t, s, c) for t, (s, c) in tenths.items()),
    )


def main():
    rows, db = load(sys.argv[1])
    print("DuckDB", duckdb.__version__)
    for name, query, counted in zip(
        ["comes back", "minutes by cause", "chances in tenths: stated, came true"],
        [COMES_BACK, MINUTES, CAME_TRUE],
        plain(rows),
    ):
        asked = db.execute(query).fetchall()
        assert asked == counted, (name, asked, counted)
        print(name)
        for row in asked:
            print("  ", *row)


if __name__ == "__main__":
    main()

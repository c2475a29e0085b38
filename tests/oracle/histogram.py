"""Counts what generated studios reach: run as a module, optionally with a number of seeds."""

import sys
from collections import Counter

from .generate import studio
from .judge import judge

KINDS = ("status", "missing", "burn", "cycle", "vessel", "evidence")


def histogram(seeds: range) -> dict[str, Counter[str]]:
    """Return how often each status, code and verdict occurs over the seeds."""
    found: dict[str, Counter[str]] = {kind: Counter() for kind in KINDS}
    for seed in seeds:
        told = judge(*studio(seed))
        for product in told["products"].values():
            found["status"][product["status"]] += 1
            found["missing"].update(product["missing"])
            for kind in ("passed", "failed", "burning", "void"):
                found["evidence"][kind] += bool(product[kind])
        for burn in told["burns"].values():
            found["burn"][burn["verdict"]] += 1
            found["cycle"].update(burn["cycles"])
        found["vessel"].update(told["vessels"].values())
    return found


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    for kind, counted in histogram(range(count)).items():
        total = sum(counted.values())
        for name, times in counted.most_common():
            sys.stdout.write(f"{kind:9} {name:22} {times:6} {times / total:6.1%}\n")

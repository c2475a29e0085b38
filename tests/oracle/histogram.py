"""Counts what generated studios reach: run as a module, optionally with a number of seeds."""

import sys
from collections import Counter

from .generate import studio
from .judge import LISTS, judge

KINDS = (
    "status",
    "missing",
    "whys",
    "burn",
    "cycle",
    "vessel",
    "evidence",
    "failures",
    "gaps",
    "watches",
    "against",
    "unknown",
)


def histogram(seeds: range) -> dict[str, Counter[str]]:
    """Return how often each status, code and verdict occurs over the seeds."""
    found: dict[str, Counter[str]] = {kind: Counter() for kind in KINDS}
    for seed in seeds:
        told = judge(*studio(seed))
        for product in told["products"].values():
            found["status"][product["status"]] += 1
            found["missing"].update(product["missing"])
            found["whys"].update(product["whys"])
            for kind in LISTS.values():
                found["evidence"][kind] += bool(product[kind])
        for burn in told["burns"].values():
            found["burn"][burn["verdict"]] += 1
            found["cycle"].update(burn["cycles"])
            for kind in ("failures", "gaps", "watches"):
                found[kind].update(burn[kind])
        for vessel in told["vessels"].values():
            found["vessel"][vessel["screening"]] += 1
            found["against"].update(vessel["against"])
            found["unknown"].update(vessel["unknown"])
    return found


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    for kind, counted in histogram(range(count)).items():
        total = sum(counted.values())
        for name, times in counted.most_common():
            sys.stdout.write(f"{kind:9} {name:22} {times:6} {times / total:6.1%}\n")

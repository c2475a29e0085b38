"""The hunt: thousands of changes to whole studios, each judged, each approval explained.

    python -m tests.fuzz.hunt --changes 100000 --seed 1

An approval that a change brings about must come from something that the record now says and did
not say before: another reading, another paper, another rule. To take away, cut off or double what
is there must never approve. What no set of records can show is left out, and counted apart.
"""

import argparse
import sys
import time
import traceback
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import chain
from pathlib import Path
from random import Random
from typing import Any, Final

from handbook_builder.faults.counts import miscounted
from handbook_builder.faults.fit import misfits
from handbook_builder.faults.future import untold_yet
from handbook_builder.faults.poured import untraceable
from handbook_builder.faults.sizes import impossible_sizes
from handbook_builder.reading.records import Reading, read_record, read_texts
from handbook_builder.studio.studio import Studio, link
from handbook_builder.verdicts.judge import Judged, judge
from tests.fuzz.changes import Change, drawn
from tests.fuzz.said import only_takes_away
from tests.oracle.generate import studio as generated

DEMO: Final = Path(__file__).parents[2] / "records"
DEMO_DAY: Final = date(2026, 5, 1)
SLOW_S: Final = 10.0
SHARE_OF_DEMO: Final = 0.5
CHANGES_A_STUDIO: Final = 40
# What a studio says of itself and is no evidence: its own rules and decisions. To take back a
# stricter rule, or the word that a recipe is retired, is the maker's to do, and is not hidden.
DECISIONS: Final = ("protocols/", "studio.md")


@dataclass(slots=True)
class Found:
    """What a hunt came upon."""

    counts: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Case:
    """A whole studio before any change, and what of it is approved."""

    name: str
    files: Mapping[str, bytes]
    day: date
    approved: frozenset[str]


def approved(files: Mapping[str, bytes], day: date) -> frozenset[str]:
    """Return the products that are approved; records at fault approve nothing."""
    judged = _judged(files, day)
    if judged is None:
        return frozenset()
    return frozenset(ident for ident, one in judged.products.items() if one.status == "approved")


def _judged(files: Mapping[str, bytes], day: date) -> Judged | None:
    reading: Reading = read_texts(files, "records/")
    found, _ = link(reading)
    if found is None or any(_faults(found, day)):
        return None
    return judge(found, day)


def _faults(studio: Studio, day: date) -> Iterator[Any]:
    """Yield the faults of a whole studio, but for batches: those only take approvals away."""
    slips = (impossible_sizes(studio), untold_yet(studio, max(day, date(2026, 12, 31))))
    return chain(*slips, misfits(studio), miscounted(studio), untraceable(studio))


def demo() -> Case:
    """Return the demo studio."""
    files = {
        path.relative_to(DEMO).as_posix(): path.read_bytes() for path in sorted(DEMO.rglob("*.md"))
    }
    return Case("demo", files, DEMO_DAY, approved(files, DEMO_DAY))


def drawn_studio(seed: int) -> Case:
    """Return a generated studio."""
    texts, day = generated(seed)
    files = {path: text.encode() for path, text in texts.items()}
    return Case(f"studio {seed}", files, day, approved(files, day))


def hunt(changes: int, seed: int) -> Found:
    """Return what `changes` changes bring to light, half of them to the demo."""
    found, rng = Found(), Random(seed)  # noqa: S311 -- a seed to repeat, no secret
    whole = demo()
    of_demo = int(changes * SHARE_OF_DEMO)
    for number in range(of_demo):
        _try(found, whole, drawn(whole.files, rng), f"seed {seed}, change {number}")
    number = of_demo
    while number < changes:
        case = drawn_studio(rng.randrange(1_000_000))
        for _ in range(min(CHANGES_A_STUDIO, changes - number)):
            _try(found, case, drawn(case.files, rng), f"seed {seed}, change {number}")
            number += 1
    return found


def _try(found: Found, case: Case, change: Change, where: str) -> None:
    label = f"{where}, {case.name}: {change.path}, {change.name}"
    begun = time.process_time()
    try:
        after = approved({**case.files, change.path: change.data}, case.day)
    except Exception:  # noqa: BLE001 -- a trace is what is hunted
        found.wrong.append(f"{label}: a trace\n{traceback.format_exc()}")
        return
    if time.process_time() - begun > SLOW_S:
        found.wrong.append(f"{label}: over {SLOW_S:g} s")
    new = after - case.approved
    found.counts["changes"] += 1
    found.counts["approvals lost"] += bool(case.approved - after)
    if new:
        verdict = _explained(case, change)
        found.counts[verdict or "approved out of nothing"] += 1
        if verdict is None:
            found.wrong.append(f"{label}: {', '.join(sorted(new))} approved out of nothing")


def _explained(case: Case, change: Change) -> str | None:
    """Return what made an approval come about, or None when nothing that was added did."""
    before, _ = read_record(change.path, case.files[change.path], "records/")
    after, _ = read_record(change.path, change.data, "records/")
    if not only_takes_away(before, after):
        return "approved by what it newly says"
    if change.path.startswith(DECISIONS):
        return "approved by a rule taken back"
    lost = getattr(before, "retired", None) and not getattr(after, "retired", None)
    if lost:
        return "approved by a retirement taken back"
    if getattr(before, "void", None) and not getattr(after, "void", None):
        return "approved by a void taken back"
    return None


def main() -> int:
    """Hunt, print what was found, and return 1 when anything was."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--changes", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    found = hunt(asked.changes, asked.seed)
    for line in found.wrong:
        print(line)  # noqa: T201 -- a command
    print(f"seed {asked.seed}: " + ", ".join(f"{n} {what}" for what, n in found.counts.items()))  # noqa: T201
    return 1 if found.wrong else 0


if __name__ == "__main__":
    sys.exit(main())

"""Hand-worked cases that pin the oracle on what is due when, and on when a candle is seen."""

from datetime import date

import pytest

from .cases import STUDIO, Edit, added, burn_a, cedar, edited

END = "end: {how: went_out, left: 10 g, vessel: sound, tilt: steady, cycles: 4}\n"


def _own(lines: str, *edits: Edit) -> dict[str, str]:
    files = added("protocols/own.md", lines, edited("studio.md", ("default", "own")))
    return edited("burns/a.md", *edits, files=files)


NO_SMOKE = (", after_smoke: 6 s", "")


def test_smoke_is_due_in_every_full_cycle_while_its_mean_can_fail() -> None:
    """One full cycle without it is a gap; the last cycle needs none."""
    assert burn_a(edited("burns/a.md", NO_SMOKE))["reasons"][1] == ([], ["reading_missing"], [])
    assert burn_a(STUDIO)["gaps"] == []
    told = "source: ours, published: no"
    watch = f"limits: [{{measure: mean_after_smoke, at_most: 30 s, {told}, on_breach: watch}}]"
    # the shipped limit that fails stands beside one that is watched
    assert burn_a(_own(watch, NO_SMOKE))["gaps"] == ["reading_missing"]
    # one for a material counts where it applies, beside the shipped one
    metal = watch.replace("watch}", "fail, material: metal}")
    assert burn_a(_own(metal, NO_SMOKE))["gaps"] == ["reading_missing"]


def _short(count: int, pool: str) -> dict[str, str]:
    """Return the studio with only so many cycles of candle A, with this pool in the last full."""
    text = STUDIO["burns/a.md"]
    head, rest = text.split("cycles:\n")
    cycles = ["  - {on" + part for part in rest[: rest.index("end:")].split("  - {on")[1:]]
    weights = ["before: 500 g, after: 448 g", "before: 448 g, after: 396 g"]
    full = cycles[: count - 1]
    for old, number in (("pool: 50 mm", 0), ("pool: 60 mm", 1), ("pool: 68 mm", 2)):
        if number == count - 2:
            full[number] = full[number].replace(old, f"pool: {pool}")
    left = {2: "448", 3: "396"}.get(count, "344")
    last = cycles[3].replace("before: 344 g", f"before: {left} g")
    assert all(one in rest for one in weights)
    end = END.replace("cycles: 4", f"cycles: {count}")
    files = dict(STUDIO)
    files["burns/a.md"] = head + "cycles:\n" + "".join([*full, last]) + end + "---\n"
    return files


@pytest.mark.parametrize("count", [2, 3, 4])
def test_coverage_in_the_last_full_cycle(count: int) -> None:
    """A candle that is gone in two or three cycles shows its full pool in the last full one."""
    assert burn_a(_short(count, "66.5 mm"))["verdict"] == "pass"
    told = burn_a(_short(count, "66.4 mm"))
    assert (told["verdict"], told["failures"]) == ("fail", ["coverage_under"])
    assert told["reasons"][count - 2][0] == ["coverage_under"]


def test_coverage_is_not_due_while_the_candle_burns() -> None:
    """Without an end nobody knows which cycle is the last full one; with it, it is judged."""
    files = _short(2, "60 mm")
    assert burn_a(files, date(2026, 3, 15))["verdict"] == "burning"
    assert burn_a(files, date(2026, 3, 18))["verdict"] == "fail"
    unended = edited("burns/a.md", (END.replace("4", "2"), ""), files=files)
    assert burn_a(unended)["failures"] == []
    # neither is it due in the one full cycle that a single cycle would be
    alone = edited("burns/a.md", ("cycles: 4", "cycles: 1"))
    text = alone["burns/a.md"]
    start, stop = text.index("  - {on: 2026-03-16"), text.index("end:")
    alone["burns/a.md"] = text[:start] + text[stop:]
    assert burn_a(alone)["failures"] == []


def test_a_pool_that_is_due_only_for_coverage() -> None:
    """Where `needs` names no pool, the last full cycle needs it for its coverage."""
    bare = "needs: [before, after, burned, flame, wall, tilt, cycles]"
    files = _short(2, "68 mm")
    files = added("protocols/own.md", bare, edited("studio.md", ("default", "own"), files=files))
    assert burn_a(files)["verdict"] == "pass"
    unread = edited("burns/a.md", ("pool: 68 mm, ", ""), files=files)
    assert burn_a(unread)["gaps"] == ["reading_missing"]
    assert cedar(unread)["whys"] == {"reading_unsaid"}


def test_a_candle_is_seen_from_its_earliest_date_on() -> None:
    """A cycle that is dated before the pouring shows the candle from that cycle on."""
    files = edited("burns/a.md", ("on: 2026-03-15", "on: 2026-02-20"))
    seen = burn_a(files, date(2026, 2, 20))
    assert (seen["verdict"], len(seen["cycles"])) == ("burning", 1)
    assert seen["gaps"] == ["before_pouring", "not_cured", "not_ended"]
    with pytest.raises(KeyError):
        burn_a(files, date(2026, 2, 19))
    assert cedar(files, date(2026, 2, 19))["status"] == "untested"
    assert cedar(files, date(2026, 2, 20))["status"] == "in_test"
    # the others were poured on its day, and are no candles that went missing
    assert cedar(files, date(2026, 2, 20))["whys"] == set()


def test_a_failure_dated_before_its_pouring_is_seen() -> None:
    """A last cycle with a mistyped year shows all of the record from that day on."""
    files = edited("burns/a.md", ("2026-03-18", "2025-03-18"), ("flame: 31 mm", "flame: 99 mm"))
    assert burn_a(files, date(2025, 3, 18))["verdict"] == "fail"
    assert cedar(files, date(2025, 3, 18))["status"] == "failed"


@pytest.mark.parametrize(("scale", "gaps"), [("2 g", []), ("2.1 g", ["scale_too_coarse"])])
def test_a_coarse_scale(scale: str, gaps: list[str]) -> None:
    """A scale that reads to more than 1 % of what was poured (200 g) proves nothing."""
    files = edited("burns/a.md", ("scale: 0.1 g", f"scale: {scale}"))
    assert burn_a(files)["gaps"] == gaps
    assert cedar(files)["whys"] == set()
    assert burn_a(added("burns/a.md", "as: misuse\nhow: draught", files))["gaps"] == []

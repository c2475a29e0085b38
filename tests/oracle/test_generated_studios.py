"""Generated studios are without fault, and use every key that bears on a verdict."""

from collections import Counter

from .cycle import is_misuse
from .generate import studio
from .honest import misuse_shows, too_light
from .match import spec_days
from .protocol import limit_key, protocol_of
from .read import Book, Record, read


def _faults(book: Book, burn: Record) -> dict[str, bool]:
    count = sum(other["recipe"] == burn["recipe"] for other in book["burns"].values())
    cycles = burn.get("cycles", [])
    return {
        "count": book["recipes"][burn["recipe"]].get("test_candles") != str(count),
        "misuse": is_misuse(burn) and not misuse_shows(burn, protocol_of(book)),
        "made": not {"fragrance", "colorant", "wicks"} <= burn["made"].keys(),
        "unread, and read": any(set(one.get("unread", [])) & one.keys() for one in cycles),
        "lighter than its wax": too_light(burn),
    }


def _faults_of(book: Book) -> list[str]:
    """Return what of the rules about faults a studio breaks that the judge does not look at."""
    told = []
    for name, burn in book.get("burns", {}).items():
        told += [f"{name}: {fault}" for fault, holds in _faults(book, burn).items() if holds]
    for kind in ("vessels", "waxes", "wicks", "fragrances", "colorants"):
        for name, item in book[kind].items():
            days = spec_days(item)
            if len(days) + 1 != int(item.get("spec", "1")) or sorted(set(days)) != days:
                told.append(f"{name}: spec")
    for one in book.get("protocols", {}).values():
        keys = [limit_key(limit) for limit in one.get("limits", [])]
        if len(set(keys)) != len(keys):
            told.append("limit twice")
    return told


def test_generated_studios_are_without_these_faults() -> None:
    """Counts agree, misuse shows, every make-up is whole, and days of change are in order."""
    for seed in range(120):
        assert _faults_of(read(studio(seed)[0])) == [], seed


def test_generated_studios_use_what_may_be_said() -> None:
    """Each key of the records comes up often enough to bear on a verdict now and then."""
    found: Counter[str] = Counter()
    for seed in range(120):
        book = read(studio(seed)[0])
        found["makes"] += sum(
            len(spec_days(item)) > 1
            for kind in ("vessels", "waxes")
            for item in book[kind].values()
        )
        for burn in book.get("burns", {}).values():
            found["lit"] += "lit" in burn
            found["spec"] += "spec" in burn["made"]
            found["unread"] += any("unread" in cycle for cycle in burn.get("cycles", []))
            found["coarse"] += burn["scale"] in {"1 g", "1.5 g", "2 g", "2.5 g", "5 g"}
            found["few"] += "end" in burn and len(burn["cycles"]) in {2, 3}
            found["untried"] += "untried" in {
                burn["made"].get("tilt"), burn.get("end", {}).get("tilt"),
            }  # fmt: skip
            found["dyed"] += burn["made"]["colorant"] != "none"
    assert {key: count >= 2 for key, count in found.items()} == dict.fromkeys(found, True), found

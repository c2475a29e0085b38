"""What the keys of one record say of each other, where they cannot both be true."""

from collections.abc import Callable, Iterator, Mapping
from datetime import timedelta
from itertools import pairwise
from typing import Any, Final

from handbook_builder.problems import Problem, problem
from handbook_builder.reading.kinds.house import ProtocolRecord
from handbook_builder.reading.kinds.items import Dated, Fragrance, Item, Vessel, Wax, Wick
from handbook_builder.reading.kinds.making import Burn, Recipe, made_of

# A test candle is burned day by day; half a year between two cycles is a slip in a date, and so
# is a first light more than a year after pouring. Common practice, no published source.
LONGEST_PAUSE: Final = timedelta(days=180)
LONGEST_CURE: Final = timedelta(days=366)

Records = Mapping[str, Mapping[str, Any]]


def disagreements(records: Records) -> Iterator[Problem]:
    """Yield every problem between the keys of one record."""
    for kind, check in _CHECKS.items():
        for record in records.get(kind, {}).values():
            yield from check(records, record)


def _item(_records: Records, one: Item) -> Iterator[Problem]:
    """Yield when a specification has no day, a day no specification, or an entry an unknown one."""
    days = one.spec_since
    if one.spec > 1 and not days:
        yield problem(one.source.place("spec"), "overripe", {"found": one.spec})
    elif len(days) != one.spec - 1:
        details = {"found": len(days), "spec": one.spec, "due": one.spec - 1}
        yield problem(one.source.place("spec_since"), "spec_days", details)
    if list(days) != sorted(set(days)):
        yield problem(one.source.place("spec_since"), "spec_days_mixed", {})
    yield from _asked(one)
    for path, entry in _entries(one):
        if entry.spec is not None and entry.spec > one.spec:
            known = {"found": entry.spec, "item": one.source.id, "most": one.spec}
            yield problem(one.source.place(f"{path}.spec"), "spec_unknown", known)


def _asked(one: Item) -> Iterator[Problem]:
    """Yield each reminder and answer that is dated before the question."""
    for index, each in enumerate(one.asked):
        for key, days in (("reminded", each.reminded), ("answered", (each.answered,))):
            for on in days:
                if on is not None and on < each.on:
                    details = {"key": key, "is": on, "on": each.on}
                    yield problem(one.source.place(f"asked[{index}].{key}"), "asked_later", details)


def _entries(one: Item) -> Iterator[tuple[str, Dated]]:
    """Yield every dated entry of an item with its path."""
    named: dict[str, tuple[Dated, ...]] = {}
    if isinstance(one, Vessel):
        named = {"heat_evidence": one.heat_evidence, "leak_test": one.leak_test}
    elif isinstance(one, Fragrance):
        named = {"certificate": one.certificate, "safety_sheet": one.safety_sheet}
    elif isinstance(one, Wick):
        named = {"lead_free": one.lead_free}
    for key, entries in named.items():
        for index, entry in enumerate(entries):
            path = f"{key}[{index}]"
            yield (path if path in one.source.places else key), entry


def _vessel(records: Records, one: Vessel) -> Iterator[Problem]:
    yield from _item(records, one)
    for path, entry in _entries(one):
        if getattr(entry, "result", "") == "wet" and not one.porous:
            yield problem(one.source.place(path), "wet_but_not_porous")
    for index, each in enumerate(one.heat_evidence):
        if each.kind == "sold_for_candles" and (each.result or each.difference_k is not None):
            place = one.source.place(f"heat_evidence[{index}]")
            yield problem(place, "result_of_no_test", {"found": each.kind})


def _wax(records: Records, one: Wax) -> Iterator[Problem]:
    """Yield when a wax is to be heated to where its vapour catches fire, or poured hotter."""
    yield from _item(records, one)
    flash = one.flash_point_c
    for key, value in (("heat_to", one.heat_to_c), ("add_at", one.add_at_c)):
        if flash is not None and value is not None and value >= flash:
            details = {"key": key, "is_c": f"{value:g}", "other": "flash_point", "c": f"{flash:g}"}
            yield problem(one.source.place(key), "heat_over_flash", details)
    for key, value in (("pour_at", one.pour_at_c), ("add_at", one.add_at_c)):
        if one.heat_to_c is not None and value is not None and value > one.heat_to_c:
            details = {"key": key, "is_c": f"{value:g}", "c": f"{one.heat_to_c:g}"}
            yield problem(one.source.place(key), "heat_order", details)
    if flash is not None and one.pour_at_c is not None and one.pour_at_c >= flash:
        details = {"key": "pour_at", "is_c": f"{one.pour_at_c:g}", "c": f"{flash:g}"}
        yield problem(one.source.place("pour_at"), "heat_over_flash", details)


def _recipe(records: Records, one: Recipe) -> Iterator[Problem]:
    """Yield when a recipe is filled hot with a wax whose molten density is not on file."""
    waxes = records.get("waxes", {})
    for ident in one.wax if one.fill.hot else ():
        wax = waxes.get(ident)
        if wax is not None and wax.liquid_density is None:
            yield problem(one.source.place("fill"), "hot_without_density", {"wax": ident})


def _burn(records: Records, one: Burn) -> Iterator[Problem]:
    yield from _half(one, "misuse", "how", one.how)
    yield from _half(one, "ladder", "made.rungs", one.made.rungs)
    if one.end is not None and one.lit is not None:
        yield problem(one.source.place("lit"), "lit_and_end", {})
    yield from _specs(records, one)
    yield from _lots(one)
    yield from _pauses(one)


def _half(one: Burn, word: str, key: str, given: object) -> Iterator[Problem]:
    """Yield when a burn has one of two lines that go together.

    Both make less of a candle, so taking one line away must not make it a proof.
    """
    if (one.as_ == word) != (given is not None):
        name = key.rpartition(".")[2]
        found, due = (f"as: {word}", name) if given is None else (name, f"as: {word}")
        place = one.source.place("as" if given is None else key)
        yield problem(place, f"half_of_{word}", {"found": found, "due": due})


def _lots(one: Burn) -> Iterator[Problem]:
    """Yield each lot of something that is not in the candle: one of the two is a slip."""
    made = frozenset(made_of(one.made))
    for item, lot in one.lots.items():
        if item not in made and item.burns:
            details = {"item": item, "lot": lot}
            yield problem(one.source.place(f"lots.{item}"), "lot_not_in_made", details)


def _protocol(_records: Records, one: ProtocolRecord) -> Iterator[Problem]:
    """Yield each limit that a protocol gives twice: the looser of the two might be the last."""
    seen: set[object] = set()
    for index, limit in enumerate(one.limits):
        if limit.slot in seen:
            place = one.source.place(f"limits[{index}]")
            yield problem(place, "limit_twice", {"measure": limit.measure})
        seen.add(limit.slot)


def _specs(records: Records, one: Burn) -> Iterator[Problem]:
    for named, spec in one.made.spec.items():
        item = records.get(named.folder, {}).get(named.id)
        # What is no item at all is told where its name is looked up.
        if isinstance(item, Item) and spec > item.spec:
            details = {"found": spec, "item": named, "most": item.spec}
            yield problem(one.source.place(f"made.spec.{named}"), "spec_unknown", details)


def _pauses(one: Burn) -> Iterator[Problem]:
    """Yield each cycle that is dated so late that its year must be a slip."""
    if one.cycles and one.cycles[0].on.day - one.made.on > LONGEST_CURE:
        details = {"on": one.cycles[0].on.day, "last": one.made.on}
        yield problem(one.source.place("cycles[0].on"), "far_apart", details)
    for index, (last, cycle) in enumerate(pairwise(one.cycles), 1):
        if cycle.on.day - last.on.day > LONGEST_PAUSE:
            details = {"on": cycle.on.day, "last": last.on.day}
            yield problem(one.source.place(f"cycles[{index}].on"), "far_apart", details)


_CHECKS: Final[Mapping[str, Callable[[Records, Any], Iterator[Problem]]]] = {
    "vessels": _vessel,
    "waxes": _wax,
    "wicks": _item,
    "fragrances": _item,
    "colorants": _item,
    "packaging": _item,
    "protocols": _protocol,
    "recipes": _recipe,
    "burns": _burn,
}

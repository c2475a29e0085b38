"""What one record says of another: ids that must resolve, and keys that must agree."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import Any, Final

from handbook_builder import units
from handbook_builder.problems import Problem, problem
from handbook_builder.reading.beside import FOR_HELPERS
from handbook_builder.reading.fields import near
from handbook_builder.reading.kinds.house import ProtocolRecord, StudioRecord
from handbook_builder.reading.kinds.items import Fill, Vessel
from handbook_builder.reading.kinds.making import Burn, Recipe
from handbook_builder.reading.kinds.trade import Batch, Count, Counted, Incident, Line, Purchase
from handbook_builder.reading.records import KINDS, Reading
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.reading.shape import Source
from handbook_builder.studio.agreement import disagreements
from handbook_builder.studio.protocol import loosened

_ABOUT: Final = ("recipes", "batches", *ITEM_FOLDERS)
Records = Mapping[str, Mapping[str, Any]]
Known = Mapping[str, frozenset[str]]


def faults_of(reading: Reading) -> Iterator[Problem]:
    """Yield every problem between records, and every disagreement of keys within one."""
    # A record that could not be read is named as known: its own problem is told once, there.
    known = _known_ids(reading)
    if reading.studio is not None and reading.studio.protocol != "default":
        source, ident = reading.studio.source, reading.studio.protocol
        yield from _dangling(known, source, "protocol", "protocols", ident)
    for kind, check in _CHECKS.items():
        for record in reading.records.get(kind, {}).values():
            yield from check(known, reading.records, record)
    yield from _attached(reading)
    yield from disagreements(reading.records)
    incidents = list(reading.records.get("incidents", {}).values())
    yield from _incident_numbers(incidents)
    if reading.studio is not None:
        unread = any("/incidents/" in fault.place.file for fault in reading.problems)
        yield from () if unread else _incident_count(reading.studio, len(incidents))
    yield from _bills_twice(list(reading.records.get("purchases", {}).values()))
    yield from _counted_twice(list(reading.records.get("stock", {}).values()))


def _attached(reading: Reading) -> Iterator[Problem]:
    """Yield each attachment for helpers that does not lie in the folder of its record."""
    if reading.attachments is None:
        return
    for source in (one.source for records in reading.records.values() for one in records.values()):
        ref = Ref.to(source.kind, source.id)
        there = [one.name for one in reading.attachments.get(ref, ())]
        for index, name in enumerate(source.for_helpers):
            if name not in there:
                details = {"found": name, "folder": ref, "near": near(name, there)}
                yield problem(source.place(f"{FOR_HELPERS}[{index}]"), "beside_missing", details)


def faults_of_one(reading: Reading, kind: str, record: Any) -> Iterator[Problem]:  # noqa: ANN401 -- of any kind
    """Yield what one record says of others that is not so, whether it is on file or not yet."""
    check = _CHECKS.get(kind)
    if check is not None:
        yield from check(_known_ids(reading), reading.records, record)


def _known_ids(reading: Reading) -> Known:
    unreadable: dict[str, set[str]] = {kind: set() for kind in KINDS}
    for fault in reading.problems:
        parts = fault.place.file.split("/")
        if len(parts) > 1 and parts[-2] in unreadable:
            unreadable[parts[-2]].add(parts[-1].removesuffix(".md"))
    return {kind: frozenset(reading.records.get(kind, {})) | unreadable[kind] for kind in KINDS}


def _dangling(
    known: Known, source: Source, path: str, folder: str, ident: str
) -> Iterator[Problem]:
    if ident not in known[folder]:
        details = {"found": ident, "folder": folder, "near": near(ident, sorted(known[folder]))}
        yield problem(source.place(path), "dangling", details)


def _helper(known: Known, source: Source, path: str, name: str) -> Iterator[Problem]:
    """Yield when a studio that keeps its helpers names somebody who is none of them."""
    helpers = known["helpers"]
    if helpers and name not in helpers:
        details = {"found": name, "near": near(name.lower(), sorted(helpers))}
        yield problem(source.place(path), "unknown_helper", details)


def _item(
    known: Known, source: Source, path: str, item: Ref,
    folders: tuple[str, ...] = ITEM_FOLDERS,
) -> Iterator[Problem]:  # fmt: skip
    if item.folder not in folders:
        meant = near(item.folder, list(folders))
        details = {"found": item, "near": f"{meant}/{item.id}" if meant else ""}
        yield problem(source.place(path), "unknown_item", details)
    else:
        yield from _dangling(known, source, path, item.folder, item.id)


def _vessel(known: Known, _records: Records, one: Vessel) -> Iterator[Problem]:
    yield from _dangling(known, one.source, "supplier", "suppliers", one.supplier)
    for index, evidence in enumerate(one.heat_evidence):
        if evidence.kind == "sold_for_candles" and evidence.by not in known["suppliers"]:
            place = one.source.place(f"heat_evidence[{index}].by")
            yield problem(place, "claims_supplier", {"found": evidence.by})
    for key, form in (("fill", one.fill), ("brim", one.brim)):
        if form is not None and not _height_reaches(one, form):
            yield problem(one.source.place(key), "no_height")


def _height_reaches(vessel: Vessel, form: Fill) -> bool:
    if form.headspace_mm is None:
        return True
    return vessel.inside_height_mm is not None and vessel.inside_height_mm > form.headspace_mm


def _recipe(known: Known, _records: Records, one: Recipe) -> Iterator[Problem]:
    yield from _dangling(known, one.source, "vessel", "vessels", one.vessel)
    yield from _dangling(known, one.source, "wick", "wicks", one.wick)
    for key, folder, named in (
        ("wax", "waxes", one.wax),
        ("fragrance", "fragrances", one.fragrance),
        ("colorant", "colorants", one.colorant),
        ("packaging", "packaging", one.packaging),
    ):
        for ident in named:
            yield from _dangling(known, one.source, f"{key}.{ident}", folder, ident)


def _burn(known: Known, _records: Records, one: Burn) -> Iterator[Problem]:
    made = one.made
    yield from _dangling(known, one.source, "recipe", "recipes", one.recipe)
    yield from _dangling(known, one.source, "made.vessel", "vessels", made.vessel)
    yield from _dangling(known, one.source, "made.wick", "wicks", made.wick)
    for key, folder, named in (
        ("wax", "waxes", made.wax),
        ("fragrance", "fragrances", made.fragrance),
        ("colorant", "colorants", made.colorant),
    ):
        for ident in named:
            yield from _dangling(known, one.source, f"made.{key}.{ident}", folder, ident)
    for item in made.spec:
        yield from _item(known, one.source, f"made.spec.{item}", item)
    for item in one.lots:
        yield from _item(known, one.source, f"lots.{item}", item)
    if one.by is not None:
        yield from _helper(known, one.source, "by", one.by)
    if one.void is not None:
        yield from _helper(known, one.source, "void.by", one.void.by)
    if one.void is not None and one.void.on < made.on:
        details = {"void": one.void.on, "on": made.on}
        yield problem(one.source.place("void.on"), "void_before", details)
    if one.end is not None and not one.cycles:
        yield problem(one.source.place("end"), "end_without_cycle")


def _purchase(known: Known, records: Records, one: Purchase) -> Iterator[Problem]:
    yield from _dangling(known, one.source, "supplier", "suppliers", one.supplier)
    for index, line in enumerate(one.lines):
        path = f"lines[{index}]"
        yield from _item(known, one.source, f"{path}.item", line.item)
        yield from _bought(records, one.source, f"{path}.quantity", line)
        if one.spread == "mass" and mass_of_line_g(records, line) is None:
            yield problem(one.source.place("spread"), "spread_by_mass", {"item": line.item})


def _bought(records: Records, source: Source, path: str, line: Line | Counted) -> Iterator[Problem]:
    """Yield a problem when the sort of amount does not suit the item."""
    amount, item = line.quantity, records.get(line.item.folder, {}).get(line.item.id)
    due = units.MASS if line.item.is_weighed else units.COUNT
    if amount.dimension is due or item is None:
        return
    if due is units.MASS and amount.dimension is units.VOLUME:
        if item.density_g_per_ml is None or line.item.folder == "waxes":
            details = {"found": amount.written, "item": line.item}
            yield problem(source.place(path), "quantity_by_volume", details)
        return
    details = {
        "found": amount.written, "is": amount.dimension.word, "what": due.word,
        "example": due.example,
    }  # fmt: skip
    yield problem(source.place(path), "wrong_dimension", details)


def mass_of_line_g(records: Records, line: Line | Counted) -> float | None:
    """Return the mass of goods, bought or counted, in grams, or None when it is not known."""
    item, amount = records.get(line.item.folder, {}).get(line.item.id), line.quantity
    if amount.dimension is units.MASS:
        return amount.value
    if amount.dimension is units.VOLUME:
        density = getattr(item, "density_g_per_ml", None)
        return None if density is None else amount.value * density
    each_g = getattr(item, "empty_mass_g", None)
    return None if each_g is None else amount.value * each_g


def _stock(known: Known, records: Records, one: Count) -> Iterator[Problem]:
    for each in one.counted:
        path = _counted_at(each)
        yield from _item(known, one.source, path, each.item)
        yield from _bought(records, one.source, path, each)
        lots = _lots_alone(records, each.item)
        if each.lot is None and lots:
            details = {"item": each.item, "lots": ", ".join(lots), "lot": lots[0]}
            yield problem(one.source.place(path), "count_without_lot", details)


def _counted_at(one: Counted) -> str:
    """Return the path of what was counted, as its record has it."""
    return f"counted.{one.item}" + (f" {one.lot}" if one.lot else "")


def _lots_alone(records: Records, item: Ref) -> list[str]:
    """Return the lots of an item of which every delivery bears one, else none."""
    bills = records.get("purchases", {}).values()
    lots = [line.lot for bill in bills for line in bill.lines if line.item == item]
    return [] if None in lots else sorted({lot for lot in lots if lot is not None})


def _counted_twice(counts: list[Count]) -> Iterator[Problem]:
    """Yield what two records counted on one day: nobody knows which of them is right."""
    seen: dict[object, Count] = {}
    for count in sorted(counts, key=lambda one: one.source.id):
        for each in count.counted:
            same = (count.on, each.item, each.lot)
            if same in seen:
                details = {"item": each.item, "on": count.on, "other": seen[same].source.file}
                yield problem(count.source.place(_counted_at(each)), "counted_twice", details)
            seen.setdefault(same, count)


def _batch(known: Known, _records: Records, one: Batch) -> Iterator[Problem]:
    yield from _dangling(known, one.source, "recipe", "recipes", one.recipe)
    yield from _helper(known, one.source, "by", one.by)
    for key, items in (("lots", one.lots), ("weighed", one.weighed_g)):
        for item in items:
            yield from _item(known, one.source, f"{key}.{item}", item)
    gone = sum(each.out for each in one.given)
    yield from _returns(one)
    kept = gone + sum(each.count for each in one.kept)
    for key, found in (("net", len(one.net_g)), ("kept" if one.kept else "given", kept)):
        if found > one.made:
            details = {"found": found, "key": key, "made": one.made}
            yield problem(one.source.place(key), "more_than_made", details)
    days = {f"given[{at}].on": each.on for at, each in enumerate(one.given)}
    days |= {f"kept[{at}].on": each.on for at, each in enumerate(one.kept)}
    for path, on in days.items():
        if on < one.on:
            details = {"left": on, "on": one.on}
            yield problem(one.source.place(path), "given_too_early", details)


def _returns(one: Batch) -> Iterator[Problem]:
    """Yield each return of more candles than whoever gave them back had by that day."""
    has: Counter[str] = Counter()
    ordered = sorted(enumerate(one.given), key=lambda pair: (pair[1].on, pair[1].out < 0))
    for index, each in ordered:
        name = " ".join(each.to.split()).casefold()
        has[name] += each.out
        if has[name] < 0:
            details = {"found": each.count, "to": each.to, "had": has[name] + each.count}
            yield problem(one.source.place(f"given[{index}]"), "returned_more", details)


def _incident(known: Known, _records: Records, one: Incident) -> Iterator[Problem]:
    yield from _item(known, one.source, "about", one.about, _ABOUT)
    if one.closed is not None and one.closed.on < one.on:
        details = {"closed": one.closed.on, "on": one.on}
        yield problem(one.source.place("closed.on"), "closed_before", details)
    last = date.max if one.closed is None else one.closed.on
    if one.told is not None and not one.on <= one.told <= last:
        details = {"told": one.told, "on": one.on}
        yield problem(one.source.place("told"), "told_outside", details)


def _protocol(_known: Known, _records: Records, one: ProtocolRecord) -> Iterator[Problem]:
    yield from loosened(one)


_CHECKS: Final[Mapping[str, Callable[[Known, Records, Any], Iterator[Problem]]]] = {
    "protocols": _protocol,
    "vessels": _vessel,
    "recipes": _recipe,
    "burns": _burn,
    "purchases": _purchase,
    "stock": _stock,
    "batches": _batch,
    "incidents": _incident,
}


def _incident_numbers(incidents: list[Incident]) -> Iterator[Problem]:
    seen: dict[int, Incident] = {}
    for incident in sorted(incidents, key=lambda each: (each.number, each.source.id)):
        place = incident.source.place("number")
        if incident.number in seen:
            details = {"found": incident.number, "other": seen[incident.number].source.file}
            yield problem(place, "incident_twice", details)
        elif incident.number > 1 and incident.number - 1 not in seen:
            details = {"found": incident.number, "missing": incident.number - 1}
            yield problem(place, "incident_gap", details)
        seen[incident.number] = incident


def _incident_count(studio: StudioRecord, found: int) -> Iterator[Problem]:
    """Yield when studio.md does not count the incidents on file: the last one could be gone."""
    if studio.incidents is None and found:
        yield problem(studio.source.place(), "incidents_uncounted", {"found": found})
    elif studio.incidents is not None and studio.incidents != found:
        details = {"stated": studio.incidents, "found": found}
        yield problem(studio.source.place("incidents"), "incidents_count", details)


def _bills_twice(bills: list[Purchase]) -> Iterator[Problem]:
    """Yield each bill that repeats another: same supplier, day, goods and lots."""
    seen: dict[object, Purchase] = {}
    for bill in sorted(bills, key=lambda one: one.source.id):
        goods = tuple(
            sorted(
                (line.item, line.quantity.value, line.price, line.lot or "") for line in bill.lines
            )
        )
        same = (bill.supplier, bill.on, goods)
        if same in seen:
            details = {"other": seen[same].source.file}
            yield problem(bill.source.place(), "bill_twice", details)
        seen.setdefault(same, bill)

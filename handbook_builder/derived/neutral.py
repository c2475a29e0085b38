"""The studio under neutral names, for the floor edition: an id may tell whom a batch was for.

A batch is called by its recipe and day, an incident by its number, a lot by the day on which it
first came. What was renamed is renamed in every text that speaks of it, too.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from pathlib import PurePosixPath
from types import MappingProxyType
from typing import Any, Final

from handbook_builder.derived.beside import for_helpers
from handbook_builder.reading.beside import Attachments
from handbook_builder.reading.kinds.items import HeatEvidence, Vessel
from handbook_builder.reading.kinds.trade import Batch
from handbook_builder.reading.refs import Ref
from handbook_builder.reading.shape import Source
from handbook_builder.studio.studio import Studio

_ISO_DAY: Final = len("2026-11-28")
_NOTHING: Final[Mapping[Any, Any]] = MappingProxyType({})
_LEAST_LETTERS: Final = 4  # of a name that is looked for in prose: a lot "12" is also a number


@dataclass(frozen=True, slots=True)
class Names:
    """The new names by the old ones; lots by their item and old name."""

    batches: Mapping[str, str]
    incidents: Mapping[str, str]
    lots: Mapping[tuple[Ref, str], str]

    def about(self, record: Ref) -> Ref:
        """Return what an incident is about, by its new name."""
        is_batch = record.folder == "batches"
        return Ref.to("batches", self.batches[record.id]) if is_batch else record


def neutral(studio: Studio, unnamed: str) -> Studio:
    """Return the same studio, in which no batch, incident or lot bears a name of its own.

    Nor does it say whose word a vessel's maker's word is: `unnamed` stands there. It has no keys of
    the maker's own, and of the attachments those for helpers alone.
    """
    names = names_for(studio)
    bare = replace(studio, attachments=_NOTHING, passed_over=())
    renamed: Studio = _renamed(bare, names, _in_prose(names))
    # Files are called as they are on the disk, whatever that is.
    renamed = replace(renamed, attachments=attachments_for_helpers(studio, names))
    renamed = replace(renamed, vessels=MappingProxyType(_vessels(renamed, unnamed)))
    batches = {names.batches[ident]: one for ident, one in renamed.batches.items()}
    incidents = {names.incidents[ident]: one for ident, one in renamed.incidents.items()}
    return replace(
        renamed,
        batches=MappingProxyType({key: _at(one, key) for key, one in sorted(batches.items())}),
        incidents=MappingProxyType({key: _at(one, key) for key, one in sorted(incidents.items())}),
    )


def attachments_for_helpers(studio: Studio, names: Names) -> Attachments:
    """Return the attachments that helpers need, by the neutral names of the records beside them."""
    return for_helpers(studio, {"batches": names.batches, "incidents": names.incidents})


def names_for(studio: Studio) -> Names:
    """Return a neutral name for every batch, incident and lot."""
    lots = dict(_lots(studio))
    return Names(
        batches=dict(_batches(studio, lots)),
        incidents={ident: f"incident-{one.number}" for ident, one in studio.incidents.items()},
        lots=lots,
    )


def batches_called(studio: Studio, name: str) -> tuple[str, ...]:
    """Return the batches that a neutral name may mean, by their own names; none where it is none.

    Batches of one recipe and day are told apart by a number, and one that comes later may change
    the numbers of the others: each of them may be meant then.
    """
    names = names_for(studio).batches
    meant = [studio.batches[old] for old, new in names.items() if new == name]
    return tuple(
        ident
        for ident, one in sorted(studio.batches.items())
        for other in meant
        if (one.recipe, one.on) == (other.recipe, other.on)
    )


def lots_called(studio: Studio, item: Ref, name: str) -> tuple[str, ...]:
    """Return the lots of an item that a name may mean: its own, or a neutral one.

    Lots that first came on one day are told apart by a number, as batches are.
    """
    names = {lot: new for (of, lot), new in names_for(studio).lots.items() if of == item}
    days = {new[:_ISO_DAY] for new in names.values() if new == name}
    neutral_ones = {lot for lot, new in names.items() if new[:_ISO_DAY] in days}
    return tuple(sorted(neutral_ones | ({name} & names.keys())))


def _vessels(studio: Studio, unnamed: str) -> dict[str, Vessel]:
    """Return the vessels without the people, addresses and telephones behind their evidence."""

    def told(one: HeatEvidence) -> HeatEvidence:
        is_known = one.by in studio.helpers or one.by in studio.suppliers
        return one if is_known else replace(one, by=unnamed)

    return {
        ident: replace(one, heat_evidence=tuple(map(told, one.heat_evidence)))
        for ident, one in studio.vessels.items()
    }


def _lots(studio: Studio) -> Iterator[tuple[tuple[Ref, str], str]]:
    """Yield each lot with the day of its first delivery; a second one of a day is numbered."""
    lines = (
        ((bill.on, line.item, line.quantity.value, line.quantity.written), line)
        for bill in studio.purchases.values()
        for line in bill.lines
    )
    taken: Counter[tuple[Ref, str]] = Counter()
    known: set[tuple[Ref, str]] = set()
    for (on, *_), line in sorted(lines, key=lambda pair: pair[0]):
        if line.lot is None or (line.item, line.lot) in known:
            continue
        known.add((line.item, line.lot))
        taken[line.item, on.isoformat()] += 1
        yield (line.item, line.lot), _numbered(on.isoformat(), taken[line.item, on.isoformat()])


def _batches(studio: Studio, lots: Mapping[tuple[Ref, str], str]) -> Iterator[tuple[str, str]]:
    """Yield each batch with its recipe and day; a second one of a day is numbered."""
    taken: Counter[str] = Counter()

    def told(pair: tuple[str, Batch]) -> tuple[object, ...]:
        one = pair[1]
        used = sorted((item, lots.get((item, lot), "")) for item, lot in one.lots.items())
        return (one.on, one.recipe, one.made, one.by, used, one.net_g)

    for ident, one in sorted(studio.batches.items(), key=told):
        name = f"{one.recipe}-{one.on.isoformat()}"
        taken[name] += 1
        yield ident, _numbered(name, taken[name])


def _numbered(name: str, number: int) -> str:
    return name if number == 1 else f"{name}-{number}"


def _in_prose(names: Names) -> Callable[[str], str]:
    """Return what puts the new names in the place of the old ones in a text."""
    lots = {lot: new for (_, lot), new in names.lots.items()}
    found = {
        old: new
        for old, new in {**lots, **names.incidents, **names.batches}.items()
        if len(old) >= _LEAST_LETTERS and old != new
    }
    longest = sorted(found, key=len, reverse=True)
    pattern = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest)) or '(?!)'})(?!\w)")
    return lambda text: pattern.sub(lambda hit: found[hit.group()], text)


def _at(record: Any, ident: str) -> Any:  # noqa: ANN401 -- a batch or an incident
    source: Source = record.source
    file = str(PurePosixPath(source.file).with_name(f"{ident}.md"))
    return replace(record, source=replace(source, id=ident, file=file))


def _renamed(value: Any, names: Names, told: Callable[[str], str]) -> Any:  # noqa: ANN401
    """Return any part of the studio with its lots, what it is about and its texts renamed."""
    if isinstance(value, str):
        return told(value) if " " in value or "\n" in value else value
    if isinstance(value, tuple):
        parts = [_renamed(one, names, told) for one in value]
        return type(value)(*parts) if hasattr(value, "_fields") else tuple(parts)
    if isinstance(value, Mapping):
        kept = {key: _renamed(one, names, told) for key, one in value.items()}
        return MappingProxyType(kept)
    if isinstance(value, Source):
        return replace(value, body=told(value.body), own=_NOTHING)
    if is_dataclass(value) and not isinstance(value, type):
        return _renamed_record(value, names, told)
    return value


def _renamed_record(record: Any, names: Names, told: Callable[[str], str]) -> Any:  # noqa: ANN401
    new: dict[str, Any] = {}
    for field in fields(record):
        old = getattr(record, field.name)
        if field.name == "lots" and isinstance(old, Mapping):
            new[field.name] = MappingProxyType(
                {item: names.lots.get((item, lot), told(lot)) for item, lot in old.items()}
            )
        elif field.name == "lot" and old is not None:
            item = getattr(record, "item", None) or record.about
            new[field.name] = names.lots.get((item, old), told(old))
        elif field.name == "about" and isinstance(old, Ref):
            new[field.name] = names.about(old)
        else:
            new[field.name] = _renamed(old, names, told)
    changed = {key: value for key, value in new.items() if value is not getattr(record, key)}
    return replace(record, **changed) if changed else record

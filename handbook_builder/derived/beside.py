"""What stands beside records: who may have which attachments, and what should be looked at."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from handbook_builder.notices import notice
from handbook_builder.problems import Place, Problem
from handbook_builder.reading.beside import (
    LARGEST_ATTACHMENT,
    SHOWN_TO_HELPERS,
    Attachment,
    Attachments,
)
from handbook_builder.reading.leftovers import PassedOver
from handbook_builder.reading.records import KINDS, SHOWN_AS
from handbook_builder.reading.refs import Ref
from handbook_builder.reading.shape import Source, keys_of
from handbook_builder.studio.studio import Studio

FOLDER: Final = "attachments"  # of a finished site
_MEGA: Final = 1_000_000
_NUMBERS: Final = re.compile(r"[_0-9]+$")  # behind the name of an entry: x-cycles-9


def address_of(one: Attachment) -> str:
    """Return where an attachment stands in a finished site."""
    return f"{FOLDER}/{one.record}/{one.name}"


def sources_of(studio: Studio) -> Iterator[Source]:
    """Yield where each record was written: the studio's own, then kind by kind."""
    yield studio.info.source
    for kind in KINDS:
        yield from (one.source for one in getattr(studio, kind, {}).values())


def for_helpers(studio: Studio, names: Mapping[str, Mapping[str, str]]) -> Attachments:
    """Return the attachments that helpers need, as their records say, and no other.

    `names` are the neutral names of records, by the folder of their kind and their own name.
    """
    found: dict[Ref, tuple[Attachment, ...]] = {}
    for source in sources_of(studio):
        if source.kind not in SHOWN_TO_HELPERS or not source.for_helpers:
            continue
        ref = Ref.to(source.kind, names.get(source.kind, {}).get(source.id, source.id))
        there = studio.attachments.get(Ref.to(source.kind, source.id), ())
        found[ref] = tuple(
            replace(one, record=ref) for one in there if one.name in source.for_helpers
        )
    return MappingProxyType(found)


def published(attachments: Attachments) -> Mapping[str, str]:
    """Return the attachments that a site holds: where each stands, and its file in the records."""
    return {
        address_of(one): one.file
        for those in attachments.values()
        for one in those
        if not one.is_too_large
    }


def beside_notices(studio: Studio) -> Iterator[Problem]:
    """Yield what is passed over, what is too large, and keys of one's own that look like others."""
    yield from left_notices(studio.passed_over)
    for those in studio.attachments.values():
        for one in those:
            if one.is_too_large:
                sizes = {"size": one.size_bytes // _MEGA, "limit": LARGEST_ATTACHMENT // _MEGA}
                yield notice(Place(f"{SHOWN_AS}{one.file}"), "attachment_large", sizes)
    yield from _like_a_key(studio)


def left_notices(passed_over: Iterable[PassedOver]) -> Iterator[Problem]:
    """Yield each thing that is passed over: a record may have been saved under such a name."""
    for left in passed_over:
        code = "left_behind_records" if left.records else "left_behind"
        yield notice(Place(f"{SHOWN_AS}{left.path}"), code, {"count": left.records})


def _like_a_key(studio: Studio) -> Iterator[Problem]:
    """Yield each key of one's own that would be one of its record without `x-` and a number."""
    for source in sources_of(studio):
        kind = type(studio.info) if source.kind == "" else KINDS.get(source.kind)
        known = () if kind is None else keys_of(kind)
        for key in source.own:
            name = key.removeprefix("x-").replace("-", "_")
            numberless = _NUMBERS.sub("", name)
            meant = next((one for one in (name, numberless) if one in known), None)
            if meant is not None:
                yield notice(source.place(key), "own_key_meant", {"found": key, "key": meant})

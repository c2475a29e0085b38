"""The pages that take readings: one a candle that is not at its end, and one for several."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from handbook_builder.pages.bench.candle import candle_told, on_file, takes_readings
from handbook_builder.pages.bench.understood import Told, understood
from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.page import Page
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.readings import READINGS, SEEN_WORDS
from handbook_builder.writing.cycle_draft import ASKED, CYCLE_KEYS, END_KEYS, units_asked

INDEX: Final = "bench/index"
# A file that was handed over may be on a device for some weeks after its candle has ended.
_REMEMBERED: Final = timedelta(days=90)
# How a unit that records write in letters is shown beside its field.
_SIGNS: Final = {"degC": "\N{DEGREE SIGN}C", "degF": "\N{DEGREE SIGN}F"}
# Values that hold words or several units, so that a keyboard of digits alone would not do.
_IN_WORDS: Final = ("burned", "note")


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a cycle: its key, what it asks, its unit, and whether digits alone will do."""

    key: str
    label: str
    unit: str
    is_number: bool


@dataclass(frozen=True, slots=True)
class BenchPage:
    """What a bench page shows, and all that its script is told."""

    lead: str
    product: Link | None
    candles: tuple[Link, ...]
    fields: tuple[Field, ...]
    seen: tuple[tuple[str, str], ...]
    states: Mapping[str, tuple[tuple[str, str], ...]]
    words: Mapping[str, object]
    told: Told
    own_tests: str


@dataclass(frozen=True, slots=True)
class EndedPage:
    """What stands where a candle's bench page was, for a code that was printed before its end."""

    said: str
    candle: Link
    kept: str
    bench: Link


def bench_link(desk: Desk, ident: str) -> Link | None:
    """Return the link to a candle's bench page, or None when it has none."""
    if ident not in desk.judged.burns or not takes_readings(desk.studio.burns[ident]):
        return None
    return Link(desk.phrase("bench.link"), f"bench/{ident}")


def bench_of_several(desk: Desk) -> Link | None:
    """Return the link to the bench page of several candles, or None while no candle has one."""
    known = any(bench_link(desk, ident) is not None for ident in desk.judged.burns)
    return Link(desk.phrase("bench.link_several"), INDEX) if known else None


def bench_pages(desk: Desk) -> Iterator[Page]:
    """Yield the page of several candles, that of each, and what stands where one has ended."""
    shared = _shared(desk)
    idents = [ident for ident in desk.judged.burns if takes_readings(desk.studio.burns[ident])]
    yield Page(INDEX, desk.phrase("bench.title"), "bench", _content(desk, idents, shared), 0.3)
    for ident in idents:
        title = desk.phrase("bench.of", candle=desk.test(ident).title)
        content = _content(desk, [ident], shared, desk.test(ident))
        yield Page(f"bench/{ident}", title, "bench", content, 0.2, (ident,))
    for ident in sorted(desk.judged.burns.keys() - set(idents)):
        yield _ended(desk, ident)


def _ended(desk: Desk, ident: str) -> Page:
    candle = desk.test(ident)
    content = EndedPage(
        said=desk.phrase("bench.ended.said"),
        candle=candle,
        kept=desk.phrase("bench.ended.kept"),
        bench=Link(desk.phrase("bench.title"), INDEX),
    )
    title = desk.phrase("bench.of", candle=candle.title)
    return Page(f"bench/{ident}", title, "bench_ended", content, 0.1)


def _content(desk: Desk, idents: list[str], shared: Told, own: Link | None = None) -> BenchPage:
    links = [Link(desk.test(ident).title, f"bench/{ident}") for ident in idents]
    told = {**shared, "candles": [candle_told(desk, ident) for ident in idents]}
    if own is None:
        told["ended"] = [on_file(*one) for one in _lately_ended(desk)]
    return BenchPage(
        lead=desk.phrase("bench.lead" if own is None else "bench.lead_one"),
        product=own,
        candles=tuple(links),
        fields=_fields(desk),
        seen=tuple((word, desk.words.seen(word)) for word in SEEN_WORDS),
        states=_states(desk),
        words=desk.words.phrases["pages"]["bench"],
        told=told,
        own_tests=desk.phrase("own_tests"),
    )


def _lately_ended(desk: Desk) -> Iterator[tuple[str, Burn]]:
    """Yield each candle whose end may still be on a device, handed over and not yet let go."""
    for ident, burn in desk.studio.burns.items():
        ended = not takes_readings(burn) and burn.cycles
        if ended and burn.cycles[-1].on.day >= desk.day - _REMEMBERED:
            yield ident, burn


def _fields(desk: Desk) -> tuple[Field, ...]:
    """Return the fields in the order in which the readings are taken."""
    units = units_asked(desk.studio.info.units)
    asked = desk.words.phrases["new_and_log"]["asked"]
    found = []
    for key in ASKED:
        written = units.get(key, "")
        unit = _SIGNS.get(written, written)
        if key in READINGS:
            label = desk.words.reading(key, "asked").format(unit=unit)
        else:
            label = str(asked[key]).format(unit=unit)
        found.append(Field(key, label, unit, key not in _IN_WORDS))
    return tuple(found)


def _states(desk: Desk) -> dict[str, tuple[tuple[str, str], ...]]:
    """Return the words of an end, and of how a candle stood, each with how it is called."""
    said = desk.words.seen
    vessel = ("sound", "cracked", "leaking", "broken", "unseen")
    tilt = ("steady", "fell", "untried")
    return {
        "vessel": tuple((word, said(word)) for word in vessel),
        "tilt": tuple((word, said(word)) for word in tilt),
    }


def _shared(desk: Desk) -> Told:
    """Return what every bench page is told, whatever its candles."""
    phrases, log = desk.words.phrases, desk.words.phrases["new_and_log"]
    bench = phrases["pages"]["bench"]
    return {
        "edition": desk.edition.value,
        "habit": desk.studio.info.units,
        "units": dict(units_asked(desk.studio.info.units)),
        "keys": {"cycle": list(CYCLE_KEYS), "end": list(END_KEYS), "asked": list(ASKED)},
        "understood": understood(),
        "slips": dict(log["questions"]),
        "reasons": {code: phrases["reasons"][code]["say"] for code in _worded(desk)},
        "seen": {word: desk.words.seen(word) for word in SEEN_WORDS},
        "readings": {key: desk.words.reading(key) for key in READINGS},
        "said": bench["said"],
        "cycles_told": bench["said"]["days"],
        "words": {**bench["buttons"], "due": bench["fields"]["due"]},
        "future": log["future"],
    }


def _worded(desk: Desk) -> Iterator[str]:
    """Yield the codes of the reasons that a bench page may have to say."""
    ends = ("_over", "_under")
    yield from (code for code in desk.words.phrases["reasons"] if code.endswith(ends))
    yield from (
        "seen", "too_long", "too_short", "dates_backwards", "rest_unknown", "rest_too_short",
        "before_pouring", "mass_went_up", "nothing_burned", "pool_too_wide", "mass_jumped",
        "not_cured",
    )  # fmt: skip

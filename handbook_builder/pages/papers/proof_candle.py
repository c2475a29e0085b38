"""One test candle as a proof tells it: what it was, every cycle with all that was read, its end."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.pages.desk import Desk, Link, item_link
from handbook_builder.pages.papers.places import From, Stated, come_from, from_record
from handbook_builder.pages.products.misuse import ladder_told, misuse_told
from handbook_builder.pages.tests.amended import amended_told
from handbook_builder.pages.tests.columns import cells
from handbook_builder.pages.tests.lines import lacks
from handbook_builder.pages.tests.pictures import Strip, strip_of_candle
from handbook_builder.reading.kinds.making import Burn, Void
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import CycleVerdict
from handbook_builder.verdicts.readings import Verdict
from handbook_builder.verdicts.seen import Numbered
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class ProofCycle:
    """One cycle: its readings under the proof's columns, and what stands beside them."""

    number: int
    on: str
    word: Word
    cells: tuple[str | None, ...]
    beside: tuple[str, ...]
    place: From


@dataclass(frozen=True, slots=True)
class ProofCandle:
    """One test candle; `name` is its letter, and `note` what its record tells in its own words."""

    id: str
    name: str
    link: Link
    word: Word
    why: tuple[Stated, ...]
    facts: tuple[Stated, ...]
    used: tuple[Stated, ...]
    cycles: tuple[ProofCycle, ...]
    pictures: Strip | None
    note: str


def proof_candle(desk: Desk, candle: CandleVerdict) -> ProofCandle:
    """Return one test candle with everything that its record holds."""
    burn = candle.seen.burn
    return ProofCandle(
        id=candle.id,
        name=burn.candle,
        link=desk.test(candle.id),
        word=desk.words.verdict(candle.verdict),
        why=tuple(dict.fromkeys(_why(desk, candle))),
        facts=tuple(fact for fact in _facts(desk, candle) if fact.text is not None),
        used=tuple(_used(desk, burn)),
        cycles=_cycles(desk, candle),
        pictures=strip_of_candle(desk, candle),
        note=burn.source.body,
    )


def _why(desk: Desk, candle: CandleVerdict) -> Iterator[Stated]:
    """Yield how it was burned, when that was no test, and what speaks against it."""
    source, misuse = candle.seen.burn.source, misuse_told(desk, candle)
    if misuse is not None:
        yield Stated("", misuse, from_record(desk, source, "as", "how"))
    ladder = ladder_told(desk, candle)
    if ladder is not None:
        yield Stated("", ladder, from_record(desk, source, "as", "made.rungs"))
    is_aside = candle.verdict in {Verdict.VOID, Verdict.MISUSE}
    for reason in candle.failures or (() if is_aside else lacks(candle)):
        yield Stated("", desk.words.say(reason), (come_from(desk, reason.place),))


def _facts(desk: Desk, candle: CandleVerdict) -> Iterator[Stated]:
    yield from _poured(desk, candle.seen.burn)
    yield from _came_to(desk, candle)
    yield from _ended(desk, candle)
    if candle.seen.is_void and candle.seen.burn.void is not None:
        yield void_told(desk, candle.seen.burn, candle.seen.burn.void)


def _stated(desk: Desk, burn: Burn, label: str, text: str | None, *keys: str) -> Stated:
    """Return a fact of a test candle, with the lines of its record that say it."""
    return Stated(
        desk.phrase(f"papers.candle.{label}"), text, from_record(desk, burn.source, *keys)
    )


def _poured(desk: Desk, burn: Burn) -> Iterator[Stated]:
    """Yield how it was poured and with what it was measured."""
    made, show = burn.made, desk.words.quantity
    yield _stated(desk, burn, "poured", desk.words.day(made.on), "made.on")
    yield _stated(desk, burn, "together", str(made.candles), "made.candles")
    width = desk.studio.inside_diameter_mm(made)
    yield _stated(desk, burn, "width", show(width, "mm"), "made.inside_diameter")
    yield _stated(desk, burn, "tilt_new", _called(desk, made.tilt), "made.tilt")
    yield _stated(desk, burn, "scale", desk.terse.quantity(burn.scale_g, "g"), "scale")
    yield _stated(desk, burn, "room", desk.maybe(burn.room_c, "c"), "room")
    yield _stated(desk, burn, "by", burn.by, "by")


def _came_to(desk: Desk, candle: CandleVerdict) -> Iterator[Stated]:
    figures, burn = desk.account.burns[candle.id], candle.seen.burn
    yield _stated(desk, burn, "hours", desk.words.quantity(figures.hours_h, "h"), "cycles")
    yield _stated(desk, burn, "consumed", desk.mass(figures.consumed_g), "cycles")
    if figures.rate_g_per_h is not None:
        rate = desk.phrase("rate", rate=f"{figures.rate_g_per_h:.2f}")
        yield _stated(desk, burn, "rate", rate, "cycles")
    to_stop_h = _to_stop_h(desk, candle)
    yield _stated(desk, burn, "to_stop", desk.maybe(to_stop_h, "h"), "cycles")


def _to_stop_h(desk: Desk, candle: CandleVerdict) -> float | None:
    """Return how long it burned to the stop mark; of candles that passed alone that is reckoned."""
    lives = (figures.to_stop.lives_h for figures in desk.account.products.values())
    return next((life[candle.id] for life in lives if candle.id in life), None)


def _ended(desk: Desk, candle: CandleVerdict) -> Iterator[Stated]:
    end, burn = candle.seen.end, candle.seen.burn
    if end is None:
        return
    how = _called(desk, end.how)
    told = how if end.why is None else f"{how}: {end.why}"
    yield _stated(desk, burn, "how", told, "end.how", "end.why")
    yield _stated(desk, burn, "left", desk.maybe(end.left_g, "g"), "end.left")
    yield _stated(desk, burn, "vessel", _called(desk, end.vessel), "end.vessel")
    yield _stated(desk, burn, "tilt", _called(desk, end.tilt), "end.tilt")
    yield _stated(desk, burn, "amended", amended_told(desk, end), "end.amended")


def void_told(desk: Desk, burn: Burn, void: Void) -> Stated:
    """Return who set a test candle aside, when and why."""
    text = desk.phrase(
        "papers.candle.set_aside", on=desk.words.day(void.on), by=void.by, why=void.why
    )
    return _stated(desk, burn, "void", text, "void")


def _called(desk: Desk, word: str | None) -> str | None:
    return None if word is None else desk.words.seen(word)


def _used(desk: Desk, burn: Burn) -> Iterator[Stated]:
    """Yield what went into it, with the lot where that is on file."""
    made = burn.made
    pieces = (("vessels", made.vessel, "1", "made.vessel"),
              ("wicks", made.wick, str(made.wicks), "made.wick"))  # fmt: skip
    weighed = (
        (folder, ident, desk.words.quantity(mass_g, "g"), f"made.{key}.{ident}")
        for folder, key, masses in (
            ("waxes", "wax", made.wax),
            ("fragrances", "fragrance", made.fragrance),
            ("colorants", "colorant", made.colorant),
        )
        for ident, mass_g in masses.items()
    )
    lots = {(item.folder, item.id): lot for item, lot in burn.lots.items()}
    for folder, ident, amount, key in (*pieces, *weighed):
        lot = lots.get((folder, ident))
        keys = (key,) if lot is None else (key, f"lots.{folder}/{ident}")
        note = "" if lot is None else desk.phrase("papers.candle.lot", lot=lot)
        places = from_record(desk, burn.source, *keys)
        yield Stated(item_link(folder, ident).title, amount, places, note)


def _cycles(desk: Desk, candle: CandleVerdict) -> tuple[ProofCycle, ...]:
    figures = desk.account.burns[candle.id].cycles
    burn = candle.seen.burn
    return tuple(
        ProofCycle(
            number=verdict.number,
            on=_lit(seen.cycle),
            word=desk.words.verdict(verdict.verdict),
            cells=cells(desk, seen.cycle, figure),
            beside=tuple(_beside(desk, burn, seen, verdict)),
            place=come_from(
                desk, burn.source.place(f"cycles[{seen.index}]"), f"cycle-{verdict.number}"
            ),
        )
        for seen, verdict, figure in zip(candle.seen.cycles, candle.cycles, figures, strict=True)
    )


def _lit(cycle: Cycle) -> str:
    day = cycle.on.day.isoformat()
    return day if cycle.on.at is None else f"{day} {cycle.on.at:%H:%M}"


def _beside(desk: Desk, burn: Burn, seen: Numbered, verdict: CycleVerdict) -> Iterator[str]:
    """Yield all that a cycle tells besides the readings in its row."""
    cycle, show = seen.cycle, desk.terse.quantity
    if cycle.checks:
        checks = ", ".join(
            desk.phrase("papers.cycle.check", pool=show(pool, "mm"), hours=show(hour, "h"))
            for hour, pool in sorted(cycle.checks.items())
        )
        yield desk.phrase("papers.cycle.checks", checks=checks)
    if cycle.room_c is not None and cycle.room_c != burn.room_c:
        yield desk.phrase("papers.cycle.room", room=show(cycle.room_c, "c"))
    if cycle.trimmed_g is not None:
        yield desk.phrase("papers.cycle.trimmed", trimmed=show(cycle.trimmed_g, "g"))
    if cycle.unread:
        readings = ", ".join(desk.words.reading(key).lower() for key in cycle.unread)
        yield desk.phrase("papers.cycle.unread", readings=readings)
    yield from _found(desk, verdict)
    amended = amended_told(desk, cycle)
    if amended is not None:
        yield amended
    if cycle.note is not None:
        yield desk.phrase("papers.cycle.note", note=cycle.note)


def _found(desk: Desk, verdict: CycleVerdict) -> Iterator[str]:
    """Yield what was found in a cycle, by how it counts."""
    for sort, reasons in (
        ("failure", verdict.failures),
        ("gap", verdict.gaps),
        ("watch", verdict.watches),
        ("seen", verdict.notes),
    ):
        for reason in reasons:
            yield desk.phrase(f"papers.cycle.{sort}", what=desk.words.say(reason))

"""What ails a candle, in words: each finding with what led to it, its usual cause and remedy."""

from collections import defaultdict
from dataclasses import dataclass
from typing import Final

from handbook_builder.derived.diagnoses import findings_in_common, findings_of
from handbook_builder.figures.diagnosis import Finding, Reading, Shared
from handbook_builder.pages.desk import Desk
from handbook_builder.verdicts.approval import Burned, Product, every_candle

# The sentence of a finding that came about in another way, by the number that shows it.
_OTHERWISE: Final = {
    ("tunnelling", "left_share"): "tell_left",
    ("drowning", "first_mm"): "tell_flame",
}


@dataclass(frozen=True, slots=True)
class FindingShown:
    """One finding: `led_by` are the readings that led to it."""

    title: str
    tell: str
    led_by: str
    cause: str
    remedy: str


@dataclass(frozen=True, slots=True)
class SharedShown:
    """A finding that candles of a product share: `who` says which."""

    title: str
    who: str
    cause: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What ails one candle, or what ails a series; `nothing` stands in place of findings."""

    findings: tuple[FindingShown, ...]
    shared: tuple[SharedShown, ...]
    nothing: str
    note: str
    practice: str


def diagnosis_of_test(desk: Desk, burned: Burned) -> Diagnosis | None:
    """Return what ails a test candle, or None before it was lit and of a misuse burn."""
    candle = burned.candle
    if not candle.seen.cycles or candle.seen.burn.is_misuse:
        return None
    found = findings_of(desk.studio, candle, desk.account.burns[candle.id])
    shown = tuple(finding_shown(desk, one) for one in found)
    return _diagnosis(desk, shown, (), "none")


def diagnosis_of_product(desk: Desk, product: Product) -> Diagnosis | None:
    """Return what the candles of a product share, or None when none of them was lit."""
    candles = every_candle(product)
    if not any(candle.seen.cycles for candle in candles):
        return None
    found = findings_in_common(desk.studio, candles, desk.account.burns)
    return _diagnosis(desk, (), tuple(_in_common(desk, one) for one in found), "none_series")


def _diagnosis(
    desk: Desk, findings: tuple[FindingShown, ...], shared: tuple[SharedShown, ...], nothing: str
) -> Diagnosis:
    note, practice = desk.phrase("diagnosis.note"), desk.phrase("diagnosis.practice")
    return Diagnosis(findings, shared, desk.phrase(f"diagnosis.{nothing}"), note, practice)


def finding_shown(desk: Desk, one: Finding) -> FindingShown:
    """Return a finding in words, with its numbers and the readings that led to it."""
    ways = (_OTHERWISE.get((one.code, name)) for name in one.numbers)
    tell = next((way for way in ways if way), "tell")
    numbers = {name: _quantity(desk, name, value) for name, value in one.numbers.items()}
    at = f"diagnosis.findings.{one.code}"
    return FindingShown(
        title=desk.phrase(f"{at}.title"),
        tell=desk.phrase(f"{at}.{tell}", **numbers),
        led_by=_led_by(desk, one.readings),
        cause=desk.phrase(f"{at}.cause"),
        remedy=desk.phrase(f"{at}.remedy"),
    )


def _quantity(desk: Desk, name: str, value: float) -> str:
    """Return a number of a finding with its unit, rounded as it was read."""
    if name.endswith("_g_per_h"):
        return desk.words.quantity(value, "g_per_h")
    suffix = name.rpartition("_")[2]
    if suffix == "share":
        return desk.words.percent(round(value, 2))
    return desk.words.quantity(round(value, 0) if suffix == "mm" else value, suffix)


def _led_by(desk: Desk, readings: tuple[Reading, ...]) -> str:
    """Return the readings in words: what was seen, each word once, then cycle by cycle."""
    seen: dict[str, list[int]] = defaultdict(list)
    for reading in readings:
        if reading.value is None:
            seen[reading.name].append(reading.cycle)
    said = [_sight(desk, word, cycles) for word, cycles in seen.items()]
    said += [
        _reading(desk, reading, reading.value) for reading in readings if reading.value is not None
    ]
    sentence = "; ".join(said)
    return f"{sentence[:1].upper()}{sentence[1:]}."


def _sight(desk: Desk, word: str, cycles: list[int]) -> str:
    several = ", ".join(str(cycle) for cycle in cycles)
    return desk.phrase("diagnosis.seen", word=desk.words.seen(word), cycles=several)


def _reading(desk: Desk, one: Reading, value: float) -> str:
    shown = _quantity(desk, one.name, value)
    read = desk.phrase(f"diagnosis.readings.{one.name}", value=shown)
    return desk.phrase("diagnosis.cycle", cycle=one.cycle, read=read)


def _in_common(desk: Desk, one: Shared) -> SharedShown:
    at = f"diagnosis.findings.{one.code}"
    return SharedShown(
        title=desk.phrase(f"{at}.title"),
        who=told_who(desk, one),
        cause=desk.phrase(f"{at}.cause"),
        remedy=desk.phrase(f"{at}.remedy"),
    )


def told_who(desk: Desk, one: Shared) -> str:
    """Return which candles of a series have a finding."""
    if one.is_common:
        return desk.phrase("diagnosis.who.all", of=one.of)
    if one.of == 1:
        return desk.phrase("diagnosis.who.only")
    letters = [desk.studio.burns[ident].candle for ident in one.candles]
    form = "many" if len(letters) > 1 else "one"
    named = desk.phrase(f"diagnosis.who.{form}", candle=letters[0], candles=", ".join(letters))
    return desk.phrase("diagnosis.who.some", candles=named, of=one.of)

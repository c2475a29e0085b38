"""The hazards of a finished candle in words: what it is, through what, by which rule."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Final

from handbook_builder.derived.hazards import CandleHazards, candle_hazards
from handbook_builder.hazards.classify import Ignored, Result
from handbook_builder.hazards.precaution import small_pack, statements_due
from handbook_builder.hazards.steps import Step
from handbook_builder.hazards.threshold import Part, Working
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.label_words import notes_said
from handbook_builder.reading.statements import NAMING
from handbook_builder.verdicts.approval import Product

_DIGITS: Final = 3
_NAMED_KINDS: Final = {"euh208": "named", "pictogram": "pictogram"}


@dataclass(frozen=True, slots=True)
class ClassShown:
    """One class: through which components, by which clause, and how surely that was read."""

    name: str
    through: str
    clause: str
    sure: str


@dataclass(frozen=True, slots=True)
class StatementShown:
    """One statement: its number, its words, and how surely they were read."""

    number: str
    text: str
    sure: str


@dataclass(frozen=True, slots=True)
class Hazards:
    """The hazards of a candle; `lead` says when nothing was found, or not everything is known."""

    is_complete: bool
    lead: tuple[str, ...]
    classes: tuple[ClassShown, ...]
    signal: str | None
    pictograms: tuple[str, ...]
    statements: tuple[StatementShown, ...]
    contains: tuple[str, ...]
    by_hand: tuple[str, ...]
    ignored: tuple[str, ...]
    steps_lead: str
    steps: tuple[str, ...]


def hazards_of(desk: Desk, product: Product) -> Hazards:
    """Return the hazards of a product's candle, with how each came about."""
    found = candle_hazards(desk.studio, product.recipe, desk.day)
    result = found.result
    return Hazards(
        is_complete=result.complete,
        lead=_lead(desk, result),
        classes=tuple(_class(desk, result.working_of(name)) for name in result.classes),
        signal=result.signal,
        pictograms=result.pictograms,
        statements=tuple(_statements(desk, result)),
        contains=result.contains,
        by_hand=(*notes_said(desk, (*result.by_hand, *result.told)), *_small(desk, result)),
        ignored=tuple(_ignored(desk, one) for one in result.ignored),
        steps_lead=_steps_lead(desk, found),
        steps=tuple(_steps(desk, found.steps)) or (desk.phrase("label.no_steps"),),
    )


def _lead(desk: Desk, result: Result) -> tuple[str, ...]:
    """Return that not everything is known, with what is not, or that nothing was found, if so."""
    if not result.complete:
        return (desk.phrase("label.incomplete"), *notes_said(desk, result.missing))
    return () if result.classes or result.euh208 else (desk.phrase("label.nothing"),)


def _class(desk: Desk, working: Working) -> ClassShown:
    return ClassShown(
        name=working.outcome,
        through=_through(desk, working),
        clause=working.clause,
        sure=desk.phrase(f"label.sure.{working.sure}"),
    )


def _through(desk: Desk, working: Working) -> str:
    if not working.is_sum:
        return ", ".join(_part(desk, part) for part in working.through)
    parts = ", ".join(
        desk.phrase("label.parts_sum", name=part.name, share=_share(part.share))
        for part in working.through
    )
    return desk.phrase("label.summed", parts=parts, total=_share(working.total))


def _part(desk: Desk, part: Part) -> str:
    share, limit = _share(part.share), _share(part.limit)
    return desk.phrase("label.parts_alone", name=part.name, share=share, limit=limit)


def _share(share: Fraction) -> str:
    """Return a share in per cent, with enough digits that a limit and what is near it differ."""
    return f"{float(share) * 100:.{_DIGITS}g} %"


def _statements(desk: Desk, result: Result) -> Iterator[StatementShown]:
    english = desk.press.catalogues["en"]
    for number in statements_due(result):
        known = english.statements.get(number)
        if known is None:
            yield StatementShown(number, desk.phrase("label.unsaid"), "")
            continue
        names = result.euh208 if number == NAMING else ()
        said, sure = english.said(number, names), desk.phrase(f"label.sure.{known.sure}")
        yield StatementShown(number, said, sure)


def _small(desk: Desk, result: Result) -> tuple[str, ...]:
    pack = small_pack(result)
    what = ", ".join((*pack.h, *pack.p))
    return (desk.phrase("label.small_pack", what=what),) if what else ()


def _ignored(desk: Desk, one: Ignored) -> str:
    limit = "" if one.limit is None else _share(one.limit)
    said = {"hazard": one.hazard, "name": one.name, "share": _share(one.share), "limit": limit}
    return desk.phrase(f"label.{one.why}", **said)


def _steps_lead(desk: Desk, found: CandleHazards) -> str:
    up_to, load = _share(found.up_to), _share(found.load_on_wax)
    return desk.phrase("label.steps_lead", up_to=up_to, load=load)


def _steps(desk: Desk, steps: Sequence[Step]) -> Iterator[str]:
    """Yield all that changes at one load as one sentence."""
    for (at, beyond), together in groupby(steps, key=lambda step: (step.at, step.beyond)):
        changes = tuple(together)
        what = "; ".join(_change(desk, step) for step in changes)
        through = ", ".join(dict.fromkeys(name for step in changes for name in step.through))
        key = "label.step_beyond" if beyond else "label.step"
        yield desk.phrase(key, at=_share(at), what=what, through=through)


def _change(desk: Desk, step: Step) -> str:
    name = step.appears or step.falls_away or ""
    if step.kind in _NAMED_KINDS:
        name = desk.phrase(f"label.{_NAMED_KINDS[step.kind]}", name=name)
    return desk.phrase("label.appears" if step.appears else "label.falls", what=name)

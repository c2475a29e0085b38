"""The label of a product for a market, laid out on its panels; or everything that is against it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.hazards import MARKETS, hazards_now
from handbook_builder.derived.label.panels import Panels, panels_of
from handbook_builder.derived.label.refusal import Refusal, batch_refusals, refusals
from handbook_builder.derived.label.says import (
    ON_STICKER,
    USA,
    Told,
    display_mm2,
    due,
    label_of,
    sticker,
)
from handbook_builder.hazards.classify import Result
from handbook_builder.labels.layout import Laid, lay_out, lay_out_label
from handbook_builder.labels.placed import Layout, Panel, TooSmall, Unprintable
from handbook_builder.labels.typeface import Typefaces
from handbook_builder.reading.kinds.items import Vessel
from handbook_builder.reading.statements import Catalogue
from handbook_builder.verdicts.judge import burned_of
from handbook_builder.verdicts.seen import Seen
from handbook_builder.words import Words

STICKER: Final = Panel(40.0, 25.0)
USUAL_LANGUAGE: Final = "en"
Catalogues = Mapping[str, Catalogue]


@dataclass(frozen=True, slots=True)
class Press:
    """What labels are made with: catalogues by their language, and the measures of the fonts."""

    catalogues: Catalogues
    faces: Typefaces


@dataclass(frozen=True, slots=True)
class Made:
    """A label for a market: its front, unless that stays bare, and its cautions.

    `on` names the packaging that bears the cautions, None for the vessel itself.
    """

    market: str
    languages: tuple[str, ...]
    front: Layout | None
    caution: Layout
    on: str | None

    @property
    def faces(self) -> tuple[Layout, ...]:
        """Return the faces that are printed."""
        return (self.caution,) if self.front is None else (self.front, self.caution)


@dataclass(frozen=True, slots=True)
class Asked:
    """What a label is asked for: the market, the languages and, where it is known, the batch."""

    market: str
    languages: tuple[str, ...]
    batch: str | None = None


def languages_for(account: Account, market: str) -> tuple[str, ...]:
    """Return the languages of a market's labels: those that the studio states, else English."""
    stated = account.studio.info.languages.get(market, (USUAL_LANGUAGE,))
    return tuple(dict.fromkeys(stated))


def label_for(
    account: Account, words: Words, ident: str, asked: Asked, press: Press
) -> Made | tuple[Refusal, ...]:
    """Return the label of a product, or every reason why there is none."""
    hazards = _hazards(account, ident, asked.market)
    told = _told(account, words, ident, asked, hazards)
    panels = panels_of(account.studio, account.judged.products[ident].recipe)
    against = (
        *refusals(account, ident, asked.market, hazards),
        *batch_refusals(account, ident, asked.market, asked.batch),
        *_unspoken(due(told), asked.languages, press.catalogues),
        *(() if panels else (Refusal("no_panel"),)),
        *_unmeasured(told),
    )
    if against or panels is None:
        return against
    return _laid(told, asked, panels, press)


def _hazards(account: Account, ident: str, market: str) -> Result | None:
    if market not in MARKETS:
        return None
    recipe = account.studio.recipes[ident]
    return hazards_now(account.studio, recipe, account.judged.as_of)


def _unspoken(
    names: Iterable[str], languages: Sequence[str], catalogues: Catalogues
) -> tuple[Refusal, ...]:
    """Return which of the statements `names` the catalogues of the languages do not say."""
    due_here = tuple(names)
    unknown = [
        Refusal("no_catalogue", {"language": language}) for language in languages
        if language not in catalogues
    ]  # fmt: skip
    lacking = [
        Refusal("statements_lacking", {"problem": problem})
        for language in languages
        if language in catalogues
        for problem in catalogues[language].lacking(due_here)
    ]
    return (*unknown, *lacking)


def _unmeasured(told: Told) -> tuple[Refusal, ...]:
    """Return that nobody can say how large the net weight must be."""
    if told.market != USA or told.display_mm2 is not None:
        return ()
    return (Refusal("no_display_area", {"vessel": told.vessel.source.id}),)


def _display_mm2(vessel: Vessel, panels: Panels | None) -> float | None:
    """Return the area of the jar's display panel, or of the printed panel where that is larger.

    A box beside the jar has a display panel of its own, at least as large as what is printed.
    """
    jar_mm2 = display_mm2(vessel)
    if jar_mm2 is None or panels is None:
        return jar_mm2
    return max(jar_mm2, (panels.front or panels.caution).area_mm2)


def _told(account: Account, words: Words, ident: str, asked: Asked, hazards: Result | None) -> Told:
    studio, recipe = account.studio, account.judged.products[ident].recipe
    protocol, info, vessel = studio.protocol, studio.info, studio.vessels[recipe.vessel]
    return Told(
        market=asked.market,
        product=recipe.title,
        scents=tuple(_spaced(oil) for oil in recipe.fragrance),
        net_g=account.products[ident].fill.net_g,
        studio=info.name,
        address=info.address or "",
        contact=info.contact,
        code=account.products[ident].code,
        batch=asked.batch,
        vessel=vessel,
        hours=f"{longest_cycle_h(account, ident):g}",
        trim=words.quantity(protocol.trim_mm, "mm"),
        stop=words.quantity(protocol.stop_at_mm, "mm"),
        hazards=hazards,
        display_mm2=_display_mm2(vessel, panels_of(studio, recipe)),
    )


def longest_cycle_h(account: Account, ident: str) -> float:
    """Return the longest time, in whole hours, that each candle of the proof burned at once.

    None of them may have burned less, so the least of their longest cycles counts; nothing burned
    is the protocol's own. Less than an hour is told to the tenth below.
    """
    longest = [
        max((cycle.cycle.burned_h or 0.0 for cycle in candle.seen.cycles), default=0.0)
        for candle in account.judged.products[ident].evidence.passed
    ]
    least_h = min(longest, default=account.studio.protocol.cycle_h)
    return float(floor(least_h)) if least_h >= 1 else floor(least_h * 10) / 10


def _spaced(ident: str) -> str:
    spaced = ident.replace("-", " ").removesuffix(" oil")
    return spaced[:1].upper() + spaced[1:]


def _laid(told: Told, asked: Asked, panels: Panels, press: Press) -> Made | tuple[Refusal, ...]:
    label = label_of(told, [press.catalogues[language] for language in asked.languages])
    laid = lay_out_label(label, panels.front, panels.caution, press.faces)
    below = "whole" if panels.front is None else "caution"
    faces = {"front": laid.front, below: laid.caution}
    against = tuple(_misfits((name, face) for name, face in faces.items() if face is not None))
    if against or not isinstance(laid.caution, Layout):
        return against
    front = laid.front if isinstance(laid.front, Layout) else None
    return Made(asked.market, asked.languages, front, laid.caution, panels.on)


def _misfits(faces: Iterable[tuple[str, Laid]]) -> Iterator[Refusal]:
    for name, face in faces:
        if isinstance(face, TooSmall):
            yield Refusal("too_small", {"face": name, "fit": face})
        elif isinstance(face, Unprintable):
            yield Refusal("unprintable", {"characters": "".join(face.characters)})


def stickers_of(
    account: Account, ident: str, language: str, press: Press, panel: Panel = STICKER
) -> tuple[tuple[Layout, ...], tuple[Refusal, ...]]:
    """Return a sticker for each test candle of a recipe that has not ended, or why there is none.

    Set aside or burned wrongly, it stands in the studio like any other. Both are empty when no
    test candle waits or burns.
    """
    against = _unspoken(ON_STICKER, (language,), press.catalogues)
    if against:
        return (), against
    said = (
        sticker(press.catalogues[language], account.burn_codes[burn], seen.burn.candle)
        for burn, seen in _unended(account, ident)
    )
    laid = [lay_out(blocks, panel, press.faces, is_centred=True) for blocks in said]
    against = tuple(_misfits(("sticker", face) for face in laid))
    faces = tuple(face for face in laid if isinstance(face, Layout))
    return ((), against) if against else (faces, ())


def _unended(account: Account, ident: str) -> Iterator[tuple[str, Seen]]:
    for burned in burned_of(account.judged).get(ident, ()):
        seen = burned.candle.seen
        if seen.end is None:
            yield burned.candle.id, seen

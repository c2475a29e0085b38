"""The label of a product for a market, laid out on its panels; or everything that is against it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.hazards import MARKETS, hazards_now
from handbook_builder.derived.label.panels import Panels, panels_of
from handbook_builder.derived.label.refusal import Refusal, batch_refusals, refusals
from handbook_builder.derived.label.says import Told, due, label_of, sticker
from handbook_builder.hazards.classify import Result
from handbook_builder.labels.layout import LaidLabel, lay_out, lay_out_label
from handbook_builder.labels.placed import Layout, Panel, TooSmall
from handbook_builder.labels.typeface import Typefaces
from handbook_builder.reading.statements import Catalogue
from handbook_builder.verdicts.approval import every_candle
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
    return account.studio.info.languages.get(market, (USUAL_LANGUAGE,))


def label_for(
    account: Account, words: Words, ident: str, asked: Asked, press: Press
) -> Made | tuple[Refusal, ...]:
    """Return the label of a product, or every reason why there is none."""
    hazards = _hazards(account, ident, asked.market)
    told = _told(account, words, ident, asked, hazards)
    panels = panels_of(account.studio, account.judged.products[ident].recipe)
    against = (
        *refusals(account, ident, asked.market, hazards),
        *batch_refusals(account, ident, asked.batch),
        *_unspoken(told, asked, press.catalogues),
        *(() if panels else (Refusal("no_panel"),)),
    )
    if against or panels is None:
        return against
    return _laid(told, asked, panels, press)


def _hazards(account: Account, ident: str, market: str) -> Result | None:
    if market not in MARKETS:
        return None
    recipe = account.studio.recipes[ident]
    return hazards_now(account.studio, recipe, account.judged.as_of)


def _unspoken(told: Told, asked: Asked, catalogues: Catalogues) -> tuple[Refusal, ...]:
    """Return what the catalogues of the languages do not say, and must."""
    unknown = [
        Refusal("no_catalogue", {"language": language}) for language in asked.languages
        if language not in catalogues
    ]  # fmt: skip
    lacking = [
        Refusal("statements_lacking", {"problem": problem})
        for language in asked.languages
        if language in catalogues
        for problem in catalogues[language].lacking(due(told))
    ]
    return (*unknown, *lacking)


def _told(account: Account, words: Words, ident: str, asked: Asked, hazards: Result | None) -> Told:
    studio, product = account.studio, account.judged.products[ident]
    protocol, info = studio.protocol, studio.info
    return Told(
        market=asked.market,
        product=product.recipe.title,
        scents=tuple(_spaced(one) for one in product.recipe.fragrance),
        net_g=account.products[ident].fill.net_g,
        studio=info.name,
        address=info.address or "",
        contact=info.contact,
        code=account.products[ident].code,
        batch=asked.batch,
        vessel=studio.vessels[product.recipe.vessel],
        hours=f"{longest_cycle_h(account, ident):g}",
        trim=words.quantity(protocol.trim_mm, "mm"),
        stop=words.quantity(protocol.stop_at_mm, "mm"),
        hazards=hazards,
    )


def longest_cycle_h(account: Account, ident: str) -> float:
    """Return the longest time, in whole hours, that each candle of the proof burned at once.

    None of them may have burned less, so the least of their longest cycles counts; nothing burned
    is the protocol's own.
    """
    longest = [
        max((cycle.cycle.burned_h or 0.0 for cycle in candle.seen.cycles), default=0.0)
        for candle in account.judged.products[ident].evidence.passed
    ]
    return float(int(min(longest))) if longest else account.studio.protocol.cycle_h


def _spaced(ident: str) -> str:
    spaced = ident.replace("-", " ").removesuffix(" oil")
    return spaced[:1].upper() + spaced[1:]


def _laid(told: Told, asked: Asked, panels: Panels, press: Press) -> Made | tuple[Refusal, ...]:
    label = label_of(told, [press.catalogues[language] for language in asked.languages])
    laid = lay_out_label(label, panels.front, panels.caution, press.faces)
    against = tuple(_misfits(laid))
    if against or not isinstance(laid.caution, Layout):
        return against
    front = laid.front if isinstance(laid.front, Layout) else None
    return Made(asked.market, asked.languages, front, laid.caution, panels.on)


def _misfits(laid: LaidLabel) -> Sequence[Refusal]:
    found = []
    for name, face in (("front", laid.front), ("caution", laid.caution)):
        if isinstance(face, TooSmall):
            found.append(Refusal("too_small", {"face": name, "fit": face}))
        elif face is not None and not isinstance(face, Layout):
            found.append(Refusal("unprintable", {"characters": "".join(face.characters)}))
    return found


def stickers_of(
    account: Account, ident: str, language: str, press: Press, panel: Panel = STICKER
) -> tuple[Layout, ...]:
    """Return a sticker for each test candle of a product that has not ended."""
    product = account.judged.products[ident]
    burning = [one for one in every_candle(product) if one.seen.end is None]
    code, catalogue = account.products[ident].code, press.catalogues[language]
    said = (sticker(catalogue, code, candle.seen.burn.candle) for candle in burning)
    laid = (lay_out(blocks, panel, press.faces, is_centred=True) for blocks in said)
    return tuple(face for face in laid if isinstance(face, Layout))

"""What the label of a candle says, block by block, in the languages of its market.

The fire cautions go on every label. The hazards go on those for the EU and for Great Britain; for
the USA none are claimed. A net weight is told in grams, in the USA in ounces as well.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import pi
from typing import Final

from handbook_builder.figures.net import declared
from handbook_builder.hazards.classify import Result
from handbook_builder.hazards.precaution import p_statements, statements_due
from handbook_builder.labels.content import (
    Block,
    Field,
    Label,
    Pictogram,
    Pictograms,
    Role,
    Sign,
    Signs,
    Text,
)
from handbook_builder.labels.sizes import LETTERS, Minimum, net_weight_eu, net_weight_us
from handbook_builder.reading.kinds.items import Vessel
from handbook_builder.reading.statements import NAMING, Catalogue

USA: Final = "us"
# The four that the candle standards ask for, in their order, and the trade's first advice.
# EN 15494:2019, second-hand: which four is inferred from two sources.
SIGNS: Final = (
    Sign.WARNING,
    Sign.WITHIN_SIGHT,
    Sign.FROM_CHILDREN_AND_PETS,
    Sign.FROM_WHAT_BURNS,
    Sign.TRIM,
)
ON_STICKER: Final = ("test_candle", "test_letter")
_PRINCIPAL: Final = ("within_sight", "from_what_burns", "from_children_and_pets")
_OF_MATERIAL: Final = {"metal": "hot_metal", "glass": "cracked", "ceramic": "cracked"}
_UFI_LETTERS: Final = 19  # sixteen letters and three hyphens, from memory, unconfirmed
_HEALTH: Final = "H3"
_BEFORE_UNIT: Final = re.compile(r"(?<=[0-9]) (?=[a-z]{1,2}\b)")
_DISPLAY_SHARE: Final = 0.4  # of a jar's side is its display panel, 16 CFR 500.21(a), read


@dataclass(frozen=True, slots=True)
class Told:
    """What is put on a label, apart from the words of its languages.

    `stop` and `trim` are written with their units; `hours` is the longest cycle that was tested.
    `hazards` is None for a market that asks for none. `display_mm2` is what the USA measures the
    net weight by, None where it is not known.
    """

    market: str
    product: str
    scents: tuple[str, ...]
    net_g: float
    studio: str
    address: str
    contact: str | None
    code: str
    batch: str | None
    vessel: Vessel
    hours: str
    trim: str
    stop: str
    hazards: Result | None
    display_mm2: float | None


def due(told: Told) -> tuple[str, ...]:
    """Return the names of all statements and cautions that a catalogue must have for this label."""
    hazards = () if told.hazards is None else statements_due(told.hazards)
    others = (
        ("unscented", not told.scents),
        ("batch", told.batch is not None),
        ("ufi", asks_for_ufi(told)),
        ("heading", told.market == USA),
    )
    net = "net_us" if told.market == USA else "net"
    return (net, *_cautions_of(told), *(name for name, asked in others if asked), *hazards)


def asks_for_ufi(told: Told) -> bool:
    """Return whether the market asks for a poison-centre identifier on this label.

    The EU does for what is classified for health or physical hazards: CLP Art. 45 and Annex VIII,
    from memory, unconfirmed.
    """
    has_health = told.hazards is not None and any(h.startswith(_HEALTH) for h in told.hazards.h)
    return told.market == "eu" and has_health


def label_of(told: Told, languages: Sequence[Catalogue]) -> Label:
    """Return the two faces of a label. KeyError where a catalogue lacks what is `due`."""
    return Label(tuple(_front(told, languages)), tuple(_caution(told, languages)))


def _front(told: Told, languages: Sequence[Catalogue]) -> Iterator[Block]:
    yield Text(Role.PRODUCT, told.product, preferred_x_mm=3.0, is_bold=True)
    scent = ", ".join(told.scents) or _each(languages, "unscented")
    yield Text(Role.SCENT, scent, preferred_x_mm=1.8)
    yield _net(told, languages)
    yield Text(Role.STUDIO, told.studio, preferred_x_mm=1.8)


def _net(told: Told, languages: Sequence[Catalogue]) -> Text:
    net = declared(told.net_g)
    figures = {"grams": str(net.grams), "ounces": _plain(net.ounces)}
    name = "net_us" if told.market == USA else "net"
    return Text(
        Role.NET,
        _each(languages, name, **figures),
        minima=(LETTERS, *_net_minima(told, net.grams)),
        is_bold=told.market == USA,
    )


def _plain(ounces: Decimal) -> str:
    return f"{ounces:f}"


def _net_minima(told: Told, grams: int) -> tuple[Minimum, ...]:
    if told.market != USA:
        return (net_weight_eu(grams),)
    # Without an area there is no label for the USA at all.
    area = told.display_mm2
    return () if area is None else (net_weight_us(area, is_mixed_case=True),)


def display_mm2(vessel: Vessel) -> float | None:
    """Return the area of a jar's display panel: 40 % of its height times its circumference.

    None while nobody measured how high it is.
    """
    if vessel.inside_height_mm is None:
        return None
    outside_mm = vessel.inside_diameter_mm + 2 * (vessel.wall_mm or 0.0)
    return _DISPLAY_SHARE * vessel.inside_height_mm * pi * outside_mm


def _cautions_of(told: Told) -> tuple[str, ...]:
    own = _OF_MATERIAL.get(told.vessel.material)
    always = (*_PRINCIPAL, "burn_at_most", "trim", "stop_at", "firm_surface")
    return always if own is None else (*always, own)


def _caution(told: Told, languages: Sequence[Catalogue]) -> Iterator[Block]:
    if told.market == USA:
        heading = _each(languages, "heading")
        yield Text(Role.HEADING, heading, preferred_x_mm=2.4, is_bold=True, lead=Sign.WARNING)
    else:
        yield Signs(SIGNS, preferred_mm=8.0)
    figures = {"hours": told.hours, "trim": told.trim, "left": told.stop}
    for language in languages:
        said = (_said(language, name, **figures) for name in _cautions_of(told))
        yield Text(Role.STATEMENT, " ".join(said), preferred_x_mm=1.6)
    if told.hazards is not None:
        yield from _hazards(told.hazards, languages)
    yield from _who(told, languages)


def _hazards(hazards: Result, languages: Sequence[Catalogue]) -> Iterator[Block]:
    yield Pictograms(tuple(Pictogram(name) for name in hazards.pictograms))
    if hazards.signal is not None:
        words = dict.fromkeys(one.signals[hazards.signal].text for one in languages)
        yield Text(Role.SIGNAL, " / ".join(words), preferred_x_mm=2.0, is_bold=True)
    for language in languages:
        said = " ".join(language.said(number) for number in hazards.h)
        yield Text(Role.HAZARD, said, preferred_x_mm=1.6)
        if hazards.contains:
            yield Text(Role.CONTAINS, _contains(language, hazards), preferred_x_mm=1.6)
        if hazards.euh208:
            named = language.said(NAMING, hazards.euh208)
            yield Text(Role.CONTAINS, named, preferred_x_mm=1.6)
        advice = " ".join(language.said(number) for number in p_statements(hazards))
        yield Text(Role.PRECAUTION, advice, preferred_x_mm=1.6)


def _contains(language: Catalogue, hazards: Result) -> str:
    return language.contains.text.replace("{names}", ", ".join(hazards.contains))


def _who(told: Told, languages: Sequence[Catalogue]) -> Iterator[Block]:
    if asks_for_ufi(told):
        yield Field(Role.UFI, _each(languages, "ufi"), _UFI_LETTERS)
    batch = () if told.batch is None else (_each(languages, "batch", batch=told.batch),)
    yield Text(Role.CODE, " · ".join((told.code, *batch)), preferred_x_mm=1.6)
    contact = () if told.contact is None else (told.contact,)
    yield Text(Role.ADDRESS, "\n".join((told.address, *contact)), preferred_x_mm=1.6)


def _each(languages: Sequence[Catalogue], name: str, **figures: str) -> str:
    """Return a caution in each language, once where they say the same."""
    said = dict.fromkeys(_said(language, name, **figures) for language in languages)
    return " / ".join(said)


def _said(language: Catalogue, name: str, **figures: str) -> str:
    """Return a caution in which no line ends between a figure and its unit."""
    return _BEFORE_UNIT.sub("\N{NO-BREAK SPACE}", language.caution(name, **figures))


def sticker(language: Catalogue, code: str, letter: str) -> tuple[Block, ...]:
    """Return what the sticker of a test candle says: that it is one, its code and its letter."""
    return (
        Text(Role.HEADING, language.caution("test_candle"), preferred_x_mm=2.4, is_bold=True),
        Text(Role.CODE, code, preferred_x_mm=2.0),
        Text(Role.PRODUCT, language.caution("test_letter", letter=letter), preferred_x_mm=2.4,
             is_bold=True),
    )  # fmt: skip

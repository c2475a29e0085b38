"""Small studios in text whose one candle may be labelled, and what came of asking for its label."""

from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Final

from handbook_builder.derived.account import account_of
from handbook_builder.derived.label.made import Asked, Made, label_for, languages_for
from handbook_builder.derived.label.press import press_from
from handbook_builder.derived.label.refusal import Refusal
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.label_words import refusal_said
from handbook_builder.shipped import templates_folder
from handbook_builder.workshop import words_for, words_text_for
from tests.hazards.test_candle_hazards import oil
from tests.records_in_text import DAY, RECIPE, STUDIO, VESSEL, linked, proven

# At 8 % of the wax 20 % of the oil is 0.2 · 0.08 / 1.08 = 1.48 % of the candle [X]. A sensitiser
# of sub-category 1B is classed from 1 % on, and named from 0.1 % on (CLP Annex I, Tables 3.4.5 and
# 3.4.6 [C], see tests/hazards/test_rules.py).
SENSITISING: Final = oil("name: linalool, cas: 78-70-6, share: 20 %, hazards: [Skin Sens. 1B]")
# 5 % of the oil is 0.37 % of the candle [X]: below the class, above the naming.
NAMED: Final = oil("name: linalool, cas: 78-70-6, share: 5 %, hazards: [Skin Sens. 1B]")
# 50 % of the oil is 3.7 % of the candle, ten times which is 37 % [X]: Aquatic Chronic 3 from 25 %
# on (CLP Annex I, Table 4.1.2 [C]). It has neither pictogram nor signal word.
AQUATIC: Final = oil("name: pinene, cas: 80-56-8, share: 50 %, hazards: [Aquatic Chronic 2]")
HARMLESS: Final = oil(lists="0")
UNKNOWN: Final = oil("name: tea absolute, cas: none, share: 5 %, hazards: unknown")

ADDRESSED: Final = STUDIO.replace(
    "protocol:", 'address: "Test studio, 1 Example Lane"\ncontact: "+00 000 000"\nprotocol:'
)
LARGE: Final = "---\nform: caution_label\npanel: {width: 140 mm, height: 90 mm}\n---\n"
PANELLED: Final = VESSEL.replace(
    "opening:", "label_panel: {width: 70 mm, height: 45 mm}\ninside_height: 84 mm\nopening:"
)
PACKED: Final = RECIPE.replace("fill:", "packaging: {caution: 1}\nfill:")


def studio(oil_record: str = SENSITISING, markets: str = "[eu, gb, us]") -> dict[str, str]:
    """Return a studio whose candle is approved and can be labelled on every market."""
    return {
        **proven(),
        "studio.md": ADDRESSED.replace("[eu]", markets),
        "vessels/tumbler.md": PANELLED,
        "packaging/caution.md": LARGE,
        "recipes/fig.md": PACKED,
        "fragrances/fig-oil.md": oil_record,
    }


@cache
def shipped(language: str) -> str:
    """Return the shipped statements of a language."""
    return (templates_folder() / f"statements/{language}.yml").read_text("utf-8")


def desk_of(
    files: Mapping[str, str], day: date = DAY, catalogues: Mapping[str, str | None] | None = None
) -> Desk:
    """Return the desk of a studio in text, with the shipped statements unless told otherwise."""
    account = account_of(linked(files), day)
    written = {"en": shipped("en"), "de": shipped("de"), **(catalogues or {})}
    press, faults = press_from(written)
    assert faults == ()
    words = words_for(account.studio, words_text_for(None))
    return Desk(account, words, own_press=press)


def asked(
    desk: Desk, market: str = "eu", *languages: str, batch: str | None = None
) -> Made | list[str]:
    """Return the label of the candle `fig`, or the codes of all that is against it."""
    made = _label(desk, market, languages, batch)
    return made if isinstance(made, Made) else [refusal.code for refusal in made]


def told(desk: Desk, market: str = "eu", *languages: str, batch: str | None = None) -> list[str]:
    """Return why there is no label, in words with ordinary spaces."""
    made = _label(desk, market, languages, batch)
    assert not isinstance(made, Made)
    return [refusal_said(desk, one).replace("\N{NO-BREAK SPACE}", " ") for one in made]


def _label(
    desk: Desk, market: str, languages: tuple[str, ...], batch: str | None
) -> Made | tuple[Refusal, ...]:
    spoken = languages or languages_for(desk.account, market)
    return label_for(desk.account, desk.words, "fig", Asked(market, spoken, batch), desk.press)


def made(desk: Desk, market: str = "eu", *languages: str, batch: str | None = None) -> Made:
    """Return the label of the candle `fig`, which there must be."""
    found = asked(desk, market, *languages, batch=batch)
    assert isinstance(found, Made), found
    return found


def words_on(label: Made) -> str:
    """Return all words of a label in their order, with ordinary spaces."""
    lines = (line for face in label.faces for line in face.lines())
    return " ".join(lines).replace("\N{NO-BREAK SPACE}", " ")

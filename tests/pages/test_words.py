"""The catalogue of words: nothing that can be raised lacks its sentence."""

from collections.abc import Iterator
from decimal import Decimal
from string import Formatter
from typing import Any

import pytest
import yaml

from handbook_builder.derived.account import Account
from handbook_builder.problems import Place
from handbook_builder.reading.kinds.house import Limit
from handbook_builder.reading.kinds.items import MATERIALS
from handbook_builder.reading.kinds.making import UNSEEN, UNTRIED
from handbook_builder.reading.kinds.readings import MEASURES, SEEN_WORDS
from handbook_builder.verdicts.approval import Status
from handbook_builder.verdicts.cycles import breach_code, breach_details
from handbook_builder.verdicts.readings import Verdict
from handbook_builder.verdicts.reason import Reason
from handbook_builder.verdicts.screening import Screening
from handbook_builder.words import Words
from tests.pages.conftest import catalogue
from tests.pages.reasons_in_source import raised

PHRASES: dict[str, Any] = yaml.safe_load(catalogue())
TONES = {"good", "bad", "wait", "warn", "none", "pass"}
FACTORS = {
    "vessel", "wick", "wicks", "wax", "fragrance", "colorant",
    "wax_share", "fragrance_share", "colorant_share", "net",
}  # fmt: skip


def breaches() -> Iterator[Limit]:
    """Yield a limit of either side for everything that can be measured."""
    for measure in MEASURES:
        for upper in (True, False):
            yield Limit(
                measure=measure, upper=upper, bound=1.0, source="", published=False,
                on_breach="fail",
            )  # fmt: skip


def placeholders(phrase: str) -> set[str]:
    """Return the names in braces."""
    return {name for _, name, _, _ in Formatter().parse(phrase) if name}


def test_every_code_has_words_and_no_words_are_left_over() -> None:
    """Each code that the verdicts raise has a sentence; a sentence without a code is an error."""
    assert set(PHRASES["reasons"]) == {*raised(), *(breach_code(one) for one in breaches())}


@pytest.mark.parametrize("code", sorted(raised()))
def test_every_placeholder_is_supplied(code: str) -> None:
    """A sentence asks for nothing that the place which raises it does not give."""
    phrase = PHRASES["reasons"][code]
    asked = placeholders(phrase["say"]) | placeholders(phrase.get("mend", ""))
    assert asked <= raised()[code]


@pytest.mark.parametrize("limit", tuple(breaches()), ids=breach_code)
def test_every_breach_can_be_said(limit: Limit) -> None:
    """What was read and the limit stand in the sentence of each breach, with their units."""
    details = {"cycle": 3, **breach_details(limit, 2.0)}
    said = Words.load(catalogue()).say(Reason(breach_code(limit), Place("x.md"), details))
    shown = {"flame": "2 mm", "depth": "2 mm", "wall": "2 °C", "room": "2 °C", "coverage": "200 %"}
    assert shown.get(limit.measure, "2 s") in said.replace("\N{NO-BREAK SPACE}", " ")


def test_every_reason_of_the_demo_can_be_said(account: Account, words: Words) -> None:
    """No sentence of the demo, nor what to do about it, is left with a gap."""
    reasons = [
        *(one for product in account.judged.products.values() for one in product.missing),
        *(one for screened in account.judged.vessels.values() for one in screened.reasons),
        *(
            one
            for burned in account.judged.burns.values()
            for one in (*burned.candle.failures, *burned.candle.gaps)
        ),
    ]
    assert len(reasons) > 20
    for one in reasons:
        assert words.say(one).endswith((".", ".'", '."'))
        assert not {"{", "}"} & set(words.say(one) + words.mend(one))


def test_only_an_approved_product_wears_the_good_tone() -> None:
    """No other word of the catalogue could be taken for the approved mark."""
    words = {
        (group, code): word["tone"]
        for group in ("statuses", "screenings", "verdicts")
        for code, word in PHRASES[group].items()
    }
    assert set(words.values()) <= TONES
    assert [one for one, tone in words.items() if tone == "good"] == [("statuses", "approved")]


def test_every_verdict_has_its_word() -> None:
    """Statuses, screenings, verdicts, observations, materials and factors are complete."""
    assert set(PHRASES["statuses"]) == set(Status)
    assert set(PHRASES["screenings"]) == set(Screening)
    assert set(PHRASES["verdicts"]) == set(Verdict)
    ends = {"cracked", "leaking", "broken", "sound", "steady", "fell", "went_out", "stopped"}
    ends |= {UNTRIED, UNSEEN}
    assert set(PHRASES["seen"]) == {*SEEN_WORDS, *ends}
    assert set(PHRASES["materials"]) == set(MATERIALS)
    assert set(PHRASES["factors"]) == FACTORS
    limited = {key for key, one in PHRASES["readings"].items() if "limit" in one}
    assert limited | set(PHRASES["measures"]) == set(MEASURES)


def test_materials_have_cautions() -> None:
    """There is at least one caution for each material, each a sentence."""
    for cautions in PHRASES["materials"].values():
        assert cautions
        assert all(one.endswith(".") for one in cautions)


def test_money_is_in_the_studios_currency(words: Words) -> None:
    """An amount bears the currency of the studio."""
    assert words.money(Decimal("3.4")).replace("\N{NO-BREAK SPACE}", " ") == "3.40 EUR"

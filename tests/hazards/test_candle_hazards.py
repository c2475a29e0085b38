"""From records to the hazards of a candle: shares to the last digit, and every gap told.

The limits asked for are those of the rules (tests/hazards/test_rules.py); the arithmetic of the
shares is written beside each case.
"""

from datetime import date
from fractions import Fraction

import pytest

from handbook_builder.derived.hazards import (
    CandleHazards,
    candle_hazards,
    exactly,
    is_asked,
    mixture_of,
)
from handbook_builder.hazards.classify import classify
from tests.records_in_text import BASE, DAY, OIL, RECIPE, STUDIO, linked

DYE = "---\nform: liquid\n---\n"


def oil(*components: str, lists: str | None = "all", head: str = OIL) -> str:
    """Return an oil with components, and as many on its sheet unless told otherwise."""
    counted = str(len(components)) if lists == "all" else lists
    stated = "" if counted is None else f"sheet_lists: {counted}\n"
    listed = "".join(f"  - {{{component}}}\n" for component in components)
    keys = f"{stated}components:\n{listed}" if components else stated
    return head.removesuffix("---\n") + keys + "---\n"


def sensitiser(share: str, cas: str = "78-70-6", hazards: str = "[Skin Sens. 1B]") -> str:
    """Return one component in the words of a record."""
    return f"name: stuff {cas}, cas: {cas}, share: {share}, hazards: {hazards}"


def hazards(changes: dict[str, str] | None = None, day: date = DAY, **recipe: str) -> CandleHazards:
    """Return the hazards of the recipe `fig`, with other lines in it or other records."""
    text = RECIPE
    for key, line in recipe.items():
        start = text.index(f"{key}:") if f"{key}:" in text else text.index("fill:")
        end = text.index("\n", start) + 1 if f"{key}:" in text else start
        text = f"{text[:start]}{key}: {line}\n{text[end:]}"
    studio = linked({**BASE, "recipes/fig.md": text, **(changes or {})})
    return candle_hazards(studio, studio.recipes["fig"], day)


def codes(found: CandleHazards) -> list[tuple[str, str, str]]:
    """Return what is missing."""
    return [(note.code, note.name, note.detail) for note in found.result.missing]


def test_a_load_on_the_wax_to_the_last_digit() -> None:
    """11 % of an oil at 10 % on the wax: 0.11 · 0.1 / 1.1 = 1 % exactly; 10.99999 % is below."""
    at = hazards({"fragrances/fig-oil.md": oil(sensitiser("11 %"))}, fragrance="{fig-oil: 10 %}")
    below = hazards(
        {"fragrances/fig-oil.md": oil(sensitiser("10.99999 %"))}, fragrance="{fig-oil: 10 %}"
    )
    assert at.result.classes == ("Skin Sens. 1B",)
    assert below.result.euh208 == ("stuff 78-70-6",)
    assert (at.load_on_wax, at.result.complete) == (Fraction(1, 10), True)


def test_a_load_of_the_total_to_the_last_digit() -> None:
    """12.5 % of an oil that is 8 % of the whole is 1 %, with a dye or without."""
    records = {
        "fragrances/fig-oil.md": oil(sensitiser("12.5 %")),
        "colorants/ink.md": DYE.replace("---\n", "---\nsheet_lists: 0\n", 1),
    }
    for dye in ("none", "{ink: 0.3 %}"):
        found = hazards(records, load_basis="total", colorant=dye)
        working = found.result.working_of("Skin Sens. 1B")
        assert working.through[0].share == Fraction(1, 100)
    # 0.08 · 1.003 / 0.92 of the wax
    assert found.load_on_wax == Fraction("0.08") * Fraction("1.003") / Fraction("0.92")


def test_a_range_counts_at_its_upper_end() -> None:
    """3-11 % is 11 %, and the same for < 11 % (S: the higher end is taken)."""
    for share in ("3-11 %", "< 11 %", "≥ 3 - < 11 %", "3 to 11 %"):
        found = hazards(
            {"fragrances/fig-oil.md": oil(sensitiser(share))}, fragrance="{fig-oil: 10 %}"
        )
        assert found.result.classes == ("Skin Sens. 1B",)


@pytest.mark.parametrize(
    ("dye", "total"),
    [
        # 0.04 · 0.06 + 0.04 · 0.03 + dye · 0.28, of 1 + 0.08 + dye; a hundredth is the limit
        ("2 %", Fraction("0.0092") / Fraction("1.1") * 100),
        ("3 %", Fraction("0.012") / Fraction("1.11") * 100),
    ],
)
def test_one_substance_in_two_oils_and_a_dye_adds_up(dye: str, total: Fraction) -> None:
    """What is in two oils and on the wax is one share of the candle."""
    records = {
        "fragrances/fig-oil.md": oil(sensitiser("6 %")),
        "fragrances/moss-oil.md": oil(sensitiser("3 %")),
        "colorants/ink.md": oil(sensitiser("28 %"), head=DYE),
    }
    found = hazards(records, fragrance="{fig-oil: 4 %, moss-oil: 4 %}", colorant=f"{{ink: {dye}}}")
    assert found.result.classes == (("Skin Sens. 1B",) if total >= 1 else ())
    mixture_share = found.result.workings[0].total if found.result.workings else None
    assert mixture_share == (total if total >= 1 else None)


def test_limits_factors_and_estimates_reach_the_rules() -> None:
    """A single limit is of the one class that can have one; others name theirs."""
    single = sensitiser(
        "1 %", "97-54-1", "[Skin Sens. 1A, Aquatic Acute 1], m_acute: 400, limit: 0.01 %"
    )
    several = sensitiser(
        "1 %", "97-54-1",
        "[Skin Irrit. 2, Skin Sens. 1A, Aquatic Acute 1], m_acute: 400, "
        "limits: [{of: Skin Sens. 1A, at: 0.01 %}]",
    )  # fmt: skip
    for component in (single, several):
        found = hazards({"fragrances/fig-oil.md": oil(component)})
        assert found.result.classes == ("Skin Sens. 1A", "Aquatic Acute 1")  # 400 · 0.074 % ≥ 25 %
    toxic = sensitiser(
        "80 %", "97-54-1",
        "[Acute Tox. 1 (oral), Acute Tox. 2 (dermal), Acute Tox. 2 (vapour), Acute Tox. 2 (mist), "
        "Aquatic Chronic 1], ate_oral: 4, ate_dermal: 60, ate_vapour: 0.6, ate_mist: 0.06, "
        "m_chronic: 1",
    )  # fmt: skip
    found = hazards({"fragrances/fig-oil.md": oil(toxic)})
    estimates = {working.rule: working.ate for working in found.result.workings if working.ate}
    whole = Fraction("1.08") / Fraction("0.064")  # 0.8 · 0.08 / 1.08 of the candle
    assert estimates == {
        "acute_oral": 4 * whole,
        "acute_dermal": 60 * whole,
        "acute_vapour": Fraction("0.6") * whole,
        "acute_mist": Fraction("0.06") * whole,
    }


def test_steps_go_up_to_what_the_wax_takes() -> None:
    """The wax takes 10 %: with 20 % of it in the oil a class comes at 1/19, with 10 % at 1/9."""
    within = hazards({"fragrances/fig-oil.md": oil(sensitiser("20 %"))})
    assert (within.up_to, [one.at for one in within.steps if one.kind == "class"]) == (
        Fraction(1, 10),
        [Fraction(1, 19)],
    )
    beyond = hazards({"fragrances/fig-oil.md": oil(sensitiser("10 %"))})
    assert [one for one in beyond.steps if one.kind == "class"] == []
    more = hazards({"fragrances/fig-oil.md": oil(sensitiser("10 %"))}, fragrance="{fig-oil: 12 %}")
    assert (more.up_to, [one.at for one in more.steps if one.kind == "class"]) == (
        Fraction(12, 100),
        [Fraction(1, 9)],
    )


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        (oil(), []),  # sheet_lists: 0 is a statement
        (oil(lists=None), [("sheet_lists_unsaid", "fig-oil", "")]),
        (oil(sensitiser("1 %"), lists=None), [("sheet_lists_unsaid", "fig-oil", "")]),
        (oil(sensitiser("1 %"), lists="3"), [("components_missing", "fig-oil", "1/3")]),
        (
            oil(sensitiser("1 %", hazards="unknown")),
            [("hazards_unknown", "stuff 78-70-6", "")],
        ),
        (
            oil(head=OIL.replace("safety_sheet: {on: 2025-11-01}\n", "")),
            [("no_safety_sheet", "fig-oil", "")],
        ),
        (
            oil(head=OIL.replace("max_use", "spec: 2\nspec_since: 2026-02-01\nmax_use")),
            [("no_safety_sheet", "fig-oil", "")],
        ),
    ],
)
def test_what_nobody_said_leaves_it_incomplete(
    text: str, missing: list[tuple[str, str, str]]
) -> None:
    """No sheet, one of a former make, or a list of which nobody says that it is whole."""
    found = hazards({"fragrances/fig-oil.md": text})
    assert codes(found) == missing
    assert found.result.complete == (not missing)


def test_a_sheet_of_a_later_day_does_not_count_yet() -> None:
    """As of a day before it, there was no sheet."""
    found = hazards({"fragrances/fig-oil.md": oil()}, day=date(2025, 10, 31))
    assert codes(found) == [("no_safety_sheet", "fig-oil", "")]


def test_a_dye_must_say_what_its_sheet_lists() -> None:
    """A dye without a word is not harmless."""
    silent = hazards(
        {"fragrances/fig-oil.md": oil(), "colorants/ink.md": DYE}, colorant="{ink: 0.1 %}"
    )
    assert codes(silent) == [("sheet_lists_unsaid", "ink", "")]


def test_a_candle_without_oil_and_dye_is_of_wax_alone() -> None:
    """Nothing is missing, and it is told that the wax is taken to be harmless."""
    found = hazards(fragrance="none")
    assert (found.result.complete, found.result.classes, found.steps) == (True, (), ())
    assert [(note.code, note.name) for note in found.result.told] == [
        ("wax_taken_as_harmless", "soy")
    ]


@pytest.mark.parametrize(
    ("markets", "asked"), [("eu", True), ("gb", True), ("us", False), ("us, gb", True)]
)
def test_which_markets_ask(markets: str, *, asked: bool) -> None:
    """Great Britain and the EU; nothing is claimed for the United States."""
    studio = linked({**BASE, "studio.md": STUDIO.replace("[eu]", f"[{markets}]")})
    assert is_asked(studio) == asked


@pytest.mark.parametrize("written", ["0.0000001", "0.003", "0.07", "0.29", "1", "0.3333333"])
def test_decimals_are_taken_as_they_were_written(written: str) -> None:
    """Seven digits behind the point come out of the float as the fraction that they were."""
    assert exactly(float(written)) == Fraction(written)


def test_a_mixture_at_its_own_load_is_the_candle() -> None:
    """What `steps` solves for is what `classify` is asked."""
    studio = linked({**BASE, "fragrances/fig-oil.md": oil(sensitiser("20 %"))})
    mixture, load = mixture_of(studio, studio.recipes["fig"])
    found = candle_hazards(studio, studio.recipes["fig"], DAY)
    assert classify(mixture.at(load)).classes == found.result.classes

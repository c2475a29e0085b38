"""The code of a combination: the same for the same candle, and hard to copy wrong."""

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.verdicts.code import SYMBOLS, code_of, is_code
from handbook_builder.verdicts.combination import code_of_combination
from tests.records_in_text import BASE, RECIPE
from tests.verdicts.told import judged


def test_the_form() -> None:
    """Three groups of four, without I, O, 0 and 1; pinned, since codes are written on labels.

    The value is this program's own definition and has no outside source; the pin keeps a later
    version from changing codes that stand on paper.
    """
    assert code_of("a candle") == "W5TA-92LM-2YQ4"
    assert len(set(SYMBOLS)) == 32
    assert not set("IO01") & set(SYMBOLS)


def _times(one: int, other: int) -> int:
    """Multiply in GF(32), by the school's long multiplication modulo x^5 + x^2 + 1."""
    product = 0
    for place in range(5):
        if other >> place & 1:
            product ^= one << place
    for place in range(8, 4, -1):
        if product >> place & 1:
            product ^= 0b100101 << (place - 5)
    return product


@given(st.text())
def test_the_check_symbol_by_the_field(text: str) -> None:
    """Worked out another way: the hash's 55 lowest bits, each symbol times a power of x."""
    low = int(hashlib.sha256(text.encode()).hexdigest(), 16) % 2**55
    data = [low // 32**place % 32 for place in range(11)]
    check = 0
    for place, value in enumerate(data):
        power = 1
        for _ in range(11 - place):
            power = _times(power, 2)
        check ^= _times(value, power)
    expected = "".join(SYMBOLS[one] for one in [*data, check])
    assert code_of(text).replace("-", "") == expected


@given(st.text())
def test_any_one_wrong_symbol_shows(text: str) -> None:
    """Exhaustive over all places and symbols of the code."""
    code = code_of(text)
    assert is_code(code)
    for place, right in enumerate(code):
        if right != "-":
            for wrong in set(SYMBOLS) - {right}:
                assert not is_code(code[:place] + wrong + code[place + 1 :])


@given(st.text())
def test_any_swap_of_neighbours_shows(text: str) -> None:
    """Neighbours are those of the symbols, hyphens left out."""
    symbols = code_of(text).replace("-", "")
    for place in range(len(symbols) - 1):
        one, other = symbols[place : place + 2]
        if one != other:
            assert not is_code(symbols[:place] + other + one + symbols[place + 2 :])


@pytest.mark.parametrize(
    "wrong", ["", "W5TA", "W5TA-92LM-2YQ4A", "W5TA-92LM-2YQ0", "w5ta-92lm-2yq5"]
)
def test_what_is_no_code(wrong: str) -> None:
    """Too short, too long, a symbol that codes do not have, a wrong check symbol."""
    assert not is_code(wrong)


def test_small_letters_and_no_hyphens_are_understood() -> None:
    """A code is typed as it comes."""
    assert is_code("w5ta92lm2yq4")


def _code(recipe: str, **others: str) -> str:
    files = {**BASE, "recipes/fig.md": recipe, **others}
    return code_of_combination(judged(files).products["fig"].combination)


def test_the_canonical_factors() -> None:
    """Written out by hand: shares with two decimals of a per cent, the fill with one of a gram."""
    canonical = (
        '{"colorant": [], "fragrance": [["fig-oil", 1, "7.41"]], "net": "108.0", '
        '"vessel": ["tumbler", 1], "wax": [["soy", 1, "100.00"]], "wick": ["cotton-8", 1, 1]}'
    )
    assert _code(RECIPE) == code_of(canonical)


def test_what_units_blur_does_not_change_the_code() -> None:
    """180.05 g, or a hair less as a conversion may leave it, is one fill."""
    exact = _code(RECIPE.replace("fill: 108 g", "fill: 180.05 g"))
    assert _code(RECIPE.replace("fill: 108 g", "fill: 180.04999996 g")) == exact
    assert _code(RECIPE.replace("fill: 108 g", "fill: 180.0499999 g")) != exact


def test_a_dye_is_part_of_the_code() -> None:
    """With its share of the wax."""
    dye = {"colorants/red.md": "---\nform: flakes\n---\n"}
    one = RECIPE.replace("load_basis", "colorant: {red: 0.1 %}\nload_basis")
    assert len({_code(RECIPE), _code(one, **dye), _code(one.replace("0.1", "0.2"), **dye)}) == 3


def test_the_same_candle_has_the_same_code() -> None:
    """Basis of the load, unit of the fill, order of keys, title and packaging do not matter."""
    code = _code(RECIPE)
    on_total = RECIPE.replace("fig-oil: 8 %", "fig-oil: 7.407 %").replace(
        "basis: wax", "basis: total"
    )
    assert _code(on_total) == code
    assert _code(RECIPE.replace("fill: 108 g", "fill: 0.108 kg")) == code
    assert _code(RECIPE.replace("fill: 108 g", "fill: 3.80958 oz")) == code
    assert _code(RECIPE.replace("title: Fig\n", "").replace("fill:", "title: Other\nfill:")) == code


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("fig-oil: 8 %", "fig-oil: 8.02 %"),
        ("fill: 108 g", "fill: 108.1 g"),
        ("wick: cotton-8", "wick: cotton-8\nwicks: 2"),
        ("fragrance: {fig-oil: 8 %}", "fragrance: none"),
    ],
)
def test_another_candle_has_another_code(old: str, new: str) -> None:
    """Any factor changed is another combination."""
    assert _code(RECIPE.replace(old, new)) != _code(RECIPE)


def test_a_new_specification_has_another_code() -> None:
    """The maker changed the wax: it is another candle."""
    wax = BASE["waxes/soy.md"].replace("cure:", "spec: 2\nspec_since: 2026-04-01\ncure:")
    assert _code(RECIPE, **{"waxes/soy.md": wax}) != _code(RECIPE)

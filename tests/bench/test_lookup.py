"""One look-up for every command: a name is understood, or not, in the same words."""

from pathlib import Path
from string import ascii_uppercase

import pytest

from handbook_builder.verdicts.code import SYMBOLS
from tests.bench.calls import DAY, called, studio_of
from tests.records_in_text import proven

PURCHASE = """---
supplier: jar-house
on: 2026-01-10
lines:
  - {item: waxes/soy, quantity: 10 kg, price: 62.00, lot: W-1}
---
"""
OF_A_PRODUCT = (("why",), ("pour",), ("price",))


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Return a studio with one approved product, its candles and one lot."""
    return studio_of(tmp_path, {**proven(), "purchases/one.md": PURCHASE})


def code_in(studio: Path) -> str:
    """Return the code of the studio's product, as `why` prints it."""
    said = called(studio, "why", "fig", "--as-of", DAY).output
    return said.partition("(fig, ")[2].partition(")")[0]


def copied_wrong(code: str) -> str:
    """Return the code with its fifth symbol taken for its neighbour."""
    at = SYMBOLS.index(code[5])
    return code[:5] + SYMBOLS[at - 1] + code[6:]


@pytest.mark.parametrize("words", OF_A_PRODUCT)
def test_id_title_and_code_name_a_product(words: tuple[str, ...], studio: Path) -> None:
    """In any case and with blanks around it, as it is pasted from elsewhere."""
    code = code_in(studio)
    for name in ("fig", " fig ", "FIG", "Fig", code, code.lower(), f"{code} "):
        done = called(studio, *words, name, "--as-of", DAY)
        assert done.exit_code == 0, (name, done.output)


@pytest.mark.parametrize("words", OF_A_PRODUCT)
def test_a_code_that_was_copied_wrong_is_told_so(words: tuple[str, ...], studio: Path) -> None:
    """The check symbol knows; a whole code that no recipe has is another matter."""
    wrong = copied_wrong(code_in(studio))
    done = called(studio, *words, wrong, "--as-of", DAY)
    assert done.exit_code == 2
    assert done.stderr.startswith(f"No product is called {wrong!r}. As a code it was copied wrong")
    # Twelve times A is a code: eleven values of nought, whose check value is nought.
    done = called(studio, *words, "AAAA-AAAA-AAAA", "--as-of", DAY)
    assert "The code is whole, but no recipe has it today" in done.stderr
    done = called(studio, *words, "figg", "--as-of", DAY)
    assert done.stderr == "No product is called 'figg'. Did you mean fig?\n"
    done = called(studio, *words, "wild-rose-mint", "--as-of", DAY)  # an id may look like a code
    assert done.stderr == "No product is called 'wild-rose-mint'.\n"


def test_the_alphabet_of_codes_leaves_out_what_is_misread() -> None:
    """A code with O for Q or 0 for O is no code at all, and is told so like any wrong one."""
    assert set(ascii_uppercase) - set(SYMBOLS) == {"I", "O"}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("compare", "fig-a ", " FIG-B"), None),
        (("compare", "burns/fig-a", "recipes/fig"), None),
        (("compare", "fig-aa", "fig"), "No test candle and no recipe is called 'fig-aa'."),
        (("trace", " w-1 "), None),
        (("trace", "waxes/soy"), None),
        (("trace", "w-11"), "No lot, batch, item or buyer is called 'w-11'. Did you mean W-1?"),
    ],
)
def test_candles_and_lots_are_looked_up_alike(
    words: tuple[str, ...], told: str | None, studio: Path
) -> None:
    """Blanks and capitals do not count; the nearest name is spelled as it is on file."""
    done = called(studio, *words, "--as-of", DAY)
    assert done.exit_code == (0 if told is None else 2), done.output
    assert done.stderr.startswith(told or "")
    assert done.stderr.count("\n") <= 1


@pytest.mark.parametrize(
    "words",
    [("check",), ("check", "--json"), ("why",), ("due",), ("figures",), ("new", "wax", "bee"),
     ("new", "burn", "fig")],
)  # fmt: skip
def test_a_folder_without_records_is_a_wrong_call(words: tuple[str, ...], tmp_path: Path) -> None:
    """No record is at fault where there is none: exit status 2, and nothing is written."""
    done = called(tmp_path, *words)
    assert done.exit_code == 2
    assert "expected a folder of records" in done.output
    assert "nothing is approved" not in done.output
    assert list(tmp_path.iterdir()) == []

"""`handbook price`: costs line by line, and prices by multiple or by margin."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from handbook_builder.cli import main
from tests.money.by_hand import Sums, book_of, deliveries, up_to_coin
from tests.money.floor import ROOT
from tests.records_in_text import proven, write

SUMS = Sums(book_of(ROOT / "records"), deliveries(book_of(ROOT / "records"), "2026-05-01"))


def run(*words: str) -> Result:
    """Run the command on the demo studio."""
    return CliRunner().invoke(main, ["price", "--studio", str(ROOT), *words])


def plain(*words: str) -> dict[str, Any]:
    """Return what the command prints as JSON for cedar and fig."""
    done = run("cedar-fig", "--json", *words)
    assert done.exit_code == 0, done.output
    found: dict[str, Any] = json.loads(done.output)
    return found["cedar-fig"]


def test_the_studios_own_multiples() -> None:
    """Without a way of pricing, wholesale is twice the cost and retail four times, as on file."""
    told = plain()
    cost = SUMS.total(SUMS.book["recipes"]["cedar-fig"])
    assert told["wholesale"]["basis"] == "2.0"
    assert told["wholesale"]["price"] == f"{float(up_to_coin(2 * cost)):.2f}"
    assert told["retail"]["price"] == f"{float(up_to_coin(4 * cost)):.2f}"
    assert told["target"] is None


def test_a_margin_is_a_share_of_the_price() -> None:
    """7.0163 for a margin of 60 % asks 7.0163 / 0.4 = 17.54075, up to 17.55: markup 150 %."""
    told = plain("--margin", "60%")
    assert told["unit_cost"] == "7.0163"
    assert told["target"]["price"] == "17.55"
    assert told["target"]["margin"].startswith("0.6002")
    assert told["target"]["markup"].startswith("1.501")
    assert (told["wholesale"], told["retail"]) == (None, None)


def test_the_swaps_follow_the_price_that_was_asked_for() -> None:
    """At 17.55 the small tin of the same scent leaves more, and the concrete bowl less."""
    swaps = {one["vessel"]: one for one in plain("--margin", "60%")["swaps"]}
    assert float(swaps["small-tin"]["margin"]) > 0.6 > float(swaps["concrete-bowl"]["margin"])
    assert swaps["amber-tumbler"]["own"] is True
    assert swaps["amber-tumbler"]["price_for_same_margin"] == "17.55"


def test_multiples_of_ones_own() -> None:
    """2.5 times 7.0163 is 17.54075, up to 17.55; 3 times is 21.0489, up to 21.05."""
    told = plain("--wholesale-multiple", "2.5", "--retail-multiple", "3")
    assert told["wholesale"]["price"] == "17.55"
    assert told["retail"]["price"] == "21.05"


def test_a_person_reads_lines_and_prices() -> None:
    """Every line, the sum, each price with what is left of it, the proof, and the other vessels."""
    told = run("cedar-fig").output.replace("\N{NO-BREAK SPACE}", " ")
    for words in (
        "Cedar and fig, amber tumbler (cedar-fig): Approved",
        "Broken vessels",
        "7.02 EUR",
        "Retail 28.07 EUR, 4 \u00d7 the cost: 21.05 EUR left, a margin of 75 % of the price.",
        "3 test candles",
        "not proven, an estimate",
    ):
        assert words in told
    assert "markup" not in told.lower()


def test_all_products_in_a_line_each() -> None:
    """Without a product, each has its cost and its prices."""
    lines = run().output.splitlines()
    assert len(lines) == len(SUMS.book["recipes"])
    assert all(line.count("EUR") == 3 for line in lines)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--margin", "60"), "write a percentage below 100, such as 60%"),
        (("--margin", "100%"), "write a percentage below 100"),
        (("--margin", "0.6"), "write a percentage below 100"),
        (("--retail-multiple", "0"), "write a number above 0"),
        (("--retail-multiple", "-2"), "write a number above 0"),
        (("--wholesale-multiple", "two"), "write a number above 0"),
    ],
)
def test_a_wrong_call_teaches(words: tuple[str, ...], told: str) -> None:
    """A margin without its sign could be a share or a percentage: it is refused, status 2."""
    done = run("cedar-fig", *words)
    assert done.exit_code == 2
    assert told in done.output


def test_what_has_no_price_has_no_total(tmp_path: Path) -> None:
    """A sum without one of its parts would mislead: the parts are named, and nothing is priced."""
    write(tmp_path / "records", proven())
    done = CliRunner().invoke(main, ["price", "fig", "--studio", str(tmp_path)])
    assert done.exit_code == 0, done.output
    assert "waxes/soy" in done.output
    assert "Together" not in done.output
    listed = CliRunner().invoke(main, ["price", "--studio", str(tmp_path)])
    assert "no total" in listed.output

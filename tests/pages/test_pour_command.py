"""The command `pour`: the same sheet, in the terminal and as JSON."""

import json
import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from handbook_builder.cli import main
from tests.records_in_text import VESSEL, proven, write

ROOT = Path(__file__).parents[2]
WORD = re.compile(r"approved", re.IGNORECASE)


def poured(*words: str, studio: Path = ROOT) -> Result:
    """Return how `handbook pour` ended."""
    return CliRunner().invoke(main, ["pour", *words, "--studio", str(studio)])


def plain(*words: str) -> dict[str, Any]:
    """Return what `handbook pour … --json` says."""
    result = poured(*words, "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_a_sheet_worked_by_hand() -> None:
    """Cedar and fig, 17 candles of 182.7 g.

    Wax: 17 · 169.166667 g / 0.98 = 2934.524 g: 2934.5. Oil: 8 % of 2934.5 g = 234.76 g: 234.8.
    Together 3169.3 g. Load: 2348 / 29345 = 8.0014 %. Cure: 14 days from 2026-05-01.
    """
    found = plain("cedar-fig", "--count", "17")
    assert found["weights"] == [
        {"item": "waxes/soy-blend", "amount": "2934.5"},
        {"item": "fragrances/cedar-fig-oil", "amount": "234.8"},
    ]
    assert (found["total"], found["load_on_wax_percent"]) == ("3169.3", "8.00")
    assert (found["poured_on"], found["cured_on"]) == ("2026-05-01", "2026-05-15")
    assert found["scale"] == {"step": "0.1", "unit": "g"}
    assert {"item": "wicks/cotton-8", "count": 17} in found["pieces"]
    assert (found["test_pour"], found["sensible"], found["fits"]) == (False, None, True)


def test_the_terminal_says_the_same() -> None:
    """The weights stand in the text as the scale shows them, with the day of the cure."""
    text = poured("cedar-fig", "--count", "17", "--on", "2026-05-09").stdout
    assert text.startswith("Pour sheet: Cedar and fig, amber tumbler\n")
    assert "    2934.5 g  Soy blend\n     234.8 g  Cedar fig oil\n    3169.3 g  Together\n" in text
    assert "Cure until: 2026-05-23 (14 days after pouring)" in text
    assert "TEST" not in text


def test_a_candle_without_oil() -> None:
    """No load is told where there is no oil, and nothing is weighed but wax."""
    text = poured("unscented-tin").stdout
    assert "Load after rounding" not in text
    assert "Farthest from the recipe: 0.032 percentage points" in text


def test_the_json_has_what_the_module_documents() -> None:
    """Every key of the documented shape, and no other."""
    text = (ROOT / "handbook_builder/reports/pour.py").read_text("utf-8").split('"""')[1]
    keys = set(re.findall(r'^[ {]"(\w+)":|, "(\w+)":', text, re.MULTILINE))
    documented = {one or other for one, other in keys} - {"unit", "amount", "count", "heat_to_c"}
    inner = {"add_at_c", "pour_at_c", "flash_point_c"}
    assert documented - inner | {"count"} == set(plain("cedar-fig"))


@pytest.mark.parametrize(
    ("recipe", "mark"),
    [
        ("pine-bowl", "FAILED. TEST POUR"),
        ("lemon-verbena-tumbler", "TEST POUR"),
        ("black-tea", "TEST POUR"),
        ("pine-pot", "TEST POUR"),
    ],
)
def test_what_is_not_proven_is_a_test_pour(recipe: str, mark: str) -> None:
    """The text says so first, over every part and last, and never says the other word."""
    lines = poured(recipe, "--count", "2").stdout.splitlines()
    heads = [after for before, after in pairwise(lines) if before == ""]
    parts = [one for one in heads if re.match(r".*(Set r|Weigh|Temp|Order|Caut)", one)]
    assert len(parts) == 5
    assert all(one.startswith(f"{mark}  ") for one in parts)
    assert lines[0].startswith(f"{mark}: ")
    assert lines[-1] == mark
    assert not WORD.search("\n".join(lines))
    assert not WORD.search(poured(recipe, "--json").stdout)
    assert plain(recipe)["mark"] == mark


@pytest.mark.parametrize("recipe", ["driftwood-cedar", "strong-vanilla-tin", "lavender-bubble"])
def test_nothing_to_weigh_for_what_is_refused(recipe: str) -> None:
    """A refused vessel, or more oil than is allowed: the reasons, no weight, and status 2."""
    result = poured(recipe, "--count", "3")
    assert result.exit_code == 2
    assert "DO NOT POUR: " in result.stdout
    assert not re.search(r"^ *[\d.]+ +g ", result.stdout, re.MULTILINE)
    assert "[ ]" not in result.stdout
    found = json.loads(poured(recipe, "--json").stdout)
    assert found["refused"]
    said = " ".join(result.stdout.split())
    assert all(" ".join(one.split()) in said for one in found["refused"])
    empty = [found[key] for key in ("weights", "pieces", "heats", "steps")]
    assert empty == [[], [], [], []]
    assert (found["total"], found["fits"], found["load_on_wax_percent"]) == (None, False, None)


def test_a_test_pour_counts_what_is_still_needed() -> None:
    """Without a count it is for the test candles that are needed; a higher count is not refused."""
    assert (plain("pine-pot")["count"], plain("pine-pot")["sensible"]) == (3, 3)
    more = plain("pine-pot", "--count", "40")
    assert (more["count"], more["sensible"], more["test_pour"]) == (40, 3, True)


def test_a_former_day_is_judged_as_it_was() -> None:
    """On a day before its last test candle passed, the product was no product yet."""
    assert plain("cedar-fig", "--on", "2025-10-13")["test_pour"] is True
    assert plain("cedar-fig", "--on", "2025-10-14")["test_pour"] is False
    later = plain("cedar-fig", "--on", "2026-08-01")
    assert (later["as_of"], later["cured_on"]) == ("2026-05-01", "2026-08-15")


def test_no_option_overrides_the_mark() -> None:
    """The command takes a count, a scale, days, a studio and JSON, and nothing else."""
    names = {name for one in main.commands["pour"].params for name in one.opts}
    assert names == {"recipe", "--count", "--scale", "--on", "--studio", "--as-of", "--json"}


@pytest.mark.parametrize(
    ("scale", "weight", "unit"),
    [("1g", "2935", "g"), ("0.5 g", "2934.5", "g"), ("0.01 oz", "103.51", "oz")],
)
def test_the_scale_can_be_chosen(scale: str, weight: str, unit: str) -> None:
    """2934.524 g in steps of 1 g, of 0.5 g, and of 0.01 oz (103.5123 oz)."""
    found = plain("cedar-fig", "--count", "17", "--scale", scale)
    assert (found["weights"][0]["amount"], found["scale"]["unit"]) == (weight, unit)


def test_a_scale_that_is_too_coarse() -> None:
    """One candle on a 5 g scale would be another candle: no weights, and a wrong call."""
    result = poured("cedar-fig", "--scale", "5g")
    assert result.exit_code == 2
    assert "cannot weigh that count within the tolerance" in result.stderr
    assert "         - g  Soy blend" in result.stdout
    found = json.loads(poured("cedar-fig", "--scale", "5g", "--json").stdout)
    assert {one["amount"] for one in found["weights"]} == {found["total"]} == {None}
    assert found["fits"] is False


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nothing-like-it"], "No product is called 'nothing-like-it'."),
        (["cedar-figg"], "Did you mean cedar-fig?"),
        (["ZYCL-4YLR-6X9V"], "names several recipes: cedar-fig, cedar-fig-gift."),
        (["cedar-fig", "--count", "0"], "'0' is no count; write a whole number from 1 to 9999."),
        (["cedar-fig", "--count", "10000"], "a whole number from 1 to 9999."),
        (["cedar-fig", "--count", "2.5"], "'2.5' is no count; write a whole number"),
        (["cedar-fig", "--scale", "0.1"], "'0.1' is no readability"),
        (["cedar-fig", "--scale", "0.0001 g"], "'0.0001 g' is no readability"),
        (["cedar-fig", "--scale", "7 fl oz"], "'7 fl oz' is no readability"),
        (["cedar-fig", "--on", "2026-02-30"], "'2026-02-30' is no date"),
    ],
)
def test_wrong_calls(words: list[str], said: str) -> None:
    """Each ends with status 2 and says what to write."""
    result = poured(*words)
    assert result.exit_code == 2
    assert said in result.stderr


@pytest.mark.parametrize("name", ["pine-bowl", "Pine, concrete bowl, one wick", "lqmp-n426-qxj3"])
def test_a_product_by_any_name(name: str) -> None:
    """By its id, its title or its code."""
    assert plain(name)["recipe"] == "pine-bowl"


def test_a_record_at_fault(tmp_path: Path) -> None:
    """With any record at fault there is no sheet at all."""
    files = {**proven(), "vessels/tumbler.md": VESSEL.replace("glass", "glas")}
    write(tmp_path / "records", files)
    result = poured("fig", studio=tmp_path)
    assert result.exit_code == 1
    assert result.stdout == ""
    assert "records/vessels/tumbler.md:2" in result.stderr

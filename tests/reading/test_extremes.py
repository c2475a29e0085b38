"""The widest quantities that are read go through the whole house, and none ends in a trace."""

from pathlib import Path

import pytest

from handbook_builder.derived.account import account_of
from handbook_builder.derived.board import board_of
from handbook_builder.derived.next_burn import next_burn
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import pages_of
from handbook_builder.reading.records import read_texts
from handbook_builder.reports.board import report
from handbook_builder.reports.plain import as_json
from handbook_builder.workshop import studio_from, words_for, words_text_for
from tests.records_in_text import DAY, as_bytes, proven

TALL = "inside_diameter: 72 mm\ninside_height: 90 mm\nempty_mass: 200 g\nwall: 3 mm"
FILES = proven()
FILES["vessels/tumbler.md"] = FILES["vessels/tumbler.md"].replace("inside_diameter: 72 mm", TALL)
FILES["waxes/soy.md"] = FILES["waxes/soy.md"].replace(
    "cure:", "heat_to: 80 degC\npour_at: 60 degC\ncure:"
)
FILES["studio.md"] = (
    FILES["studio.md"]
    .replace("protocol:", "labour: 20.00\noverhead: 1.00\nminutes_a_cycle: 8\nprotocol:")
    .replace("protocol: default", "protocol: own")
)
FILES["protocols/own.md"] = "---\nrest: 2 h\ncycle: 4 h\ntrim: 5 mm\nmin_wall: 2 mm\n---\n"
FILES["purchases/one.md"] = (
    "---\nsupplier: jar-house\non: 2026-01-10\nlines:\n"
    "  - {item: waxes/soy, quantity: 10 kg, price: 62.00}\n"
    "  - {item: fragrances/fig-oil, quantity: 1 kg, price: 50.00}\n"
    "  - {item: wicks/cotton-8, quantity: 100 pcs, price: 9.00}\n"
    "  - {item: vessels/tumbler, quantity: 48 pcs, price: 96.00}\nfreight: 12.00\n---\n"
)
MASS = ("0 g", "0.001 mg", "1000 kg", "999999.99 g")
LENGTH = ("0.001 mm", "10 m")
HOURS = ("0.001 s", "3653 days")
DEGREES = ("-273.15 degC", "1000 degC", "-459.67 degF")
WIDEST = [
    ("waxes/soy.md", "cure: 14 days", ("0 h", *HOURS)),
    ("waxes/soy.md", "heat_to: 80 degC", DEGREES),
    ("waxes/soy.md", "pour_at: 60 degC", DEGREES),
    ("waxes/soy.md", "density: 0.90 g/mL", ("0.2 g/mL", "3 g/mL")),
    ("waxes/soy.md", "max_load: 10 %", ("0 %", "0.0001 %", "100 %")),
    ("recipes/fig.md", "fill: 108 g", ("0.001 mg", "1000 kg", "to_line")),
    ("recipes/fig.md", "fig-oil: 8 %", ("0.0001 %", "99.9999 %")),
    ("vessels/tumbler.md", "inside_diameter: 72 mm", LENGTH),
    ("vessels/tumbler.md", "inside_height: 90 mm", LENGTH),
    ("vessels/tumbler.md", "empty_mass: 200 g", MASS[1:]),
    ("vessels/tumbler.md", "volume: 210 mL", ("0.001 mL", "1000 L")),
    ("burns/fig-a.md", "scale: 0.1 g", ("0.001 mg", "0.0015 mg", "5 g")),
    ("burns/fig-a.md", "soy: 100.0 g", MASS[1:]),
    ("burns/fig-a.md", "burned: 4 h", ("0 h", *HOURS)),
    ("burns/fig-a.md", "before: 400.0 g", MASS),
    ("burns/fig-a.md", "after: 374.0 g", MASS),
    ("burns/fig-a.md", "pool: 70 mm", LENGTH),
    ("burns/fig-a.md", "flame: 22 mm", LENGTH),
    ("burns/fig-a.md", "wall: 52 degC", DEGREES),
    ("burns/fig-a.md", "after_smoke: 8 s", ("0 s", *HOURS)),
    ("burns/fig-a.md", "left: 4.0 g", MASS),
    ("protocols/own.md", "rest: 2 h", ("0 h", *HOURS)),
    ("protocols/own.md", "cycle: 4 h", HOURS),
    ("protocols/own.md", "trim: 5 mm", LENGTH),
    ("studio.md", "minutes_a_cycle: 8", HOURS),
    ("studio.md", "labour: 20.00", ("0", "0.000001", "1000000000000")),
    ("purchases/one.md", "quantity: 10 kg", ("0.001 mg", "1000 kg", "1000 L")),
    ("purchases/one.md", "price: 62.00", ("0", "0.000001", "1000000000000")),
    ("purchases/one.md", "quantity: 48 pcs", ("1 pcs", "999999999 pcs")),
]
CASES = [(file, old, one, one == many[-1]) for file, old, many in WIDEST for one in many]


@pytest.fixture(scope="module")
def words_text() -> str:
    """Return the shipped catalogue of words."""
    return words_text_for(Path("nowhere"))


@pytest.mark.parametrize(("file", "old", "value", "with_pages"), CASES)
def test_the_widest_values_are_a_fault_or_a_figure(
    file: str,
    old: str,
    value: str,
    with_pages: bool,  # noqa: FBT001 -- a case
    words_text: str,
) -> None:
    """Either the check names the file, or the board, the pages and the next burn can be told."""
    assert old in FILES[file]
    key = old.partition(":")[0]
    new = FILES[file].replace(old, f"{key}: {value}", 1)
    studio, problems = studio_from(read_texts(as_bytes({**FILES, file: new}), "records/"))
    if studio is None:
        assert {one.place.file.partition("/")[0] for one in problems} == {"records"}
        return
    account = account_of(studio, DAY)
    words = words_for(studio, words_text)
    assert as_json(report(board_of(account), words.say))
    if with_pages:  # they take the longest by far
        assert len(pages_of(account, words, Edition.OWNER)) > 10
    assert next_burn(studio, studio.recipes["fig"], DAY, 2).letters == ("D", "E")

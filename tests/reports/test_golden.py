"""Golden answers: what each command with --json says of one small studio, to the letter.

A key that is renamed, lost or added shows here. Run pytest with --update-golden to write the
answers anew, and read the difference. They prove nothing about the figures, which have tests of
their own with sources.
"""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Final

import pytest

from handbook_builder.cli import main
from handbook_builder.workshop import guides_for
from tests.bench.calls import called
from tests.handover.kit import hand_in
from tests.records_in_text import write
from tests.reports.studio import DAY, at_fault, handed_over, studio

GOLDEN: Final = Path(__file__).with_name("golden")
LOGGED: Final = ("log", "fig-big-b", "--burned", "4 h", "--before", "374.7 g", "--after", "345 g")
# What is called, by the name of its golden file; a name begins with that of the command.
CASES: Final[Mapping[str, tuple[str, ...]]] = {
    "figures": ("figures",),
    "check": ("check",),
    "due": ("due",),
    "why": ("why",),
    "why-approved": ("why", "fig"),
    "compare": ("compare", "fig", "fig-big"),
    "compare-candles": ("compare", "fig-a", "fig-big-a"),
    "plan": ("plan",),
    "plan-proof": ("plan", "fig-mild", "--by", "2026-07-01"),
    "plan-ladder": ("plan", "tumbler", "--wax", "soy", "--oil", "fig-oil"),
    "plan-change": ("plan", "--change", "fragrances/fig-oil"),
    "pour": ("pour", "fig", "--count", "12", "--scale", "0.1g"),
    "pour-test": ("pour", "fig-mild"),
    "pour-coarse": ("pour", "fig", "--scale", "50g"),
    "price": ("price",),
    "price-margin": ("price", "fig", "--margin", "60%"),
    "trace": ("trace", "W-2"),
    "trace-recipient": ("trace", "café ørsted"),
    "take": ("take", "--as-read"),
    "stock": ("stock",),
    "stock-buy": ("stock", "waxes/soy", "--buy", "2 kg"),
    "log": (*LOGGED, "--flame", "24 mm", "--seen", "mushrooming"),
    "log-end": (
        *("log", "fig-big-b", "--end", "stopped", "--why", "it soots", "--left", "75 g"),
        *("--vessel-state", "sound", "--tilt", "steady"),
    ),
}
# These read a table of their own, and are tested where it stands.
ELSEWHERE: Final = {"bring"}  # tests/bringing/test_six_tables.py
AT_FAULT: Final[Mapping[str, tuple[str, ...]]] = {"check-faults": ("check",)}


def _answer(folder: Path, files: Mapping[str, str], words: tuple[str, ...]) -> str:
    """Return what the command prints; editions of guides by the name of the guide."""
    write(folder / "records", files)
    if words[0] == "take":
        for name, data in handed_over(files).items():
            hand_in(folder, data, name)
    text = called(folder, *words, "--as-of", DAY, "--json").stdout
    for name, edition in guides_for(folder).items():
        text = text.replace(f'"{edition}"', f'"edition of {name}"')
    return text


def _compare(name: str, answer: str, *, update: bool) -> None:
    golden = GOLDEN / f"{name}.json"
    if update:
        golden.write_text(answer, "utf-8")
    expected = golden.read_text("utf-8")
    assert json.loads(answer) == json.loads(expected)
    assert answer == expected


@pytest.mark.parametrize("name", CASES)
def test_the_answer_is_the_golden_one(
    name: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """Keys, values, order and form: a program that reads it would notice a change in any."""
    update = bool(request.config.getoption("--update-golden"))
    _compare(name, _answer(tmp_path, studio(), CASES[name]), update=update)


@pytest.mark.parametrize("name", AT_FAULT)
def test_the_faults_are_the_golden_ones(
    name: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """Each fault by file, line, column, code and message, letters as they are."""
    update = bool(request.config.getoption("--update-golden"))
    _compare(name, _answer(tmp_path, at_fault(studio()), AT_FAULT[name]), update=update)


def test_every_command_for_programs_has_a_golden_answer() -> None:
    """Whoever gives a command --json writes down what it says; no golden file is left over."""
    told = {
        name
        for name, command in main.commands.items()
        if any(one.name == "as_json" for one in command.params)
    }
    told -= ELSEWHERE
    assert told <= CASES.keys()
    assert {words[0] for words in CASES.values()} == told
    assert {one.stem for one in GOLDEN.glob("*")} == CASES.keys() | AT_FAULT.keys()

"""`handbook new`: records that teach, with blanks that the check names, and nothing invented."""

import json
import os
import re
import shutil
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest

from handbook_builder import files as written_files
from handbook_builder.reading.records import KINDS, read_record
from handbook_builder.reading.shape import keys_of
from handbook_builder.shipped import templates_folder
from handbook_builder.workshop import studio_in
from handbook_builder.writing.blanks import filled_in
from handbook_builder.writing.new_records import KIND_NAMES
from tests.bench.calls import DAY, bytes_of, called, front_of, spaced, studio_of
from tests.records_in_text import BASE, RECIPE, STUDIO, burn, proven

# A value for every key that is due, as a maker would give it.
FILLED = {
    "supplier": {"kind": "maker"},
    "purchase": {
        "supplier": "jar-house", "on": "2026-02-10",
        "lines": "[{item: waxes/soy, quantity: 10 kg, price: 62.00}]",
    },
    "stock": {"on": "2026-03-01", "counted": "{wicks/cotton-8: 40}"},
    "vessel": {
        "material": "glass", "supplier": "jar-house", "use": "product",
        "inside_diameter": "72 mm", "fill": "{volume: 210 mL}",
        "opening": "70 mm", "porous": "no", "drinkware": "no",
    },
    "wax": {"kind": "soy: flaked", "density": "0.90 g/mL", "max_load": "10 %", "cure": "14 days"},
    "wick": {"series": "cotton", "size": "8", "step": "3", "core": "none"},
    "fragrance": {"density": "0.98 g/mL"},
    "colorant": {"form": "flakes"},
    "packaging": {"form": "lid"},
    "recipe": {
        "title": "Fig & friends: a pair", "vessel": "tumbler", "wax": "soy", "wick": "cotton-8",
        "fragrance": "{fig-oil: 8 %}", "load_basis": "wax", "fill": "to_line",
    },
    "batch": {
        "recipe": "fig", "on": "2026-03-01", "made": "2", "by": "wren", "lots": "{waxes/soy: W-1}",
    },
    "incident": {"on": "2026-03-01", "about": "recipes/fig", "what": "soot on # 3"},
    "protocol": {},
    "helper": {},
}  # fmt: skip
BILL = """---
supplier: jar-house
on: 2026-02-11
lines: [{item: waxes/soy, quantity: 9 kg, price: 62, lot: W-1}]
---
"""
SOY = "soy=100.0 g, fig-oil=8.0 g"


def settings(values: dict[str, str]) -> list[str]:
    """Return the words of a call that set these keys."""
    return [word for key, value in values.items() for word in ("--set", f"{key}={value}")]


def test_every_kind_has_a_template_and_a_name() -> None:
    """A kind of record cannot be added without its template."""
    have = {one.name.removesuffix(".md.j2") for one in (templates_folder() / "new").iterdir()}
    assert have == set(KINDS) == set(KIND_NAMES.values())
    assert {*FILLED, "burn"} == set(KIND_NAMES)


@pytest.mark.parametrize("kind", FILLED)
def test_nothing_is_written_in_the_makers_own_words(kind: str, tmp_path: Path) -> None:
    """The free part is published, and found by the search: a template leaves it empty."""
    studio = studio_of(tmp_path, BASE)
    assert called(studio, "new", kind, "fresh").exit_code == 0
    text = (studio / "records" / KIND_NAMES[kind] / "fresh.md").read_text("utf-8")
    assert text.rpartition("\n---")[2].strip() == ""
    assert text.count("\n---") == 1


@pytest.mark.parametrize("kind", FILLED)
def test_every_key_that_is_due_is_there_and_blank(kind: str, tmp_path: Path) -> None:
    """Nothing is made up: each key is blank, named by the check, or harmless as it stands."""
    studio = studio_of(tmp_path, dict(BASE))
    result = called(studio, "new", kind, "one")
    assert result.exit_code == 0, result.output
    folder = KIND_NAMES[kind]
    text = (studio / "records" / folder / "one.md").read_text("utf-8")
    front = front_of(text)
    due = {key for key, one in keys_of(KINDS[folder]).items() if one.required}
    assert due <= front.keys()
    blank = {key for key, value in front.items() if value == ""}
    harmless = {
        "incident": {"number": "1"},
        "protocol": {"test_candles": "3"},
        "recipe": {"test_candles": "0"},
        "helper": {"may": []},
    }
    assert {key: front[key] for key in front.keys() - blank} == harmless.get(kind, {})
    _, problems = read_record(f"{folder}/one.md", text.encode(), "records/")
    assert [one.code for one in problems] == ["empty_value"] * len(blank)
    assert all(str(one) in result.output for one in problems)
    assert text.count("  # ") >= len(front)  # each key has its comment


@pytest.mark.parametrize("kind", FILLED)
def test_filled_in_by_the_call(kind: str, tmp_path: Path) -> None:
    """With `--set` for each blank, the check finds no fault; values that YAML minds are quoted."""
    files = {**BASE, "purchases/march.md": BILL}
    studio = studio_of(tmp_path, files)
    ident = "default-two" if kind == "protocol" else "one"
    result = called(studio, "new", kind, ident, *settings(FILLED[kind]))
    assert result.exit_code == 0, result.output
    assert "Nothing is left blank." in result.output
    text = (studio / "records" / KIND_NAMES[kind] / f"{ident}.md").read_text("utf-8")
    _, problems = read_record(f"{KIND_NAMES[kind]}/{ident}.md", text.encode(), "records/")
    assert problems == ()


def template_of(kind: str) -> str:
    """Return the template of a kind, each key that is due filled in."""
    text = (templates_folder() / "new" / f"{KIND_NAMES[kind]}.md.j2").read_text("utf-8")
    text = text.replace("{{ number }}", "1")
    for key, value in FILLED[kind].items():
        text = filled_in(text, key, value)
    return text


def faults_in(kind: str, text: str) -> list[str]:
    """Return the code of each fault that a record of this text would be told of."""
    _, problems = read_record(f"{KIND_NAMES[kind]}/one.md", text.encode(), "")
    return [one.code for one in problems]


def examples_in(kind: str) -> dict[str, tuple[str, str]]:
    """Return each key that is commented out: its line without the mark, and its example."""
    found = {}
    for line in template_of(kind).split("\n"):
        key, colon, rest = line.removeprefix("# ").partition(":")
        if line.startswith("# ") and colon and key in keys_of(KINDS[KIND_NAMES[kind]]):
            example = re.search("such as (.+?)(?:; |$)", rest)
            found[key] = (line.removeprefix("# "), example[1] if example else "")
    return found


@pytest.mark.parametrize("kind", FILLED)
def test_each_example_of_a_template_can_be_read(kind: str) -> None:
    """What follows 'such as' is in the form of the key; put in its place all is read."""
    text = template_of(kind)
    for key, (line, example) in examples_in(kind).items():
        used = filled_in(text, key, example) if example else text.replace(f"# {line}", line)
        assert faults_in(kind, used) == [], line
        text = used
    assert faults_in(kind, text) == []


@pytest.mark.parametrize("kind", FILLED)
def test_no_example_of_a_template_is_taken_for_a_fact(kind: str) -> None:
    """A line whose mark alone is taken off is a blank, and refused: no code, sum or paper of ours.

    A protocol's values are rules, and no duty is none: they are no facts about a thing.
    """
    text = template_of(kind)
    if kind == "protocol":
        return
    for key, (line, _) in examples_in(kind).items():
        if key != "duty":
            assert "empty_value" in faults_in(kind, text.replace(f"\n# {line}", f"\n{line}")), line


def test_keys_that_are_commented_out(tmp_path: Path) -> None:
    """They are taken into use by the call, and quoted where YAML minds."""
    studio = studio_of(tmp_path, dict(BASE))
    values = {"distance": "a walk # or so", "kind": "maker", "lead_time": "1 week"}
    assert called(studio, "new", "supplier", "potter", *settings(values)).exit_code == 0
    text = (studio / "records" / "suppliers" / "potter.md").read_text("utf-8")
    front = front_of(text)
    assert front == {"kind": "maker", "distance": "a walk # or so", "lead_time": "1 week"}


def test_the_number_of_an_incident_that_is_gone_is_not_used_again(tmp_path: Path) -> None:
    """Else the next one would take its place in the count, and nobody would miss it."""
    counting = STUDIO.replace("protocol:", "incidents: 1\nprotocol:")
    studio = studio_of(tmp_path, {**BASE, "studio.md": counting})
    before = bytes_of(studio)
    answer = called(studio, "new", "incident", "two", *settings(FILLED["incident"]))
    assert "found incident number 2, but number 1 is not on file." in answer.stderr
    assert (answer.exit_code, bytes_of(studio)) == (2, before)


def test_the_next_incident(tmp_path: Path) -> None:
    """Incidents are numbered without a gap."""
    one = "---\nnumber: 1\non: 2026-03-01\nabout: recipes/fig\nwhat: soot\n---\n"
    studio = studio_of(tmp_path, {**BASE, "incidents/one.md": one})
    called(studio, "new", "incident", "two", *settings(FILLED["incident"]))
    assert "number: 2 " in (studio / "records" / "incidents" / "two.md").read_text("utf-8")
    assert studio_in(studio / "records")[1] == ()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["wax", "soy"], "records/waxes/soy.md is there already"),
        (["waxes", "SOY"], "'SOY' is none"),
        (["waks", "bee"], "did you mean 'wax'?"),
        (["wax", "bee", "--set", "densty=1 g/mL"], "did you mean 'density'?"),
        (["wax", "bee", "--set", "density"], "not of the form key=value"),
        (["wax", "bee", "--set", "kind=\udcff"], "'kind' holds characters that cannot be saved"),
        (["wax", "bee", "--set", "density=0.9"], "found '0.9' without a unit"),
        (["wax", "bee", "--candles", "3"], "--candles is for test candles"),
        (["wax", "bee", "--weighed", "soy=1 g"], "--weighed is for test candles"),
        (["protocol", "default"], "protocol 'default' ships with the program"),
        (["burn", "fog"], "did you mean 'fig'?"),
        (["burn", "fig", "--candles", "3", "--weighed", SOY], "given for 1 of 3 candles"),
        (["burn", "fig", "--weighed", "soy=100 g"], "needs the weights of fig-oil, soy"),
        (["burn", "fig", "--weighed", "soy=100, fig-oil=8 g"], "found '100' without a unit"),
    ],
)
def test_wrong_calls_write_nothing(words: list[str], told: str, tmp_path: Path) -> None:
    """Exit status 2, a reason, and the folder as it was."""
    studio = studio_of(tmp_path, dict(BASE))
    old = bytes_of(studio)
    result = called(studio, "new", *words)
    assert (result.exit_code, bytes_of(studio)) == (2, old)
    assert told in result.output


HELPER = "---\nmay: [burn, pour]\n---\n"
NAMES_NOTHING = [
    (["recipe", "two", "--set", "vessel=tumblr"], "there is no vessels/tumblr.md (did you mean"),
    (["recipe", "two", "--set", "wax={soy: 80 %, bee: 20 %}"], "there is no waxes/bee.md"),
    (["recipe", "two", "--set", "packaging={tin-lid: 1}"], "there is no packaging/tin-lid.md"),
    (["vessel", "two", "--set", "supplier=jar"], "there is no suppliers/jar.md"),
    (["purchase", "two", "--set", "supplier=jar"], "there is no suppliers/jar.md"),
    (["incident", "two", "--set", "about=recipes/fog"], "there is no recipes/fog.md"),
    (["burn", "fig", "--set", "by=ana"], "'ana'"),
    (["burn", "fig", "--set", "lots={waxes/soy: W-2}"], "'W-2'"),
    (["batch", "two", "--set", "by=ana"], "'ana'"),
    (["batch", "two", "--set", "recipe=fog"], "there is no recipes/fog.md"),
    (["batch", "two", "--set", "lots={waxes/soy: W-2}"], "'W-2'"),
    (["batch", "two", "--set", "lots={waxes/bee: W-1}"], "there is no waxes/bee.md"),
    (["batch", "two", "--set", "code=ZZZZ"], "'ZZZZ'"),
]


@pytest.mark.parametrize(("words", "told"), NAMES_NOTHING)
def test_a_value_that_names_nothing_on_file_is_refused(
    words: list[str], told: str, tmp_path: Path
) -> None:
    """While other keys are blank, too: told at once, in the words of the check, nothing written."""
    files = {**BASE, "helpers/wren.md": HELPER, "purchases/one.md": BILL}
    studio = studio_of(tmp_path, files)
    old = bytes_of(studio)
    result = called(studio, "new", *words)
    assert told in result.stderr
    assert result.stderr.endswith("Nothing was written.\n")
    assert (result.exit_code, bytes_of(studio)) == (2, old)


def test_what_is_on_file_is_taken_beside_blanks(tmp_path: Path) -> None:
    """A blank names nothing, and is no fault: it is told as a blank."""
    files = {**BASE, "helpers/wren.md": HELPER, "purchases/one.md": BILL}
    studio = studio_of(tmp_path, files)
    for words in (
        ["recipe", "two", "--set", "vessel=tumbler", "--set", "wax={soy: 100 %}"],
        ["burn", "fig", "--set", "by=wren", "--set", "lots={waxes/soy: W-1}"],
        ["batch", "two", "--set", "by=wren", "--set", "lots={waxes/soy: W-1}"],
    ):
        shutil.rmtree(studio / "records")
        studio_of(tmp_path, files)
        result = called(studio, "new", *words)
        assert result.exit_code == 0, result.output
        assert "Left to fill in" in result.output


@pytest.mark.parametrize(
    "words",
    [
        ["burn", "fig", "--on"],
        ["burn", "fig", "--weighed", SOY, "--set", "scale=0.1 g", "--on"],
        ["batch", "two", "--set"],
        ["purchase", "two", "--set"],
        ["incident", "two", "--set"],
    ],
)
def test_a_day_to_come_is_refused(words: list[str], tmp_path: Path) -> None:
    """Nothing was poured, bought or seen tomorrow; today it may have been."""
    studio = studio_of(tmp_path, dict(BASE))
    old, today = bytes_of(studio), date.today()  # noqa: DTZ011 -- as the command has it
    key = "" if words[-1] == "--on" else "on="
    result = called(studio, "new", *words, f"{key}{today + timedelta(days=2)}")
    assert (result.exit_code, bytes_of(studio)) == (2, old)
    assert str(today + timedelta(days=2)) in result.stderr
    result = called(studio, "new", *words, f"{key}{today - timedelta(days=1)}")
    assert result.exit_code == 0, result.output


def test_no_studio_here(tmp_path: Path) -> None:
    """Without records there is nowhere to write: a wrong call."""
    for words in (("wax", "bee"), ("burn", "fig")):
        result = called(tmp_path, "new", *words)
        assert result.exit_code == 2
        assert "expected a folder of records" in result.output
    assert bytes_of(tmp_path) == {}


def test_three_candles_poured_together(tmp_path: Path) -> None:
    """A file each, letters, code, weights to pour in comments; the weights weighed stay blank."""
    studio = studio_of(tmp_path, dict(BASE))
    result = called(studio, "new", "burn", "fig", "--candles", "3", "--on", "2026-03-01")
    assert result.exit_code == 0, result.output
    # 108 g at 8 % of the wax: 100 g and 8 g (by hand).
    assert "100.00 g of soy, 8.00 g of fig-oil" in result.output
    for letter in "abc":
        text = (studio / "records" / "burns" / f"fig-{letter}.md").read_text("utf-8")
        front = front_of(text)
        assert front["candle"] == letter.upper()
        made = front["made"]
        assert made["candles"] == "3"
        assert (made["wax"], made["fragrance"]) == ({"soy": ""}, {"fig-oil": ""})
        assert "soy:  # to pour: 100.00 g" in text
        assert "make-up " in text
        assert "cycles" not in front
    problems = studio_in(studio / "records")[1]
    assert {one.code for one in problems} == {"empty_value"}
    assert len(problems) == 3 * 3  # wax, oil and scale of each
    assert all(str(one) in result.output for one in problems)


def test_weighed_candles_are_burning(tmp_path: Path) -> None:
    """With what was weighed, the check finds no fault, and each candle is simply burning."""
    studio = studio_of(tmp_path, dict(BASE))
    weighed = [word for _ in "abc" for word in ("--weighed", SOY)]
    words = ("burn", "fig", "--candles", "3", "--on", "2026-03-01", "--set", "scale=0.1 g")
    result = called(studio, "new", *words, *weighed)
    assert "Nothing is left blank." in result.output
    told = called(studio, "figures", "--json", "--as-of", DAY)
    product = json.loads(told.output)["products"]["fig"]
    assert product["burning"] == ["fig-a", "fig-b", "fig-c"]
    assert product["status"] == "in_test"
    # What goes before stays: the next ones are D and E, weighed on the same scale.
    result = called(studio, "new", "burn", "fig", "--candles", "2", "--on", "2026-04-01")
    assert "burns/fig-d.md" in result.output
    text = (studio / "records" / "burns" / "fig-e.md").read_text("utf-8")
    assert "scale: 0.1 g " in text
    assert "soy:  # to pour: 100.0 g" in text


def test_all_that_a_make_up_may_have(tmp_path: Path) -> None:
    """Colorant, several wicks and waxes, no oil, and items in a later specification."""
    recipe = RECIPE.replace("wax: soy", "wax: {soy: 75 %, bee: 25 %}").replace(
        "fragrance: {fig-oil: 8 %}", "fragrance: none\nwicks: 2\ncolorant: {ivory: 1 %}"
    )
    files = {
        **BASE,
        "recipes/fig.md": recipe,
        "waxes/bee.md": BASE["waxes/soy.md"],
        "colorants/ivory.md": "---\nform: block\n---\n",
        "wicks/cotton-8.md": BASE["wicks/cotton-8.md"].replace(
            "core: cotton", "core: cotton\nspec: 2\nspec_since: 2026-02-01"
        ),
    }
    studio = studio_of(tmp_path, files)
    weighed = "soy=80.2 g, bee=26.7 g, ivory=1.07 g"
    words = ("burn", "fig", "--set", "scale=0.01 g", "--set", "room=20 degC", "--weighed", weighed)
    result = called(studio, "new", *words, "--on", "2026-03-01")
    assert result.exit_code == 0, result.output
    linked, problems = studio_in(studio / "records")
    assert linked is not None, problems
    made = linked.burns["fig-a"].made
    assert dict(made.wax) == {"soy": 80.2, "bee": 26.7}
    assert (dict(made.fragrance), dict(made.colorant)) == ({}, {"ivory": 1.07})
    assert (made.wicks, dict(made.spec)) == (2, {"wicks/cotton-8": 2})
    assert linked.burns["fig-a"].room_c == 20
    # Before the change it is the former one, and nothing need be said.
    called(studio, "new", "burn", "fig", "--on", "2026-01-15", "--weighed", weighed)
    linked, problems = studio_in(studio / "records")
    assert linked is not None, problems
    assert dict(linked.burns["fig-b"].made.spec) == {}


def test_the_recipes_own_count_is_raised_in_place(tmp_path: Path) -> None:
    """Not another byte of the recipe changes; a count that was wrong is left and told."""
    recipe = RECIPE.replace("test_candles: as filed", "test_candles: 3   # all passed")
    recipe = recipe.replace("\n", "\r\n")
    studio = studio_of(tmp_path, proven())
    file = studio / "records" / "recipes" / "fig.md"
    file.write_bytes(recipe.encode())
    result = called(
        studio, "new", "burn", "fig", "--candles", "2", "--weighed", SOY, "--weighed", SOY
    )
    assert "test_candles raised from 3 to 5." in result.output
    assert file.read_bytes() == recipe.replace("test_candles: 3 ", "test_candles: 5 ").encode()
    (studio / "records" / "burns" / "fig-e.md").unlink()
    old = file.read_bytes()
    result = called(studio, "new", "burn", "fig", "--weighed", SOY)
    assert "test_candles: 5, and on file: 4" in result.output
    assert file.read_bytes() == old


def test_candles_of_one_day_count_each_other(tmp_path: Path) -> None:
    """The records of that day, the recipe and the new one agree, and no other byte changes."""
    studio = studio_of(tmp_path, dict(BASE))
    records = studio / "records"
    words = ("burn", "fig", "--set", "scale=0.1 g", "--weighed", SOY, "--on")
    assert called(studio, "new", *words, "2026-03-01").exit_code == 0
    first = records / "burns" / "fig-a.md"
    crlf = (
        first.read_bytes()
        .replace(b"candles: 1 ", b"candles:  1  # all good")
        .replace(b"\n", b"\r\n")
    )
    first.write_bytes(crlf)
    recipe = (records / "recipes" / "fig.md").read_text("utf-8")
    assert recipe == RECIPE.replace("test_candles: as filed", "test_candles: 1")
    result = called(studio, "new", *words, "2026-03-01")
    assert "fig-a.md: candles raised from 1 to 2" in result.output
    assert "test_candles raised from 1 to 2." in result.output
    assert first.read_bytes() == crlf.replace(b"candles:  1 ", b"candles:  2 ")
    called(studio, "new", *words, "2026-03-02")  # another day: theirs stay as they are
    linked, problems = studio_in(records)
    assert linked is not None, problems
    assert {one: burn.made.candles for one, burn in linked.burns.items()} == {
        "fig-a": 2, "fig-b": 2, "fig-c": 1,
    }  # fmt: skip
    assert linked.recipes["fig"].test_candles == 3
    why = called(studio, "why", "fig", "--as-of", DAY).output
    assert "may be missing" not in why


def test_one_that_is_missing_stays_missing(tmp_path: Path) -> None:
    """A new candle of the same day hides no gap: of four that were poured three are on file."""
    files = proven()
    del files["burns/fig-b.md"]
    studio = studio_of(tmp_path, files)
    called(studio, "new", "burn", "fig", "--on", "2026-03-01", "--weighed", SOY)
    assert "candles: 4" in (studio / "records" / "burns" / "fig-a.md").read_text("utf-8")
    assert "test_candles: 3" in (studio / "records" / "recipes" / "fig.md").read_text("utf-8")
    why = called(studio, "why", "fig", "--as-of", DAY).output
    assert "Poured together on 2026-03-01: 4. On file: 3." in why
    assert "Candle B is not on file." in why


def test_more_on_file_than_counted_is_no_loss(tmp_path: Path) -> None:
    """The sentence and its mend speak of the count: there is no record to bring back."""
    files = {**BASE, **{f"burns/fig-{one.lower()}.md": burn(one, candles=1) for one in "ABC"}}
    why = called(studio_of(tmp_path, files), "why", "fig", "--as-of", DAY).output
    assert "by the records of that day: 1. On file: 3, which is more." in why
    assert "may be missing" not in why
    assert "Bring the missing record back" not in why


def test_three_runs_at_once_count_each_other(tmp_path: Path) -> None:
    """Three candles, all counted, whoever was first: one lock is around all that is written."""
    studio = studio_of(tmp_path, dict(BASE))
    command = [sys.executable, "-m", "handbook_builder", "new", "burn", "fig", "--studio"]
    words = [str(studio), "--on", "2026-03-01", "--set", "scale=0.1 g", "--weighed", SOY]
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    runs = [
        subprocess.Popen([*command, *words], env=environment, stdout=subprocess.DEVNULL)
        for _ in "abc"
    ]
    assert [one.wait(timeout=120) for one in runs] == [0, 0, 0]
    linked, problems = studio_in(studio / "records")
    assert linked is not None, problems
    assert {one: burn.made.candles for one, burn in linked.burns.items()} == {
        "fig-a": 3, "fig-b": 3, "fig-c": 3,
    }  # fmt: skip
    assert linked.recipes["fig"].test_candles == 3


@pytest.mark.parametrize("fails_at", ["fig-c.md", "fig-a.md", "fig.md"])
def test_a_disk_that_fills_up_leaves_all_as_it_was(
    fails_at: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whichever file finds no room, no candle is half counted."""
    files = {**BASE, **{f"burns/fig-{one.lower()}.md": burn(one, candles=2) for one in "AB"}}
    studio = studio_of(tmp_path, files)
    old, draft = bytes_of(studio), written_files._draft  # noqa: SLF001 -- where the system fails

    def full(path: Path, data: bytes, mode: int | None) -> Path:
        if path.name == fails_at and data != old.get(path.relative_to(studio).as_posix()):
            raise OSError(28, "No space left on device")
        return draft(path, data, mode)

    monkeypatch.setattr(written_files, "_draft", full)
    result = called(studio, "new", "burn", "fig", "--on", "2026-03-01", "--weighed", SOY)
    assert (result.exit_code, bytes_of(studio)) == (1, old)
    assert f"{fails_at}: No space left on device. What was on file before" in result.stderr


@pytest.mark.parametrize(("fill", "due"), [("0.05 g", "0.046 g"), ("0.002 mg", "1.9e-06 g")])
def test_a_fill_that_the_scale_cannot_show(fill: str, due: str, tmp_path: Path) -> None:
    """The weights are told as they are: 0.0463 and 0.00000185 g of wax (by hand, 8 % of it oil)."""
    recipe = RECIPE.replace("fill: 108 g", f"fill: {fill}")
    studio = studio_of(tmp_path, {**BASE, "recipes/fig.md": recipe, "burns/fig-a.md": burn("A")})
    result = called(studio, "new", "burn", "fig")
    assert result.exit_code == 0, result.output
    assert f"To pour for each candle: {due} of soy" in result.output


def test_a_letter_is_never_used_twice(tmp_path: Path) -> None:
    """Where B is missing the next one is D, and the gap stays to be seen."""
    files = proven()
    del files["burns/fig-b.md"]
    studio = studio_of(tmp_path, files)
    result = called(studio, "new", "burn", "fig", "--weighed", SOY)
    assert "burns/fig-d.md" in result.output
    others = proven()["burns/fig-a.md"].replace("recipe: fig", "recipe: other")
    files = {**BASE, "burns/fig-a.md": others, "recipes/other.md": RECIPE}
    studio = studio_of(tmp_path / "two", files)
    old = bytes_of(studio)
    result = called(studio, "new", "burn", "fig", "--candles", "2")
    assert (result.exit_code, bytes_of(studio)) == (2, old)
    assert "records/burns/fig-a.md is there already" in result.output


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        ("material: glass", "material: wood", "Do not light it"),
        ("heat_evidence:\n  - {kind: sold_for_candles, on: 2026-01-05, by: jar-house}\n", "",
         "is not cleared for heat"),
    ],
)  # fmt: skip
def test_a_vessel_that_is_not_cleared(before: str, after: str, told: str, tmp_path: Path) -> None:
    """The record is written, and the maker is warned."""
    vessel = BASE["vessels/tumbler.md"].replace(before, after)
    studio = studio_of(tmp_path, {**BASE, "vessels/tumbler.md": vessel})
    result = called(studio, "new", "burn", "fig", "--weighed", SOY)
    assert result.exit_code == 0
    assert told in spaced(result.output)


def test_a_studio_at_fault(tmp_path: Path) -> None:
    """Letters and weights lean on every record: with one at fault, no test candle is begun."""
    studio = studio_of(tmp_path, {**BASE, "waxes/bee.md": "---\nkind: bee\n---\n"})
    old = bytes_of(studio)
    result = called(studio, "new", "burn", "fig")
    assert (result.exit_code, bytes_of(studio)) == (1, old)
    assert "records/waxes/bee.md:2:1: the key 'density' is missing" in result.output


def test_a_template_of_the_studios_own(tmp_path: Path) -> None:
    """It is laid over the shipped one; a key that it does not show gets a line of its own."""
    studio = studio_of(tmp_path, dict(BASE))
    own = studio / "site_templates" / "new"
    own.mkdir(parents=True)
    (own / "packaging.md.j2").write_text("---\nform:  # ours\n---\n", "utf-8")
    called(studio, "new", "packaging", "lid", "--set", "form=lid", "--set", "spec=1")
    text = (studio / "records" / "packaging" / "lid.md").read_text("utf-8")
    assert text.split() == ["---", "form:", "lid", "#", "ours", "spec:", "1", "---"]


def test_a_new_recipe_writes_the_grams_of_its_fill(tmp_path: Path) -> None:
    """210 mL at 108 / (100/0.9 + 8/0.98) g/mL is 190.15 g: no later density makes another of it."""
    studio = studio_of(tmp_path, dict(BASE))
    result = called(studio, "new", "recipe", "two", *settings(FILLED["recipe"]))
    assert result.exit_code == 0, result.output
    text = (studio / "records" / "recipes" / "two.md").read_text("utf-8")
    grams = 210 * 108 / (100 / 0.9 + 8 / 0.98)
    assert front_of(text)["fill"] == f"{grams:.1f} g" == "190.1 g"


def test_a_new_batch_writes_the_code_that_it_was_poured_as(tmp_path: Path) -> None:
    """That of its own day: a recipe that is changed afterwards makes it a former make-up."""
    studio = studio_of(tmp_path, proven())
    code = json.loads(called(studio, "figures", "--json", "--as-of", DAY).output)
    words = settings({**FILLED["batch"], "on": "2026-04-05", "lots": "{}"})
    assert called(studio, "new", "batch", "one", *words).exit_code == 0
    text = (studio / "records" / "batches" / "one.md").read_text("utf-8")
    assert front_of(text)["code"] == code["products"]["fig"]["code"]


def test_a_new_test_candle_writes_its_width_and_offers_the_lots(tmp_path: Path) -> None:
    """The one lot of an item is written; of several that can be had, the maker takes one."""
    bill = (
        "---\nsupplier: jar-house\non: {on}\nlines:\n"
        "  - {{item: waxes/soy, quantity: 10 kg, price: 62.00, lot: {lot}}}\n{more}---\n"
    )
    oil = "  - {item: fragrances/fig-oil, quantity: 1 kg, price: 50.00, lot: F-1}\n"
    files = {
        **BASE,
        "purchases/one.md": bill.format(on="2026-01-02", lot="W-1", more=oil),
        "purchases/two.md": bill.format(on="2026-02-02", lot="W-2", more=""),
        "purchases/three.md": bill.format(on="2026-03-02", lot="W-3", more=""),
    }
    studio = studio_of(tmp_path, files)
    words = ("--set", "scale=0.1 g", "--weighed", SOY, "--on", "2026-03-01")
    assert called(studio, "new", "burn", "fig", *words).exit_code == 0
    text = (studio / "records" / "burns" / "fig-a.md").read_text("utf-8")
    front = front_of(text)
    assert front["made"]["inside_diameter"] == "72 mm"
    assert front["lots"] == {"fragrances/fig-oil": "F-1"}
    assert "# waxes/soy: W-2, or W-1\n" in text


@pytest.mark.parametrize(
    ("units", "scale", "wax"),
    [
        ("us", "0.01 oz", "3.53 oz"),  # 100 g / 28.349523125, to the step: 3.527 (by hand)
        ("us", "0.1 g", "100.0 g (3.527 oz)"),
        ("metric", "0.01 oz", "3.53 oz (100.07 g)"),  # 353 steps of 0.28349523125 g (by hand)
        ("both", "0.1 g", "100.0 g (3.527 oz)"),
        ("us", None, "3.527 oz (100.00 g)"),
        ("both", None, "100.00 g (3.527 oz)"),
    ],
)
def test_weights_to_pour_in_the_units_of_the_scale_and_the_studio(
    units: str, scale: str | None, wax: str, tmp_path: Path
) -> None:
    """The scale stays as it was written, and what is to be poured can be read off it."""
    files = dict(BASE)
    files["studio.md"] = files["studio.md"].replace("units: metric", f"units: {units}")
    if scale is not None:
        files["burns/fig-a.md"] = burn("A").replace("scale: 0.1 g", f"scale: {scale}")
        files["recipes/fig.md"] = RECIPE.replace("as filed", "1")
    studio = studio_of(tmp_path, files)
    result = called(studio, "new", "burn", "fig", "--on", "2026-07-01")
    assert result.exit_code == 0, result.output
    text = (studio / "records/burns" / f"fig-{'a' if scale is None else 'b'}.md").read_text("utf-8")
    assert f"soy:  # to pour: {wax}\n" in text
    assert f"{wax} of soy" in result.output
    assert scale is None or f"scale: {scale}   " in text


def test_a_key_that_a_kind_does_not_have(tmp_path: Path) -> None:
    """The kind is named in the singular, with the keys that it has; nothing is written."""
    studio = studio_of(tmp_path, dict(BASE))
    before = bytes_of(studio)
    result = called(studio, "new", "supplier", "x", "--set", "name=N")
    assert (result.exit_code, bytes_of(studio)) == (2, before)
    assert "the kind supplier has no key 'name'" in result.output
    known = "kind, distance, lead_time, minimum_order"
    assert f"It has: {known}. Nothing was written." in " ".join(result.output.split())

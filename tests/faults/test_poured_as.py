"""A batch is judged as what it was poured as, and a message about it names what really changed."""

import pytest

from handbook_builder.derived.notices import notices
from handbook_builder.problems import Problem
from handbook_builder.reading.records import read_texts
from handbook_builder.verdicts.code import is_code, plain
from handbook_builder.verdicts.combination import code_of_combination, combination_of_recipe
from handbook_builder.verdicts.former import is_former
from handbook_builder.workshop import studio_from
from tests.records_in_text import (
    DAY,
    OIL,
    RECIPE,
    VESSEL,
    WAX,
    WICK,
    as_bytes,
    burn,
    linked,
    proven,
    whole_life,
)

BATCH = "---\nrecipe: fig\non: 2026-04-05\nmade: 6\nby: the maker\n{code}lots: {{}}\n---\n"


def code_of(files: dict[str, str], recipe: str = "fig") -> str:
    """Return the code of a recipe's candle today."""
    studio = linked(files)
    return code_of_combination(combination_of_recipe(studio, studio.recipes[recipe], DAY))


def poured(code: str = "", **more: str) -> dict[str, str]:
    """Return the proven studio with a batch, that bears a code if one is given."""
    line = f"code: {code}\n" if code else ""
    return {**proven(), "batches/one.md": BATCH.format(code=line), **more}


def problems(files: dict[str, str]) -> list[Problem]:
    """Return what the whole studio is told."""
    return list(studio_from(read_texts(as_bytes(files), "records/"))[1])


def codes(files: dict[str, str]) -> list[str]:
    """Return the codes alone."""
    return [one.code for one in problems(files)]


def test_a_recipe_that_was_changed_makes_no_fault_of_a_batch_with_a_code() -> None:
    """It is of a former make-up; without a code it is held against the recipe as it is now."""
    code = code_of(proven())
    changed = {"recipes/fig.md": RECIPE.replace("8 %", "6 %")}
    assert codes(poured(code)) == []
    assert codes(poured(code, **changed)) == []
    assert codes(poured("", **changed)) == ["batch_unproven"]


def test_a_batch_with_the_code_of_another_recipe_is_a_fault() -> None:
    """An incident about it would hold the recipe that it names, and let go of what it is."""
    weak = {"recipes/fig-weak.md": RECIPE.replace("8 %", "6 %").replace("as filed", "0")}
    code = code_of({**proven(), **weak}, "fig-weak")
    (told,) = problems(poured(code, **weak))
    assert (told.code, told.place.line) == ("code_of_another", 6)
    assert "the code of fig-weak" in told.message


def test_a_code_of_what_was_never_proven_is_a_fault() -> None:
    """A well-formed code alone makes no former make-up of a recipe that nobody tested."""
    batch = poured(code_of(proven()))
    untested = {path: text for path, text in batch.items() if not path.startswith("burns/")}
    changed = {"recipes/fig.md": RECIPE.replace("8 %", "6 %")}
    (told,) = problems({**untested, **changed})
    assert (told.code, told.place.line) == ("batch_never_proven", 6)
    assert "only 0 of the 3 candles" in told.message


def test_a_failure_that_is_found_in_what_proved_a_former_make_up_is_no_fault() -> None:
    """It was proven for all that anybody knew, and was never "as proven" since."""
    changed = {"recipes/fig.md": RECIPE.replace("8 %", "6 %")}
    end = "{how: went_out, left: 4.0 g, vessel: cracked, tilt: steady, cycles: all}"
    cracked = {"burns/fig-c.md": burn("C", end=end)}
    assert codes(poured(code_of(proven()), **changed, **cracked)) == []
    ladder = {"burns/fig-c.md": burn("C", end=end, more="as: ladder\n", made="  rungs: 3\n")}
    assert codes(poured(code_of(proven()), **changed, **ladder)) == ["batch_never_proven"]


def test_a_batch_of_a_former_make_up_is_told() -> None:
    """Its recipe was changed since, and none is that candle now: no fault, and never proven."""
    changed = {"recipes/fig.md": RECIPE.replace("8 %", "6 %")}
    files = poured(code_of(proven()), **changed)
    assert codes(files) == []
    studio = linked(files)
    assert is_former(studio, studio.batches["one"])
    (told,) = (one for one in notices(studio, DAY, {}) if one.code == "batch_former")
    assert str(told.place).startswith("records/batches/one.md:6")
    assert "fig" in told.message


def test_two_recipes_of_one_candle_have_one_code() -> None:
    """That of its own recipe is no former one."""
    files = poured(code_of(proven()), **{"recipes/amber.md": RECIPE})
    assert codes(files) == []
    told = notices(linked(files), DAY, {})
    assert [one.code for one in told if one.code == "batch_former"] == []


def test_a_code_that_was_copied_wrong() -> None:
    """Any one symbol: it would be taken for that of a former make-up, and asked for nothing."""
    code = code_of(proven())
    assert is_code(code)
    assert is_code(plain(code))
    for at in (0, 5, 13):
        other = "B" if code[at] != "B" else "C"
        wrong = code[:at] + other + code[at + 1 :]
        assert codes(poured(wrong)) == ["not_a_code"]
    assert codes(poured("ABCD")) == ["not_a_code"]
    assert codes(poured(code.lower())) == []


@pytest.mark.parametrize(
    ("path", "text", "says", "line"),
    [
        (
            "burns/fig-b.md",
            burn("B", wick="cotton-10"),
            "wick",
            "records/burns/fig-b.md:8",
        ),
        (
            "burns/fig-b.md",
            burn("B", wax="110.0 g", oil="8.8 g"),
            "118.8",
            "records/burns/fig-b.md:3",
        ),
        (
            "burns/fig-b.md",
            burn("B", oil="9.0 g"),
            "fig-oil",
            "records/burns/fig-b.md:7",
        ),
        (
            "burns/fig-b.md",
            burn("B").replace("  tilt: steady\n", ""),
            "",
            "records/burns/fig-b.md:3",
        ),
        (
            "burns/fig-b.md",
            burn("B").replace("cycles: 4", "cycles: 5"),
            "",
            "records/burns/fig-b.md:19",
        ),
        (
            "burns/fig-b.md",
            burn("B").replace("inside_diameter: 72 mm", "inside_diameter: 60 mm"),
            "60 mm",
            "records/burns/fig-b.md:10",
        ),
        (
            "vessels/tumbler.md",
            VESSEL.replace("72 mm", "80 mm"),
            "80 mm",
            "records/burns/fig-a.md:10",
        ),
        (
            "vessels/tumbler.md",
            VESSEL.replace("porous: no\n", ""),
            "",
            "records/vessels/tumbler.md",
        ),
        (
            "fragrances/fig-oil.md",
            OIL.replace("max_use: 9 %\n", ""),
            "",
            "records/fragrances/fig-oil.md:2",
        ),
    ],
)
def test_the_message_about_a_batch_names_the_line_that_changed(
    path: str, text: str, says: str, line: str
) -> None:
    """Not only the batch, which nobody touched: the record and the line where to look."""
    files = {**poured(), "wicks/cotton-10.md": WICK, path: text}
    told = problems(files)
    assert [one.code for one in told] == ["batch_unproven"]
    message = told[0].message.replace("\N{NO-BREAK SPACE}", " ")
    assert f"({line}" in message
    assert says in message


def test_a_changed_recipe_is_named_by_the_candles_that_are_not_it() -> None:
    """Each test candle that no longer counts, and in what it differs."""
    (told,) = problems(poured("", **{"recipes/fig.md": RECIPE.replace("cotton-8", "cotton-10"),
                                     "wicks/cotton-10.md": WICK}))  # fmt: skip
    for letter in "abc":
        assert f"(records/burns/fig-{letter}.md:8)" in told.message


def test_a_density_that_is_written_down_later_makes_no_batch_a_fault() -> None:
    """Of a recipe that fills to the line: the molten wax is another question."""
    to_line = {
        "recipes/fig.md": RECIPE.replace("108 g", "to_line"),
        "vessels/tumbler.md": VESSEL.replace("210 mL", "119.2744 mL"),  # 108.0 g of it
    }
    later = WAX.replace("cure:", "liquid_density: {density: 0.80 g/mL, at: 70 degC}\ncure:")
    assert codes(poured("", **to_line)) == []
    assert codes(poured("", **to_line, **{"waxes/soy.md": later})) == []


def test_other_faults_are_told_before_what_would_be_made_of_them() -> None:
    """A size that cannot be is the slip; that a batch is unproven would only follow from it."""
    wide = VESSEL.replace("72 mm", "720 mm")
    assert codes(poured("", **{"vessels/tumbler.md": wide})) == ["no_such_width"]


# --- Lots of test candles ---

BILL = (
    "---\nsupplier: jar-house\non: 2026-03-01\n"
    "lines: [{item: waxes/soy, quantity: 1 kg, price: 6.20, lot: W-1}]\n---\n"
)


@pytest.mark.parametrize(
    ("lot", "bought", "codes_told"),
    [
        ("W-1", "2026-03-01", []),
        ("W-1", "2026-03-02", ["lot_too_late"]),
        ("W-2", "2026-03-01", ["unknown_lot"]),
    ],
)
def test_the_lot_of_a_test_candle_must_be_on_a_bill(
    lot: str, bought: str, codes_told: list[str]
) -> None:
    """By the day of its pouring: a mistyped one would be touched by no incident."""
    files = {**proven(), "purchases/one.md": BILL.replace("2026-03-01", bought)}
    files["burns/fig-a.md"] = burn("A", more=f"lots: {{waxes/soy: {lot}}}\n")
    told = problems(files)
    assert [one.code for one in told] == codes_told
    assert all(str(one.place) == "records/burns/fig-a.md:22" for one in told)


def test_the_lot_of_what_is_not_on_file() -> None:
    """Told by its name, once."""
    files = {**proven(), "burns/fig-a.md": burn("A", more="lots: {waxes/say: W-1}\n")}
    assert codes(files) == ["dangling", "lot_not_in_made"]


# --- Proven by copies ---


def test_a_batch_that_was_proven_by_copies_is_a_fault() -> None:
    """Three records that weigh alike are one candle: the proof was never there."""
    three = {f"burns/fig-{one}.md": burn(one.upper(), cycles=whole_life()) for one in "abc"}
    (told,) = problems(poured("", **three))
    assert told.code == "batch_unproven"
    assert codes(poured()) == []


def test_a_copy_filed_under_another_recipe_counts_as_one() -> None:
    """Wherever the record that is repeated stands."""
    other = {"recipes/other.md": RECIPE.replace("vessel: tumbler", "vessel: beaker"),
             "vessels/beaker.md": VESSEL}  # fmt: skip
    copy = burn("A", candles=1, cycles=whole_life(2)).replace("recipe: fig\n", "recipe: other\n")
    copy = copy.replace("vessel: tumbler", "vessel: beaker")
    assert codes(poured("", **other, **{"burns/other-a.md": copy})) == ["batch_unproven"]
    own = copy.replace(".1 g", ".2 g").replace(".4 g", ".6 g")
    assert codes(poured("", **other, **{"burns/other-a.md": own})) == []


# --- Lots that are written in two ways ---


@pytest.mark.parametrize(
    ("other", "alike"),
    [
        ("W-1", False),
        ("w-1", True),
        ("W 1", True),
        ("W1", True),
        ("W_1", True),
        ("W-2", False),
        ("W-11", False),
    ],
)
def test_lots_that_differ_only_in_how_they_are_written(other: str, *, alike: bool) -> None:
    """Of one item: an incident about the one would miss the other."""
    second = BILL.replace("2026-03-01", "2026-03-08").replace("W-1", other)
    files = {**proven(), "purchases/one.md": BILL, "purchases/two.md": second}
    assert codes(files) == (["lots_alike"] if alike else [])
    oil = second.replace("waxes/soy", "fragrances/fig-oil")
    assert codes({**files, "purchases/two.md": oil}) == []


def test_lots_alike_on_one_bill_and_lines_without_a_lot() -> None:
    """The second of them is told; what has no lot is like nothing."""
    line = "{item: waxes/soy, quantity: 1 kg, price: 6.20, lot: W-1}"
    lines = f"{line}, {line.replace('W-1', 'w1')}, {line.replace(', lot: W-1', '')}"
    files = {**proven(), "purchases/one.md": BILL.replace(line, lines)}
    (told,) = problems(files)
    assert told.code == "lots_alike"
    assert "lot 'w1' of waxes/soy, and lot 'W-1'" in told.message
    bare = BILL.replace(line, f"{line.replace(', lot: W-1', '')}, {line}")
    assert codes({**proven(), "purchases/one.md": bare}) == []

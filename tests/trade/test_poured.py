"""A batch is of what was proven on its day, and its lots can be traced, or the records fail."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from handbook_builder.derived.notices import notices
from handbook_builder.faults.poured import unfounded, untraceable
from handbook_builder.problems import Problem
from handbook_builder.reading.records import read_folder, read_texts
from handbook_builder.shipped import templates_folder
from handbook_builder.verdicts.approval import Status
from handbook_builder.verdicts.batches import batch_verdict
from handbook_builder.verdicts.judge import judge
from handbook_builder.verdicts.poured import poured_on
from handbook_builder.workshop import studio_from, studio_in
from tests.oracle.batches import Day
from tests.oracle.generate import studio as drawn
from tests.oracle.read import read
from tests.records_in_text import DAY, RECIPE, WICK, as_bytes, burn, linked, proven, whole_life

DEMO = Path(__file__).parents[2] / "records"
BATCH = "---\nrecipe: fig\non: {on}\nmade: 6\nby: the maker\nlots: {{}}\n---\n"
INCIDENT = "---\nnumber: 1\non: 2026-04-01\nabout: recipes/fig\nwhat: It smoked.\n{more}---\n"


def poured(on: str, **more: str) -> dict[str, str]:
    """Return the proven studio with a batch of that day."""
    return {**proven(), "batches/one.md": BATCH.format(on=on), **more}


def problems(files: Mapping[str, str]) -> list[Problem]:
    """Return what the whole studio is told."""
    return list(studio_from(read_texts(as_bytes(files), "records/"))[1])


def codes(files: Mapping[str, str]) -> list[str]:
    """Return the codes alone."""
    return [one.code for one in problems(files)]


def test_a_batch_of_the_day_of_approval() -> None:
    """On the day the last candle passed it may be poured, on the day before it may not."""
    assert codes(poured("2026-03-19")) == []
    (told,) = problems(poured("2026-03-18"))
    assert told.code == "batch_too_early"
    assert str(told).startswith(
        "records/batches/one.md:3:1: poured on 2026-03-18, when fig was not approved; "
        "it is approved only since 2026-03-19. Missing on the day: "
        "0 of 3 test candles passed; 3 more must pass. (records/recipes/fig.md:2) "
    )


def test_a_batch_that_was_never_right() -> None:
    """Without any approval to this day the message says so, with everything that was missing."""
    files = poured("2026-04-05")
    files["burns/fig-b.md"] = burn("B", end="{how: went_out, vessel: cracked, tilt: steady}")
    (told,) = problems(files)
    assert told.code == "batch_unproven"
    assert "and as of today it is not approved either" in told.message
    assert "Test candle B (fig-b) failed." in told.message
    assert "(records/burns/fig-b.md:" in told.message


def test_what_comes_later_makes_no_older_batch_wrong() -> None:
    """An incident, a failure, a retirement, a new specification or a void of a later day.

    Of its own day, a failure and an incident speak against it, and are no fault of its record.
    """
    end = "{how: went_out, left: 4.0 g, vessel: cracked, tilt: steady, cycles: all}"
    fourth = burn("D", candles=1, end=end)
    later = {
        "incidents/one.md": INCIDENT.format(more=""),
        "burns/fig-d.md": fourth.replace("2026-03", "2026-04"),
        "recipes/fig.md": RECIPE.replace("fill:", "retired: 2026-04-01\nfill:"),
        "wicks/cotton-8.md": WICK.replace("core:", "spec: 2\nspec_since: 2026-04-01\ncore:"),
        "burns/fig-c.md": burn("C", more="void: {why: it fell, by: the maker, on: 2026-04-01}\n"),
    }
    for name, text in later.items():
        assert codes(poured("2026-03-31", **{name: text})) == [], name
        lacks = [] if name in {"burns/fig-d.md", "incidents/one.md"} else ["batch_unproven"]
        assert codes(poured("2026-04-01", **{name: text})) == lacks, name
    assert codes(poured("2026-03-31", **later)) == []


def standing(files: Mapping[str, str], day: date = DAY) -> tuple[str, list[str], list[str]]:
    """Return how the batch stands, with the codes of its reasons and of its notes."""
    found, told = studio_from(read_texts(as_bytes(files), "records/"))
    assert found is not None, told
    verdict = batch_verdict(judge(found, day), found.batches["one"])
    return (
        verdict.state.value,
        [one.code for one in verdict.reasons],
        [one.code for one in verdict.notes],
    )


def warned(files: Mapping[str, str], day: date = DAY) -> list[tuple[str, int, str]]:
    """Return what the check warns of, with the line and the words."""
    found, _ = studio_from(read_texts(as_bytes(files), "records/"))
    assert found is not None
    return [(one.code, one.place.line, one.message) for one in notices(found, day, {})]


def test_a_batch_poured_against_a_known_incident() -> None:
    """No fault, and never as proven: suspended while it is open, poured against it for good."""
    closing = "closed: {on: 2026-04-07, finding: a draught}\n"
    closed = {"incidents/one.md": INCIDENT.format(more=closing)}
    files = poured("2026-04-06", **closed)
    assert standing(files, date(2026, 4, 6))[0] == "suspended"
    state, reasons, _ = standing(files)
    assert (state, reasons[0]) == ("poured_against", "poured_while_suspended")
    ((code, line, message),) = warned(files)
    assert (code, line) == ("batch_under_incident", 3)
    assert warned(files, date(2026, 4, 5)) == []
    assert "while incident 1 of 2026-04-01 was open" in message
    assert "into records/incidents/one.md, such as 'told: 2026-03-15'" in message
    after = poured("2026-04-07", **closed)
    assert standing(after)[0] == "unweighed"
    assert warned(after) == []


@pytest.mark.parametrize(
    ("told", "is_known"), [("2026-04-01", True), ("2026-04-06", True), ("2026-04-07", False)]
)
def test_an_incident_that_was_told_later(told: str, is_known: bool) -> None:  # noqa: FBT001
    """It suspends from its own day; once it is closed, a batch poured in good faith is free."""
    more = f"told: {told}\nclosed: {{on: 2026-04-20, finding: a draught}}\n"
    files = poured("2026-04-06", **{"incidents/one.md": INCIDENT.format(more=more)})
    for day in (date(2026, 4, 6), date(2026, 4, 19)):
        state, reasons, notes = standing(files, day)
        assert (state, reasons[0]) == ("suspended", "open_incident")
        assert ("poured_while_suspended" in reasons) is is_known
        assert ("poured_before_told" in notes) is not is_known
    assert standing(files)[0] == ("poured_against" if is_known else "unweighed")
    assert [one[0] for one in warned(files)] == (["batch_under_incident"] if is_known else [])


def test_an_incident_about_the_batch_itself_came_after_it() -> None:
    """Be it of the same day, or mistyped: nobody can have poured it against that."""
    more = "closed: {on: 2026-04-20, finding: a draught}\n"
    about = INCIDENT.format(more=more).replace("recipes/fig", "batches/one")
    files = poured("2026-04-01", **{"incidents/one.md": about})
    assert standing(files, date(2026, 4, 1))[0] == "suspended"
    assert standing(files) == ("unweighed", ["batch_not_weighed"], [])
    assert warned(files) == []


def test_the_incident_that_suspends_the_proof_of_its_own_day() -> None:
    """The vessel was changed since and proven anew from another lot: the batch was not."""
    lots = BILL.replace("lot: W-1}", "lot: W-1}\n  - {item: waxes/soy, quantity: 10 kg, "
                        "price: 60.00, lot: W-2}")  # fmt: skip
    word = "\n  - {kind: sold_for_candles, on: 2026-04-10, by: jar-house}\nopening"
    files = poured("2026-04-06", **{"purchases/one.md": lots})
    files["batches/one.md"] = files["batches/one.md"].replace("lots: {}", "lots: {waxes/soy: W-2}")
    vessel = files["vessels/tumbler.md"].replace("use:", "spec: 2\nspec_since: 2026-04-10\nuse:")
    files["vessels/tumbler.md"] = vessel.replace("\nopening", word)
    for one in "abc":
        files[f"burns/fig-{one}.md"] = burn(one.upper(), more="lots: {waxes/soy: W-1}\n")
    for at, one in enumerate("def", 3):
        made, more = "  spec: {vessels/tumbler: 2}\n", "lots: {waxes/soy: W-2}\n"
        again = burn(one.upper(), made=made, more=more, cycles=whole_life(at))
        files[f"burns/fig-{one}.md"] = again.replace("on: 2026-03-01", "on: 2026-02-01")
    assert standing(files)[0] == "unweighed"
    for on in ("2026-04-01", "2026-04-20"):
        of_lot = INCIDENT.format(more="").replace("recipes/fig", "waxes/soy\nlot: W-1")
        more_files = {**files, "incidents/one.md": of_lot.replace("2026-04-01", on)}
        found, _ = studio_from(read_texts(as_bytes(more_files), "records/"))
        assert found is not None
        assert judge(found, DAY).products["fig"].status == "approved"
        state, reasons, _ = standing(more_files)
        assert state == "suspended"
        assert reasons[0] in {"open_incident", "proof_lot_suspended"}


def test_what_speaks_against_the_day_stands_when_today_knows_nothing_of_it() -> None:
    """A vessel that failed as it was then, and is another by now."""
    failed = (
        "\n  - {kind: makers_word, on: 2026-04-02, by: x, result: failed}\n"
        "  - {kind: sold_for_candles, on: 2026-04-10, by: jar-house}\nopening"
    )
    files = poured("2026-04-06")
    vessel = files["vessels/tumbler.md"].replace("use:", "spec: 2\nspec_since: 2026-04-10\nuse:")
    files["vessels/tumbler.md"] = vessel.replace("\nopening", failed)
    found, _ = studio_from(read_texts(as_bytes(files), "records/"))
    assert found is not None
    assert judge(found, DAY).vessels["tumbler"].screening == "cleared"
    state, reasons, _ = standing(files)
    assert (state, reasons[0]) == ("disproven", "vessel_not_cleared")
    ((code, line, message),) = warned(files)
    assert (code, line) == ("batch_disproven", 3)
    assert "against fig that day: records/vessels/tumbler.md:" in message


def test_a_limit_that_is_lowered_disproves_the_batch() -> None:
    """Of an oil's use, and of a wax's load: they have no day, and reach back."""
    for path, old, new, code in (
        ("fragrances/fig-oil.md", "9 %", "7 %", "oil_over_max_use"),
        ("waxes/soy.md", "max_load: 10 %", "max_load: 7 %", "load_over_max_load"),
    ):
        files = poured("2026-04-06")
        files[path] = files[path].replace(old, new)
        state, reasons, _ = standing(files)
        assert (state, reasons[0]) == ("disproven", code)


def test_a_failure_is_told_once() -> None:
    """Of its own day and of today it is the same one."""
    end = "{how: went_out, left: 4.0 g, vessel: cracked, tilt: steady, cycles: all}"
    fourth = burn("D", candles=1, end=end).replace("on: 2026-03-01", "on: 2026-03-02")
    reasons = standing(poured("2026-04-06", **{"burns/fig-d.md": fourth}))[1]
    assert reasons.count("candle_failed") == 1


def test_faults_are_told_whatever_the_day() -> None:
    """The as-of day hides no batch that is dated after it: no day comes into it."""
    files = poured("2027-01-01", **{"recipes/fig.md": RECIPE.replace("8 %", "6 %")})
    assert codes(files) == ["batch_unproven"]


@pytest.mark.parametrize(
    ("paper", "text"),
    [
        ("fragrances/fig-oil.md", "certificate: {on: 2025-11-01}"),
        ("fragrances/fig-oil.md", "safety_sheet: {on: 2025-11-01}"),
        ("vessels/tumbler.md", "on: 2026-01-05, by: jar-house"),
        ("wicks/cotton-8.md", "lead_free: {on: 2025-11-01, by: x}"),
        ("vessels/tumbler.md", "leak_test: {on: 2025-11-01, hours: 48 h, result: dry}"),
    ],
)
def test_the_day_that_mends_is_named(paper: str, text: str) -> None:
    """Whatever paper was late, the batch is told since when its make-up is approved."""
    files = proven()
    files["wicks/cotton-8.md"] = WICK.replace(
        "core: cotton", "core: zinc\nlead_free: {on: 2025-11-01, by: x}"
    )
    porous = "porous: yes\nsealed: yes\nleak_test: {on: 2025-11-01, hours: 48 h, result: dry}\n"
    files["vessels/tumbler.md"] = files["vessels/tumbler.md"].replace("porous: no\n", porous)
    files["batches/one.md"] = BATCH.format(on="2026-04-05")
    assert codes(files) == []
    assert text in files[paper]
    late = text.replace("2025-11-01", "2026-04-09").replace("2026-01-05", "2026-04-09")
    files[paper] = files[paper].replace(text, late)
    (told,) = problems(files)
    assert "approved only since 2026-04-09" in told.message


def test_the_day_of_a_new_specification_is_named() -> None:
    """Candles of the new stock count from the day on which the maker sells it."""
    spec = "spec: 2\nspec_since: 2026-04-09\ncore:"
    files = poured("2026-04-05", **{"wicks/cotton-8.md": WICK.replace("core:", spec)})
    for one in "abc":
        made = "  spec: {wicks/cotton-8: 2}\n"
        files[f"burns/fig-{one}.md"] = burn(one.upper(), made=made)
    assert "approved only since 2026-04-09" in problems(files)[0].message


def test_setting_a_failure_aside_mends_no_batch() -> None:
    """A failure that was read stands, void or not: there is no day from which it is approved."""
    void = burn(
        "B", more="void: {why: it fell, by: the maker, on: 2026-04-09}\n",
        end="{how: went_out, vessel: cracked, tilt: steady}",
    )  # fmt: skip
    files = poured("2026-04-12", **{"burns/fig-b.md": void})
    assert codes(files) == ["batch_unproven"]
    files["burns/fig-d.md"] = burn("D", candles=1).replace("on: 2026-03-01", "on: 2026-03-02")
    assert codes(files) == []
    assert standing(files)[0] == "disproven"


def test_the_oracle_agrees() -> None:
    """Over drawn studios: a batch is at fault exactly when by the oracle its proof lacked a thing.

    The oracle is a second reading of the rules that shares no code with the package.
    """
    seen: Counter[bool] = Counter()
    for seed in range(150):
        files, _ = drawn(seed)
        found = linked(files)
        told = {one.place.file for one in unfounded(found)}
        for ident, batch in found.batches.items():
            lacks = Day(read(files), batch.recipe, batch.on).lacks()
            assert (f"records/batches/{ident}.md" in told) == bool(lacks), seed
            seen[not lacks] += 1
    assert min(seen[True], seen[False]) > 5


def test_a_recipe_is_judged_alike_with_and_without_the_rest() -> None:
    """Judging only what bears on a recipe gives what judging the whole demo gives, on any day."""
    found, _ = studio_from(read_folder(DEMO, "records/"))
    assert found is not None
    model = next(iter(found.batches.values()))
    for step in (0, 3, 6, 9):
        day = date(2025, 7, 1) + timedelta(days=33 * step)
        batches = {
            one: replace(model, source=replace(model.source, id=one), recipe=one, on=day, code=None)
            for one in found.recipes
        }
        changed = replace(found, batches=batches)
        told = [
            (day, ident)
            for ident in batches
            if poured_on(changed, ident, day).product.status is not Status.APPROVED
        ]
        wrong = [
            (day, ident)
            for ident, one in judge(found, day).products.items()
            if one.status is not Status.APPROVED
        ]
        assert sorted(told) == sorted(wrong)
        assert len(wrong) > 0


def test_what_was_missing_is_told_in_the_studios_own_words(tmp_path: Path) -> None:
    """A studio with its own catalogue reads the same sentence in a fault as on its pages."""
    files = as_bytes(poured("2026-03-18"))
    for name, text in files.items():
        path = tmp_path / "records" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text)
    shipped = (templates_folder() / "words.yml").read_text("utf-8")
    sentence = "{passed} of {needed} test candles passed; {short} more must pass."
    assert sentence in shipped
    own = tmp_path / "site_templates" / "words.yml"
    own.parent.mkdir()
    own.write_text(shipped.replace(sentence, "Burn {short} more of them."), "utf-8")
    (problem,) = studio_in(tmp_path / "records")[1]
    assert "Missing on the day: Burn 3 more of them. (" in problem.message


def test_the_demo_is_not_at_fault() -> None:
    """Every batch of the demo was poured on a day on which it was approved."""
    found, told = studio_from(read_folder(DEMO, "records/"))
    assert told == ()
    assert found is not None
    assert len(found.batches) > 10


# --- Lots ---

BILL = (
    "---\nsupplier: jar-house\non: 2026-01-10\nlines:\n"
    "  - {item: waxes/soy, quantity: 10 kg, price: 60.00, lot: W-1}\n---\n"
)


def lots(used: str, **more: str) -> list[str]:
    """Return what is told of a batch of 2026-04-05 with those lots."""
    batch = BATCH.format(on="2026-04-05").replace("lots: {}", f"lots: {used}")
    files = {**proven(), "batches/one.md": batch, "purchases/one.md": BILL, **more}
    return [one.code for one in untraceable(linked(files))]


def test_a_lot_must_be_on_a_bill() -> None:
    """Of that item, and by the day of pouring: the earliest of its bills counts."""
    assert lots("{waxes/soy: W-1}") == []
    assert lots("{waxes/soy: W-2}") == ["unknown_lot"]
    assert lots("{wicks/cotton-8: W-1}") == ["unknown_lot"]
    on_day = BILL.replace("2026-01-10", "2026-04-05")
    after = BILL.replace("2026-01-10", "2026-04-06")
    assert lots("{waxes/soy: W-1}", **{"purchases/one.md": on_day}) == []
    assert lots("{waxes/soy: W-1}", **{"purchases/one.md": after}) == ["lot_too_late"]
    assert lots("{waxes/soy: W-1}", **{"purchases/zwei.md": after}) == []
    assert lots("{waxes/soy: W-1}", **{"purchases/an.md": after}) == []


def test_the_lot_of_an_incident_must_be_on_a_bill() -> None:
    """Whenever it was bought: a mistyped lot would suspend nothing."""
    about = "---\nnumber: 1\non: 2026-01-02\nabout: {about}\nlot: {lot}\nwhat: It smoked.\n---\n"
    for name, lot, told in (
        ("waxes/soy", "W-1", []),
        ("waxes/soy", "W-9", ["unknown_lot"]),
        ("recipes/fig", "W-1", ["lot_of_no_item"]),
        ("batches/one", "W-1", ["lot_of_no_item"]),
    ):
        text = about.format(about=name, lot=lot)
        assert lots("{}", **{"incidents/one.md": text}) == told

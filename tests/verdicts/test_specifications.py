"""Which make of an item a candle was of: by its word, and by the day on which it was poured."""

from datetime import date

import pytest

from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import since_of, spec_as_of
from tests.records_in_text import BASE, DAY, OIL, RECIPE, VESSEL, WAX, WICK, burn, linked, proven
from tests.verdicts.told import codes, judged, told

ITEMS = {
    "vessels/tumbler": VESSEL,
    "waxes/soy": WAX,
    "wicks/cotton-8": WICK,
    "fragrances/fig-oil": OIL,
    "colorants/red": "---\nform: flakes\n---\n",
    "packaging/lid": "---\nform: lid\n---\n",
}
CRACKED = "{how: went_out, left: 4.0 g, vessel: cracked, tilt: steady, cycles: all}"


def respecified(text: str, *since: str) -> str:
    """Return an item with these days of its further makes."""
    days = f"[{', '.join(since)}]" if len(since) > 1 else since[0]
    return text.replace("---\n", f"---\nspec: {len(since) + 1}\nspec_since: {days}\n", 1)


@pytest.mark.parametrize("item", ITEMS)
@pytest.mark.parametrize(
    ("day", "spec"),
    [("2026-01-31", 1), ("2026-02-01", 2), ("2026-02-28", 2), ("2026-03-01", 3), ("2026-09-01", 3)],
)
def test_each_make_is_sold_from_its_own_day(item: str, day: str, spec: int) -> None:
    """A third one does not make the first a second."""
    text = respecified(ITEMS[item], "2026-02-01", "2026-03-01")
    found = linked({**BASE, f"{item}.md": text}).item(Ref(item))
    assert spec_as_of(found, date.fromisoformat(day)) == spec
    since = [None, date(2026, 2, 1), date(2026, 3, 1)]
    assert since_of(found, date.fromisoformat(day)) == since[spec - 1]


def fourth(word: int | None = None, made_on: str = "2026-03-02", end: str = CRACKED) -> str:
    """Return candle D, that failed, with its word on which make its vessel was of."""
    made = f"  spec: {{vessels/tumbler: {word}}}\n" if word else ""
    text = burn("D", candles=1, made=made, end=end)
    return text.replace("on: 2026-03-01", f"on: {made_on}")


def of_second(*since: str, **more: str) -> dict[str, str]:
    """Return the proven studio of the second make of its vessel, which its candles say."""
    vessel = respecified(VESSEL, *since)
    word = "jar-house}\n  - {kind: sold_for_candles, on: 2026-01-05, by: jar-house, spec: 2}\n"
    files = {**proven(), "vessels/tumbler.md": vessel.replace("jar-house}\n", word)}
    for one in "abc":
        made = "  spec: {vessels/tumbler: 2}\n"
        files[f"burns/fig-{one}.md"] = burn(one.upper(), made=made)
    return {**files, **more}


def test_candles_of_the_second_make_prove_nothing_of_the_third() -> None:
    """Nor does a failure of the first speak against the third."""
    files = of_second("2026-02-01", "2026-04-01", **{"burns/fig-d.md": fourth(1, "2026-01-20")})
    assert judged(files, date(2026, 3, 31)).products["fig"].status == "approved"
    assert judged(files).products["fig"].status == "untested"
    third = files["burns/fig-d.md"].replace("tumbler: 1", "tumbler: 3")
    assert judged({**files, "burns/fig-d.md": third}).products["fig"].status == "failed"


@pytest.mark.parametrize("item", list(ITEMS)[:5])
@pytest.mark.parametrize(
    ("since", "unsaid"), [("2026-02-28", True), ("2026-03-01", True), ("2026-03-02", False)]
)
def test_a_candle_says_which_make_of_each_item_it_was_of(
    item: str, since: str, *, unsaid: bool
) -> None:
    """Once there was more than one on the day of its pouring, 1 March."""
    dyed = "  colorant: {red: 1.0 g}\n"
    end = "{how: went_out, left: 5.0 g, vessel: sound, tilt: steady, cycles: 4}"
    files = {**BASE, "colorants/red.md": ITEMS["colorants/red"]}
    files[f"{item}.md"] = respecified(ITEMS[item], since)
    files["burns/fig-a.md"] = burn(made=dyed, end=end)
    candle = judged(files).burns["fig-a"].candle
    assert told(candle.gaps) == ([("spec_unsaid", 3, {"item": item, "spec": 2})] if unsaid else [])
    for spec in (1, 2):
        said = burn(made=f"{dyed}  spec: {{{item}: {spec}}}\n", end=end)
        candle = judged({**files, "burns/fig-a.md": said}).burns["fig-a"].candle
        assert candle.verdict == "pass"


def test_every_item_that_is_unsaid_is_told() -> None:
    """Once each."""
    files = {f"{one}.md": respecified(ITEMS[one], "2026-02-01") for one in list(ITEMS)[:4]}
    candle = judged({**BASE, **files, "burns/fig-a.md": burn()}).burns["fig-a"].candle
    assert codes(candle.gaps) == ["spec_unsaid"] * 4
    assert candle.verdict == "incomplete"


@pytest.mark.parametrize(
    ("word", "made_on", "status"),
    [
        (2, "2026-03-02", "failed"),  # by both
        (2, "2026-01-20", "failed"),  # by its word
        (1, "2026-03-02", "failed"),  # by its day: the word may be a slip
        (None, "2026-03-02", "failed"),  # by its day
        (1, "2026-01-20", "approved"),  # by neither
        (None, "2026-01-20", "approved"),
    ],
)
def test_a_failure_speaks_by_its_word_or_by_its_day(
    word: int | None, made_on: str, status: str
) -> None:
    """Whichever matches: neither a slip in one nor in the other sets it aside."""
    files = of_second("2026-02-01", **{"burns/fig-d.md": fourth(word, made_on)})
    assert judged(files).products["fig"].status == status


@pytest.mark.parametrize("slip", ["2026-03-01", "2026-03-03", "2026-04-01"])
def test_a_slip_in_the_day_of_a_make_sets_no_failure_aside(slip: str) -> None:
    """The candle says of what it was; so do those that passed."""
    files = of_second("2026-03-01", **{"burns/fig-d.md": fourth(2)})
    files["vessels/tumbler.md"] = files["vessels/tumbler.md"].replace(
        "spec_since: 2026-03-01", f"spec_since: {slip}"
    )
    assert judged(files).products["fig"].status == "failed"


@pytest.mark.parametrize(
    ("word", "made_on", "status"),
    [
        (2, "2026-03-02", "held"),
        (2, "2026-01-20", "held"),
        (1, "2026-03-02", "held"),
        (1, "2026-01-20", "approved"),
    ],
)
def test_a_doubt_reaches_as_far_as_the_failure_would(word: int, made_on: str, status: str) -> None:
    """A crack that was taken out of its record, filed under another recipe, is still a doubt."""
    gone = CRACKED.replace(", vessel: cracked", "")
    lost = fourth(word, made_on, gone).replace("recipe: fig\n", "recipe: other\n")
    lost = lost.replace("candle: D", "candle: A")
    other = RECIPE.replace("8 %", "4 %")
    files = of_second("2026-02-01", **{"burns/other-a.md": lost, "recipes/other.md": other})
    assert judged(files).products["fig"].status == status
    bad = lost.replace(", left: 4.0 g", ", left: 4.0 g, vessel: cracked")
    failed = judged({**files, "burns/other-a.md": bad}).products["fig"].status
    assert (failed == "failed") == (status == "held")


def test_a_pass_speaks_by_its_word_alone() -> None:
    """Poured in the days of the second make, it says that it was of the first: it proves that."""
    good = CRACKED.replace("cracked", "sound")
    files = of_second("2026-02-01", **{"burns/fig-d.md": fourth(1, end=good)})
    product = judged(files).products["fig"]
    assert [one.id for one in product.evidence.passed] == ["fig-a", "fig-b", "fig-c"]
    assert [one.candle.id for one in product.near_misses] == ["fig-d"]
    assert product.status == "approved"


def test_a_day_of_pouring_that_is_mistyped_later_hides_no_failure() -> None:
    """A candle that was lit was poured, whatever its record says of the day."""
    for made_on in ("2026-05-15", "2026-07-01"):
        files = {**proven(), "burns/fig-d.md": fourth(made_on=made_on)}
        assert judged(files, date(2026, 3, 19)).products["fig"].status == "failed"
        found = judged(files, DAY)
        assert found.products["fig"].status == "failed"
        assert "before_pouring" in codes(found.burns["fig-d"].candle.gaps)
        assert "fig-d" not in judged(files, date(2026, 3, 15)).burns

"""A record copied under another letter is no second candle.

That no two candles weigh alike to a tenth of a gram three times is common practice, no published
source; what is compared is plain equality, worked out by hand in each case.
"""

from datetime import date

import pytest

from tests.records_in_text import BASE, RECIPE, burn, proven, whole_life
from tests.verdicts.told import codes, judged, told

SHORT = [
    (
        "{on: 2026-03-16, burned: 4 h, before: 400.0 g, after: 320.0 g, pool: 70 mm, flame: 22 mm, "
        "wall: 52 degC, after_smoke: 8 s}"
    ),
    "{on: 2026-03-17, burned: 3 h, before: 320.0 g, after: 300.0 g, flame: 15 mm}",
]


def copied(files: dict[str, str], day: date = date(2026, 5, 1)) -> dict[str, list[str]]:
    """Return the test candles that repeat others, each with those it is told to repeat."""
    told_of = {
        ident: [str(gap.details["other"]) for gap in one.candle.gaps if gap.code == "copied"]
        for ident, one in judged(files, day).burns.items()
    }
    return {ident: others for ident, others in told_of.items() if others}


def test_a_copied_record_counts_neither_way() -> None:
    """Copying A for a third pass approves nothing, and both are named."""
    files = {**proven(), "burns/fig-c.md": burn("A").replace("candle: A", "candle: C")}
    found = judged(files)
    assert found.products["fig"].status == "in_test"
    assert [one.id for one in found.products["fig"].evidence.passed] == ["fig-b"]
    assert [one.id for one in found.products["fig"].evidence.incomplete] == ["fig-a", "fig-c"]
    copy = found.burns["fig-c"].candle
    assert copy.verdict == "incomplete"
    assert told(copy.gaps) == [("copied", 14, {"other": "fig-a"})]
    assert told(found.burns["fig-a"].candle.gaps) == [("copied", 14, {"other": "fig-c"})]


@pytest.mark.parametrize(("shared", "is_copy"), [(2, False), (3, True), (4, True)])
def test_three_cycles_alike_are_enough(shared: int, *, is_copy: bool) -> None:
    """Two may agree by chance; three do not, wherever in the record they stand."""
    mine, theirs = whole_life(0), whole_life(1)
    life = [*theirs[: 4 - shared], *mine[4 - shared :]]
    files = {**BASE, "burns/fig-a.md": burn("A"), "burns/fig-b.md": burn("B", cycles=life)}
    expected = {"fig-a": ["fig-b"], "fig-b": ["fig-a"]} if is_copy else {}
    assert copied(files) == expected


def test_both_masses_of_a_cycle_must_agree() -> None:
    """A cycle that begins alike and ends otherwise is another cycle."""
    life = [
        one.replace("after: 374.0", "after: 374.1").replace("after: 348.0", "after: 348.1")
        for one in whole_life()
    ]
    files = {**BASE, "burns/fig-a.md": burn("A"), "burns/fig-b.md": burn("B", cycles=life)}
    assert copied(files) == {}


def test_a_tenth_of_a_gram_before_makes_another_candle() -> None:
    """As the one after does."""
    life = [
        one.replace(f"before: {400 - 26 * n}.0", f"before: {400 - 26 * n}.1")
        for n, one in enumerate(whole_life())
    ]
    assert life != whole_life()
    files = {**BASE, "burns/fig-a.md": burn("A"), "burns/fig-b.md": burn("B", cycles=life)}
    assert copied(files) == {}


def test_units_and_dates_make_no_other_candle() -> None:
    """It is the masses that are compared: 0.4 kg is 400 g, on whatever day."""
    life = [one.replace("400.0 g", "0.4 kg").replace("2026-03", "2026-04") for one in whole_life()]
    files = {**BASE, "burns/fig-a.md": burn("A"), "burns/fig-b.md": burn("B", cycles=life)}
    assert copied(files) == {"fig-a": ["fig-b"], "fig-b": ["fig-a"]}


def test_two_short_lives_that_agree_in_all() -> None:
    """When both have ended after fewer than three cycles, all of them alike is a copy."""
    one, other = burn("A", cycles=SHORT), burn("B", cycles=SHORT)
    files = {**BASE, "burns/fig-a.md": one, "burns/fig-b.md": other}
    assert copied(files) == {"fig-a": ["fig-b"], "fig-b": ["fig-a"]}
    burning = burn("B", cycles=SHORT, end="")
    assert copied({**files, "burns/fig-b.md": burning}) == {}
    assert copied({**files, "burns/fig-a.md": burn("A", cycles=SHORT, end="")}) == {}
    lighter = [SHORT[0], SHORT[1].replace("300.0 g", "300.1 g")]
    assert copied({**files, "burns/fig-b.md": burn("B", cycles=lighter)}) == {}
    once = [SHORT[0]]
    files = {"burns/fig-a.md": burn("A", cycles=once), "burns/fig-b.md": burn("B", cycles=once)}
    assert copied({**BASE, **files}) == {"fig-a": ["fig-b"], "fig-b": ["fig-a"]}


def test_candles_without_a_mass_are_not_copies_of_each_other() -> None:
    """What was not read agrees with nothing."""
    bare = ["{on: 2026-03-16, burned: 4 h}", "{on: 2026-03-17, burned: 4 h, before: 320.0 g}"]
    files = {"burns/fig-a.md": burn("A", cycles=bare), "burns/fig-b.md": burn("B", cycles=bare)}
    assert copied({**BASE, **files}) == {}


def test_any_two_records_of_the_studio_are_compared() -> None:
    """Also of two recipes, and one that is set aside or was burned as buyers should not."""
    gift = burn("A", candles=1).replace("recipe: fig", "recipe: gift")
    void = "void: {why: it was a copy, by: the maker, on: 2026-04-01}\n"
    for text in (gift, gift.replace("---\n", f"---\n{void}", 1),
                 gift.replace("---\n", "---\nas: misuse\nhow: long\n", 1)):  # fmt: skip
        files = {**proven(), "recipes/gift.md": RECIPE, "burns/gift-a.md": text}
        assert copied(files)["fig-a"] == ["gift-a"]
        assert judged(files).products["fig"].status != "approved"
    assert copied(files) == {"fig-a": ["gift-a"]}


def test_three_that_are_one() -> None:
    """Each names both of the others, in order."""
    files = {
        **BASE,
        **{f"burns/fig-{one.lower()}.md": burn("A").replace("candle: A", f"candle: {one}")
           for one in "ABC"},
    }  # fmt: skip
    assert copied(files) == {
        "fig-a": ["fig-b", "fig-c"], "fig-b": ["fig-a", "fig-c"], "fig-c": ["fig-a", "fig-b"],
    }  # fmt: skip


def test_a_copied_failure_stays_a_failure() -> None:
    """Copying it takes nothing from what was read."""
    failed = [whole_life()[0].replace("22 mm", "80 mm"), *whole_life()[1:]]
    files = {**BASE, "burns/fig-a.md": burn("A", cycles=failed)}
    files["burns/fig-b.md"] = burn("B", cycles=whole_life())
    found = judged(files)
    assert found.burns["fig-a"].candle.verdict == "fail"
    assert codes(found.burns["fig-b"].candle.gaps) == ["copied"]


def test_only_what_is_seen_is_compared() -> None:
    """As of a day on which they agree in two cycles, neither is a copy yet."""
    files = {**BASE, "burns/fig-a.md": burn("A")}
    files["burns/fig-b.md"] = burn("A").replace("candle: A", "candle: B")
    assert copied(files, date(2026, 3, 17)) == {}
    assert len(copied(files, date(2026, 3, 18))) == 2

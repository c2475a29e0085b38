"""Candles that were lit for a ladder: judged like any other, and never a proof."""

from datetime import date
from random import Random

import pytest
import yaml

from handbook_builder.derived.account import account_of
from handbook_builder.derived.board import board_of
from handbook_builder.derived.remaining import life_guess
from handbook_builder.derived.wicks import advice_for
from handbook_builder.figures.next_wick import Way
from handbook_builder.reading.records import read_texts
from handbook_builder.studio.studio import link
from handbook_builder.verdicts.judge import Judged, judge
from tests.oracle.generate import studio
from tests.records_in_text import BASE, DAY, burn, linked, proven, whole_life
from tests.verdicts.told import candle, codes, judged

AS_LADDER = "as: ladder\n"
RUNGS = "  rungs: 3\n"


def rung(letter: str = "A", **parts: object) -> str:
    """Return a candle of a ladder that comes through."""
    return burn(letter, more=AS_LADDER, made=RUNGS, **parts)  # type: ignore[arg-type]


def of_three(third: str) -> dict[str, str]:
    """Return two candles that passed, and a third."""
    return {**proven(), "burns/fig-c.md": third}


def test_it_has_a_word_of_its_own() -> None:
    """Ended or not; and what it lacks to a pass is told as of any test."""
    whole = candle(cycles=whole_life(), more=AS_LADDER, made=RUNGS)
    assert (whole.verdict, whole.gaps, whole.came_through) == ("ladder", (), True)
    first = candle(cycles=whole_life()[:1], end="", more=AS_LADDER, made=RUNGS)
    assert (first.verdict, first.still_burns, first.came_through) == ("ladder", True, False)
    assert codes(first.gaps) == ["not_ended"]
    unlit = candle(cycles=[], end="", more=AS_LADDER, made=RUNGS)
    assert (unlit.verdict, unlit.still_burns) == ("ladder", True)


def test_three_of_them_prove_nothing() -> None:
    """Three that came through, of exactly this make-up: the product is untested."""
    files = {f"burns/fig-{one.lower()}.md": rung(one) for one in "ABC"}
    product = judged({**BASE, **files}).products["fig"]
    assert product.status == "untested"
    assert [one.id for one in product.evidence.ladder] == ["fig-a", "fig-b", "fig-c"]
    assert product.evidence.passed == product.evidence.burning == product.evidence.incomplete == ()
    assert "too_few_passed" in codes(product.missing)


def test_it_is_no_third_of_three() -> None:
    """Two passed and one of a ladder are two."""
    assert judged(of_three(burn("C"))).products["fig"].status == "approved"
    product = judged(of_three(rung("C"))).products["fig"]
    assert (product.status, codes(product.missing)) == ("in_test", ["too_few_passed"])


def test_its_failure_counts_as_any() -> None:
    """However many passed."""
    life = whole_life(3)
    life[1] = life[1].replace("flame: 22 mm", "flame: 90 mm")
    failed = burn("D", candles=4, cycles=life, more=AS_LADDER, made=RUNGS)
    four = {f"burns/fig-{one.lower()}.md": burn(one, candles=4) for one in "ABC"}
    product = judged({**BASE, **four, "burns/fig-d.md": failed}).products["fig"]
    assert (product.status, codes(product.missing)) == ("failed", ["candle_failed"])
    assert [one.id for one in product.evidence.failed] == ["fig-d"]


def test_set_aside_it_is_void() -> None:
    """As any other; a failure stands."""
    void = "void: {why: the wick came loose, by: the maker, on: 2026-04-01}\n"
    assert candle(cycles=whole_life(), more=AS_LADDER + void, made=RUNGS).verdict == "void"
    failed = candle(
        cycles=[one.replace("flame: 22 mm", "flame: 90 mm") for one in whole_life()],
        more=AS_LADDER + void,
        made=RUNGS,
    )
    assert failed.verdict == "fail"


def test_a_reading_that_was_left_out_holds_its_make_up() -> None:
    """It might have been a failure: a ladder is no way to hide one."""
    life = whole_life(3)
    life[1] = life[1].replace(", wall: 52 degC", "")
    four = {f"burns/fig-{one.lower()}.md": burn(one, candles=4) for one in "ABC"}
    unsaid = burn("D", candles=4, cycles=life, more=AS_LADDER, made=RUNGS)
    product = judged({**BASE, **four, "burns/fig-d.md": unsaid}).products["fig"]
    assert (product.status, codes(product.missing)) == ("held", ["missing_candle"])


def test_it_teaches() -> None:
    """The next wick and the life of the make-up go by it; the board lights it on."""
    files = {f"burns/fig-{one.lower()}.md": rung(one) for one in "AB"}
    files["burns/fig-c.md"] = burn(
        "C", cycles=whole_life(2)[:2], end="", more=f"{AS_LADDER}lit: 2\n", made=RUNGS
    )
    account = account_of(linked({**BASE, **files}), DAY)
    product = account.judged.products["fig"]
    assert advice_for(account, product).way is Way.FITS
    life = life_guess(account, product)
    assert life is not None
    assert (life.candles, life.measured) == (2, True)
    assert [one.id for one in board_of(account).waiting] == ["fig-c"]
    assert board_of(account).outlooks[0].counted == ()


def _judged(files: dict[str, str], day: date) -> Judged | None:
    found, _ = link(read_texts({path: text.encode() for path, text in files.items()}))
    return None if found is None else judge(found, day)


def _as_ladder(text: str) -> str:
    """Return a test candle as one of a ladder; one that says `as` already stays what it is."""
    if "\nas:" in text or '\n"as":' in text:
        return text
    head, fence, rest = text.partition("---\n")
    assert not head
    book = yaml.load(rest.partition("---\n")[0], Loader=yaml.BaseLoader)  # noqa: S506 -- text only
    book["made"]["rungs"] = "2"
    return f"{fence}{yaml.dump(book | {'as': 'ladder'}, allow_unicode=True)}---\n"


@pytest.mark.parametrize("part", range(4))
def test_no_candle_of_a_ladder_proves_anything(part: int) -> None:
    """In studios of every kind, some or all of whose candles become a ladder's.

    None is ever counted among the passed, whatever approves a product then approved it before, and
    where all are of a ladder nothing is approved.
    """
    approved = lost = 0
    for seed in range(part * 10, part * 10 + 10):
        files, day = studio(seed)
        before = _judged(files, day)
        assert before is not None, seed
        burns = sorted(path for path in files if path.startswith("burns/"))
        some = Random(seed).sample(burns, len(burns) // 2)  # noqa: S311 -- not for secrets
        for chosen in (some, burns):
            changed = {path: _as_ladder(text) if path in chosen else text
                       for path, text in files.items()}  # fmt: skip
            after = _judged(changed, day)
            assert after is not None, seed
            for ident, product in after.products.items():
                assert not any(one.seen.burn.is_ladder for one in product.evidence.passed)
                was = before.products[ident].status == "approved"
                approved += was
                lost += was and product.status != "approved"
                assert was or product.status != "approved", (seed, ident)
        assert all(one.status != "approved" for one in after.products.values()), seed
    assert approved > 0
    assert lost > 0

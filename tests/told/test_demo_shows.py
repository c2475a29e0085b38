"""The demo is the reference example: what the rules of evidence can say, it shows once."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from handbook_builder.derived.account import Account
from handbook_builder.derived.hands import must_read
from handbook_builder.derived.lots_held_back import lots_held_back
from handbook_builder.derived.notices import notices
from handbook_builder.derived.proof import set_aside
from handbook_builder.verdicts.approval import Status
from handbook_builder.verdicts.batches import BatchState
from handbook_builder.verdicts.readings import Verdict
from handbook_builder.verdicts.screening import Screening
from handbook_builder.workshop import account_in, guides_for
from tests.records_in_text import DAY

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def demo() -> Account:
    """Return the demo as of its day."""
    account, problems = account_in(ROOT / "records", DAY)
    assert account is not None, problems
    return account


def test_every_word_for_a_candle_and_a_vessel_is_shown(demo: Account) -> None:
    """A candle for misuse and one that was set aside among them."""
    of_readings = {Verdict.WATCH, Verdict.NOT_READ}
    candles = {one.candle.verdict for one in demo.judged.burns.values()}
    assert candles == set(Verdict) - of_readings
    assert {one.screening for one in demo.judged.vessels.values()} == set(Screening)


def test_every_word_for_a_batch_that_can_still_be_poured_is_shown(demo: Account) -> None:
    """One that cures and one of a former make-up.

    What was disproven, or poured against an incident, nobody has on a shelf.
    """
    states = {one.verdict.state for one in demo.batches.values()}
    assert states == set(BatchState) - {BatchState.DISPROVEN, BatchState.POURED_AGAINST}
    notes = {note.code for one in demo.batches.values() for note in one.verdict.notes}
    assert {"given_uncured", "by_may_not", "batch_lot_missing"} <= notes


def test_a_void_that_counts_and_one_over_which_the_failure_stands_are_shown(demo: Account) -> None:
    """The one candle counts neither way; the other failed, and is told so beside the odds."""
    aside = [one for product in demo.judged.products.values() for one in set_aside(product)]
    assert {one.stands for one in aside} == {True, False}
    for one in aside:
        assert one.candle.verdict is (Verdict.FAIL if one.stands else Verdict.VOID)


def test_a_proof_from_a_suspended_lot_and_an_approved_product_with_one_are_shown(
    demo: Account,
) -> None:
    """The first is suspended; the second is approved, and says which lot it may not be of."""
    products = demo.judged.products
    missing = {one.code for product in products.values() for one in product.missing}
    assert {
        "open_incident",
        "proof_lot_suspended",
        "candle_failed",
        "vessel_not_cleared",
    } <= missing
    held = [
        ident
        for ident, product in products.items()
        if product.status is Status.APPROVED
        and lots_held_back(demo.studio, demo.studio.recipes[ident], DAY)
    ]
    assert held


def test_what_is_no_fault_and_is_told_all_the_same_is_shown(demo: Account) -> None:
    """Work by somebody who may not, a former make-up, and a helper who has guides to read."""
    guides = guides_for(ROOT)
    assert {"may_not", "batch_former"} <= {one.code for one in notices(demo.studio, DAY, guides)}
    due = {one.helper for one in must_read(demo.studio, DAY, guides)}
    assert due
    assert due < demo.studio.helpers.keys()


def test_a_vessel_that_does_not_say_and_one_of_a_second_make_are_shown(demo: Account) -> None:
    """What is unsaid is asked for; the papers of the former make stay on file beside the new."""
    reasons = {reason.code for one in demo.judged.vessels.values() for reason in one.reasons}
    assert "drinkware_unsaid" in reasons
    second = [one for one in demo.studio.vessels.values() if one.spec > 1]
    for vessel in second:
        days = [entry.on for entry in vessel.heat_evidence]
        assert min(days) < vessel.spec_since[-1] <= max(days)
    assert second


def _words_of_burns(demo: Account) -> Iterator[str]:
    for burn in demo.studio.burns.values():
        yield from ("lots",) if burn.lots else ()
        yield from ("unread",) if any(one.unread for one in burn.cycles) else ()
        yield from ("misuse",) if burn.is_misuse else ()
        yield from ("ladder",) if burn.is_ladder else ()
        yield from ("spec",) if burn.made.spec else ()
        yield from ("burning",) if burn.end is None and burn.lit else ()
        yield from ("untried",) if burn.end is not None and burn.end.tilt == "untried" else ()


def test_what_a_burn_may_say_of_itself_is_shown(demo: Account) -> None:
    """Its lots, what was not read, and how often it was lit; every one its width and its tilt."""
    assert set(_words_of_burns(demo)) == {
        "lots", "unread", "misuse", "ladder", "spec", "burning", "untried",
    }  # fmt: skip
    lit = [one for one in demo.studio.burns.values() if one.cycles]
    assert all(one.made.inside_diameter_mm and one.made.tilt for one in lit)


def test_a_limit_for_one_material_is_shown(demo: Account) -> None:
    """Beside the one for all, and tighter."""
    walls = {
        one.material: one.bound
        for one in demo.studio.protocol.limits
        if one.measure == "wall" and one.on_breach == "fail"
    }
    assert walls.keys() == {None, "metal"}
    assert walls["metal"] < walls[None]

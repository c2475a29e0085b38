"""How many cycles a candle of the front page has had."""

from datetime import date

import pytest

from tests.papers.test_burn_sheet import burning
from tests.told import rig


@pytest.mark.parametrize(("count", "said"), [(1, "1 cycle so far"), (2, "2 cycles so far")])
def test_one_cycle_is_no_cycles(count: int, said: str) -> None:
    """A number of one has its own sentence."""
    (candle,) = rig.pages(burning(count), date(2026, 3, 20))["index"].content.burning
    assert said in rig.plain(candle.sentence)

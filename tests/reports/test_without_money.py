"""An account for the bench has no money, and no report tells of any."""

from dataclasses import replace
from typing import Final

import pytest

from handbook_builder.derived.account import Account
from handbook_builder.derived.money.asked import Asked
from handbook_builder.reports.figures import report
from handbook_builder.reports.plain import plain
from handbook_builder.reports.price import price_report
from tests.reports.studio import studio
from tests.told.rig import account

SUMS: Final = {"unit_cost", "cost_lines", "wholesale", "retail", "hour_price", "proving", "swaps"}


@pytest.fixture(scope="module")
def owners() -> Account:
    """Return the account of the studio, with its money."""
    return account(studio())


def test_the_figures_leave_out_every_sum(owners: Account) -> None:
    """The keys go, rather than to say null; all else stays as it is."""
    full = plain(report(owners, lambda one: one.code))
    bare = plain(report(replace(owners, money=None), lambda one: one.code))
    assert full.keys() - bare.keys() == {"prices", "hour_price"}
    assert full["products"]["fig"].keys() - bare["products"]["fig"].keys() >= SUMS
    assert full["vessels"]["tumbler"].keys() - bare["vessels"]["tumbler"].keys() >= {
        "landed_cost", "unit_cost", "margin_at_one_price",
    }  # fmt: skip
    assert bare["burns"] == full["burns"]


def test_nobody_asks_it_for_a_price(owners: Account) -> None:
    """That would be an error of the program's."""
    with pytest.raises(ValueError, match="no prices"):
        price_report(replace(owners, money=None), ["fig"], Asked(None, None, None))

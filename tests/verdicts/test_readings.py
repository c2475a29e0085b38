"""One reading against one limit, at the last digit that counts."""

from handbook_builder.reading.kinds.house import Limit
from handbook_builder.verdicts.readings import SLACK, Verdict, against, exceeds


def test_what_floats_add_is_forgiven() -> None:
    """The slack is a thousandth of a millionth, far below what anyone can read."""
    assert SLACK == 1e-9
    assert not exceeds(SLACK, 0.0)
    assert exceeds(2 * SLACK, 0.0)
    assert not exceeds(1.0, 2.0)


def _limit(*, upper: bool, on_breach: str) -> Limit:
    return Limit(
        measure="flame", upper=upper, bound=10.0, source="", published=False, on_breach=on_breach
    )


def test_a_reading_against_a_limit() -> None:
    """Missing is never a pass; equal is within; beyond has the limit's own word."""
    upper, lower = _limit(upper=True, on_breach="fail"), _limit(upper=False, on_breach="watch")
    assert against(None, upper) is Verdict.NOT_READ
    assert [against(x, upper).value for x in (9.0, 10.0, 11.0)] == ["pass", "pass", "fail"]
    assert [against(x, lower).value for x in (9.0, 10.0, 11.0)] == ["watch", "pass", "pass"]
    assert lower.slot == ("flame", False, "watch", None)

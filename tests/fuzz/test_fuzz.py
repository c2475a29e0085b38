"""A slice of the hunt; the whole of it is a command (see `tests/fuzz/hunt.py`)."""

import pytest

from tests.fuzz.hunt import hunt
from tests.fuzz.said import only_takes_away
from tests.records_in_text import burn, linked, proven


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(4))
def test_no_change_approves_out_of_nothing(seed: int) -> None:
    """A thousand changes a seed: no trace, nothing slow, and every new approval says why."""
    found = hunt(1000, seed)
    assert found.wrong == []
    assert found.counts["changes"] == 1000
    assert found.counts["approvals lost"] > 0  # the changes do bite


def test_what_only_takes_away_is_told_from_what_says_anew() -> None:
    """A cycle that is gone takes away; a reading that is another says something new."""
    whole = linked(proven()).burns["fig-a"]
    lines = [line for line in burn("A").splitlines(keepends=True) if "2026-03-17" not in line]
    shorter = linked({**proven(), "burns/fig-a.md": "".join(lines)}).burns["fig-a"]
    other = linked({**proven(), "burns/fig-a.md": burn("A").replace("22 mm", "21 mm")})
    assert only_takes_away(whole, shorter)
    assert not only_takes_away(whole, other.burns["fig-a"])
    assert not only_takes_away(shorter, whole)

"""What a ladder is made of; that it holds the right size is tried in tests/plan."""

import pytest

from handbook_builder.figures.ladder import Doubt, Ground, ladder
from handbook_builder.figures.reach import PoolRead


def test_with_too_little_it_says_so() -> None:
    """Four candles tell no size: it begins in the middle, at the smaller of two middles."""
    pools = [PoolRead(step, 38.0 + 8.0 * step, is_full=False) for step in (1, 2, 3, 1)]
    found = ladder(pools, range(1, 7), (), 69.0)
    assert (found.ground, found.doubt, found.kin) == (Ground.NONE, Doubt.FEW, 4)
    assert (found.reach, found.rungs) == (None, (3,))


def test_what_wicks_state_stands_in_for_burns() -> None:
    """The sizes that say that they fit, the middle ones where there are many, and only those."""
    found = ladder((), range(1, 10), (4, 5), 66.0)
    assert (found.ground, found.rungs, found.likely) == (Ground.FITS, (4, 5), ())
    assert ladder((), range(1, 10), (2, 3, 4, 5, 6, 7, 8), 66.0).rungs == (3, 4, 5, 6, 7)
    assert ladder((), range(1, 10), (77,), 66.0).ground is Ground.NONE


def test_burns_go_before_what_wicks_state() -> None:
    """The maker's word is of no wax in particular."""
    pools = [PoolRead(step, 38.0 + 8.0 * step, is_full=False) for step in (1, 2, 3) * 3]
    found = ladder(pools, range(1, 8), (1,), 66.0)
    assert (found.ground, found.likely, found.rungs) == (Ground.BURNS, (4,), (3, 4, 5))


def test_a_series_that_is_too_small_is_told() -> None:
    """No size of three fills the vessel; what wicks state is asked, and the doubt stays."""
    pools = [PoolRead(step, 20.0 + 3.0 * step, is_full=False) for step in (1, 2, 3) * 3]
    found = ladder(pools, (1, 2, 3), (), 69.0)
    assert (found.ground, found.doubt, found.rungs) == (Ground.NONE, Doubt.BEYOND, (2,))
    assert found.reach is not None
    assert found.reach.none > 0.9


def test_burns_that_leave_everything_open_tell_nothing() -> None:
    """Five full pools of the largest size: any could be the smallest that fills."""
    found = ladder([PoolRead(9, 66.5, is_full=True)] * 5, range(1, 10), (), 66.5)
    assert (found.ground, found.doubt, found.rungs) == (Ground.NONE, Doubt.WIDE, (5,))


@pytest.mark.parametrize(
    ("steps", "rungs"), [((4,), (4,)), ((4, 5), (4, 5)), ((3, 4), (3, 4)), ((2, 4, 6), (2, 4, 6))]
)
def test_short_series_are_lit_whole(steps: tuple[int, ...], rungs: tuple[int, ...]) -> None:
    """There are no neighbours beyond the ends, and a step may be missing."""
    pools = [PoolRead(4, 71.0, is_full=False), PoolRead(4, 69.5, is_full=False)] * 4
    found = ladder(pools, steps, (), 69.0)
    assert (found.ground, found.rungs) == (Ground.BURNS, rungs)


def test_neighbours_stand_on_the_side_where_there_is_room() -> None:
    """The largest size alone is left open: two smaller ones stand beside it."""
    pools = [PoolRead(step, 30.0 + 8.0 * step, is_full=False) for step in (1, 2, 3) * 4]
    found = ladder(pools, (1, 2, 3, 4, 5), (), 69.0)
    assert (found.likely, found.rungs) == ((5,), (3, 4, 5))


def test_a_ladder_of_no_size_is_a_mistake() -> None:
    """A series has a wick."""
    with pytest.raises(ValueError, match=r"^a ladder needs a size$"):
        ladder((), (), (), 66.0)


def test_of_two_open_sizes_the_next_larger_one_stands_beside() -> None:
    """A pool that is a little short is the commoner surprise (this project's own)."""
    pools = [PoolRead(step, 38.0 + 8.0 * step, is_full=False) for step in (1, 2, 3) * 3]
    found = ladder(pools, range(1, 8), (), 69.0)
    assert (found.likely, found.rungs) == ((4, 5), (4, 5, 6))

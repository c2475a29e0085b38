"""What stops a mistake of the program before anything is computed with it."""

import math

import pytest

from handbook_builder.figures.guard import not_negative, positive


def test_what_passes_comes_back() -> None:
    """A value that may be computed with is handed back as it is."""
    assert positive(1e-300, "it") == 1e-300
    assert not_negative(0.0, "it") == 0.0


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf, -math.inf])
def test_not_positive(value: float) -> None:
    """Nothing, less than nothing, and no number at all are not positive."""
    with pytest.raises(ValueError, match=rf"^it must be a finite number above 0, not {value}$"):
        positive(value, "it")


@pytest.mark.parametrize("value", [-1e-300, math.nan, math.inf, -math.inf])
def test_negative(value: float) -> None:
    """Less than nothing, and no number at all, are negative or worse."""
    with pytest.raises(ValueError, match=rf"^it must be a finite number, 0 or above, not {value}$"):
        not_negative(value, "it")

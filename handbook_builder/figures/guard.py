"""What a figure may be given: a mistake of the program is stopped here, not computed with."""

import math


def positive(value: float, name: str) -> float:
    """Return `value`, which must be finite and above 0; `name` is for the `ValueError`."""
    if not (math.isfinite(value) and value > 0):
        msg = f"{name} must be a finite number above 0, not {value}"
        raise ValueError(msg)
    return value


def not_negative(value: float, name: str) -> float:
    """Return `value`, which must be finite and not below 0; `name` is for the `ValueError`."""
    if not (math.isfinite(value) and value >= 0):
        msg = f"{name} must be a finite number, 0 or above, not {value}"
        raise ValueError(msg)
    return value


def inner_share(value: float, name: str) -> float:
    """Return `value`, which must lie between 0 and 1 and be neither."""
    if not 0 < value < 1:
        msg = f"{name} must lie between 0 and 1, both excluded, not {value}"
        raise ValueError(msg)
    return value

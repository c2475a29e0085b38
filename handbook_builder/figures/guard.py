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

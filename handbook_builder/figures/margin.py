"""How near a reading came to a limit, whatever it measures."""

from handbook_builder.figures.guard import positive


def margin_left(reading: float, bound: float, far: float) -> float:
    """Return how much of the way to a limit is left: 1 at `far`, 0 at the limit, below 0 beyond.

    m = (bound - reading) / (bound - far). `far` is the value that is as far from the limit as it
    gets: 0 for a length, the room for a temperature, 1 for a share that must be large. It says on
    which side of the limit is well. ValueError where `far` is the limit itself.
    """
    way = bound - far
    positive(abs(way), "the way to the limit")
    return (bound - reading) / way

"""A record cannot tell of what is still to come: a date after today is a slip, and may hide."""

from collections.abc import Iterator
from datetime import date

from handbook_builder.problems import Problem, problem
from handbook_builder.studio.later import dated_later
from handbook_builder.studio.studio import Studio


def untold_yet(studio: Studio, known_by: date) -> Iterator[Problem]:
    """Yield a problem for each event that is dated after the last day that can be known of."""
    for place, on in dated_later(studio, known_by):
        yield problem(place, "in_the_future", {"on": on, "today": known_by})

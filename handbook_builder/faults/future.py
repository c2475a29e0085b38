"""A record cannot tell of what is still to come: a date after today is a slip, and may hide.

A new make or the end of a recipe may be written down before it comes; not years before.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from handbook_builder.problems import Problem, problem
from handbook_builder.studio.later import amended_later, dated_later, planned_later
from handbook_builder.studio.studio import Studio

# A maker may tell of a new make some months before it comes: common practice, no published source.
LONGEST_PLAN: Final = timedelta(days=366)


def untold_yet(studio: Studio, known_by: date) -> Iterator[Problem]:
    """Yield a problem for each event that is dated after the last day that can be known of."""
    for place, on in (*dated_later(studio, known_by), *amended_later(studio, known_by)):
        yield problem(place, "in_the_future", {"on": on, "today": known_by})
    for place, _, on in planned_later(studio, known_by):
        if on - known_by > LONGEST_PLAN:
            yield problem(place, "far_ahead", {"on": on, "today": known_by})

"""Who did what: a helper does only what the studio's records say that they may."""

from collections.abc import Iterator

from handbook_builder.problems import Place
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.reason import Reason


def may_not(studio: Studio, place: Place, by: str, what: str) -> Iterator[Reason]:
    """Yield that somebody did `what` (burn, pour or sign) and may not."""
    if not studio.may(by, what):
        yield Reason("by_may_not", place, {"by": by, "what": what})

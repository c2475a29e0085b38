"""What must be counted, lest one of it go missing unseen, and what must be shown to be believed."""

from collections import Counter
from collections.abc import Iterator

from handbook_builder.problems import Problem, problem
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.studio.protocol import Protocol
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.readings import exceeds

# EN 15426 tests at 20 ± 5 °C, read second-hand: a hot room is one beyond that.
HOT_C = 25.0


def miscounted(studio: Studio) -> Iterator[Problem]:
    """Yield a problem for each recipe that does not count its test candles as they are on file.

    A record that is gone may have been of any make-up, so that nothing is approved until then.
    """
    found = Counter(burn.recipe for burn in studio.burns.values())
    for ident, recipe in studio.recipes.items():
        stated, filed = recipe.test_candles, found[ident]
        if stated is None and filed:
            yield problem(recipe.source.place(), "candles_uncounted", {"found": filed})
        elif stated is not None and stated != filed:
            details = {"stated": stated, "found": filed}
            yield problem(recipe.source.place("test_candles"), "candles_count", details)


def unshown(studio: Studio) -> Iterator[Problem]:
    """Yield a problem for each misuse burn whose cycles show nothing of it.

    Else a failure could be set aside by calling it misuse.
    """
    for burn in studio.burns.values():
        if burn.cycles and burn.how in {"long", "hot_room"} and not _shows(burn, studio.protocol):
            yield problem(burn.source.place("how"), "misuse_unshown", {"found": burn.how})


def _shows(burn: Burn, protocol: Protocol) -> bool:
    if burn.how == "long":
        most_h = protocol.cycle_h + protocol.cycle_tolerance_h
        return any(exceeds(cycle.burned_h or 0.0, most_h) for cycle in burn.cycles)
    rooms = [burn.room_c, *(cycle.room_c for cycle in burn.cycles)]
    return any(room is not None and exceeds(room, HOT_C) for room in rooms)

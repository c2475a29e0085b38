"""What is said of a cycle or an end that was amended: when, and what its record said before."""

from handbook_builder.pages.desk import Desk
from handbook_builder.reading.kinds.making import End
from handbook_builder.reading.kinds.readings import READINGS, Cycle


def amended_told(desk: Desk, one: Cycle | End) -> str | None:
    """Return on which days it was amended, with every value that stood there; None if never."""
    if not one.amended:
        return None
    days = ", ".join(desk.words.day(on) for on in one.amended)
    if not one.former:
        return desk.phrase("amended.by_day", days=days)
    former = "; ".join(
        desk.phrase("amended.value", key=_called(desk, key), value=" / ".join(values))
        for key, values in one.former.items()
    )
    return desk.phrase("amended.before", days=days, former=former)


def _called(desk: Desk, key: str) -> str:
    """Return what a key of a cycle or an end is called."""
    return (
        desk.words.reading(key).lower() if key in READINGS else desk.phrase(f"amended.keys.{key}")
    )

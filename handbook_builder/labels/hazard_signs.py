"""Pictograms of hazards: our own drawings of the symbols that CLP Annex V names.

None is copied. Each is black on the bare paper in a red frame that stands on its tip. The field of
a drawing is the frame's square about that tip, so that its height is the frame's diagonal.
"""

from typing import Final

from handbook_builder.labels.drawing import Drawing, Ink, Shape, box, circle, filled, lined, oval

_FRAME: Final = 5.0  # the width of the red line, of the diagonal
_EDGE: Final = "M50 3.54L96.46 50L50 96.46L3.54 50Z"


def _diamond(*within: Shape) -> Drawing:
    return Drawing((filled(_EDGE, Ink.PAPER), *within, lined(_EDGE, _FRAME, Ink.RED)))


def _tongues(foot: float, height: float) -> str:
    """Return the path of a fire of three tongues around a hollow, standing on `foot`."""
    outer = (
        ("M", (-2, 100)), ("C", (3, 82, 24, 76, 23, 52)), ("C", (28, 58, 29, 64, 27, 72)),
        ("C", (40, 58, 44, 40, 38, 24)), ("C", (33, 8, 18, 0, 0, 0)),
        ("C", (-20, 0, -36, 10, -39, 26)), ("C", (-42, 42, -34, 52, -30, 66)),
        ("C", (-28, 58, -26, 52, -21, 48)), ("C", (-24, 70, -4, 80, -2, 100)), ("Z", ()),
        ("M", (2, 8)), ("C", (14, 8, 20, 14, 18, 25)), ("C", (16, 36, 6, 38, 4, 54)),
        ("C", (-2, 42, -16, 38, -16, 22)), ("C", (-16, 12, -10, 8, 2, 8)), ("Z", ()),
    )  # fmt: skip
    scale, path = height / 100, []
    for letter, numbers in outer:
        places = [
            50 + number * scale if at % 2 == 0 else foot - number * scale
            for at, number in enumerate(numbers)
        ]
        path.append(letter + " ".join(f"{place:.3f}" for place in places))
    return "".join(path)


def _flame() -> Drawing:
    return _diamond(filled(_tongues(63, 45)), filled(box(32, 66, 68, 70.5)))


def _flame_over_circle() -> Drawing:
    return _diamond(
        filled(_tongues(50, 34)), lined(circle(50, 60.5, 9.5), 5), filled(box(37, 73, 63, 77))
    )


def _gas_cylinder() -> Drawing:
    return _diamond(
        filled(
            "M18 57C17 49 22 47 28 46L62 39C66 38 68 40 70 40L77 39.5L78.5 46.5L73 47.5"
            "C72 51 70 53 67 54L33 62C26 64 19 63 18 57Z"
        )
    )


def _corrosion() -> Drawing:
    """Show two tubes that drip: onto a bar, and onto a hand."""
    return _diamond(
        filled("M45 23.5L49 30.5L28.5 43L24.5 36Z"),
        filled("M55 23.5L51 30.5L71.5 43L75.5 36Z"),
        filled(_drip(27, 50) + _drip(34, 46) + _drip(73, 50) + _drip(66, 46)),
        filled("M20 58L27 58C28 63 34 63 35 58L46 58L46 67L28 67Z"),
        filled(
            "M52 63C54 58 58 58 61 57.5L64 61L67 56C71 56 75 58 79 57L72 67.5L56 68"
            "C53 68 51 66 52 63Z"
        ),
    )


def _drip(x: float, y: float) -> str:
    return (
        f"M{x} {y - 4}C{x + 2} {y - 1} {x + 2.6} {y} {x + 2.6} {y + 1.4}"
        f"C{x + 2.6} {y + 4.4} {x - 2.6} {y + 4.4} {x - 2.6} {y + 1.4}"
        f"C{x - 2.6} {y} {x - 2} {y - 1} {x} {y - 4}Z"
    )


_SKULL: Final = (
    "M50 18C65 18 68 30 66 39C65 44 59.5 45 59.5 50L59.5 56L40.5 56L40.5 50"
    "C40.5 45 35 44 34 39C32 30 35 18 50 18Z"
)
_ENDS: Final = ((28, 56), (72, 56), (35.5, 73), (64.5, 73))


def _skull() -> Drawing:
    return _diamond(
        lined("M29 56L64 73M71 56L36 73", 5.5),
        *(filled(circle(x, y, 3.8)) for x, y in _ENDS),
        lined(_SKULL, 4, Ink.PAPER),
        filled(_SKULL),
        filled(oval(43, 37, 4.6, 5) + oval(57, 37, 4.6, 5), Ink.PAPER),
        filled("M50 42L53 48L47 48Z", Ink.PAPER),
        lined("M46 52.5L46 56M50 52.5L50 56M54 52.5L54 56", 1.6, Ink.PAPER),
    )


def _exclamation() -> Drawing:
    return _diamond(
        filled("M43 26C43 17 57 17 57 26C57 36 54 50 53 60L47 60C46 50 43 36 43 26Z"),
        filled(circle(50, 71, 6.5)),
    )


def _health() -> Drawing:
    """Show head and chest of a person, with a star that breaks open on the chest."""
    return _diamond(
        filled(circle(50, 26, 8.5)),
        filled("M43 37L57 37C66 39 71 43 71 51L71 65L57 79L43 79L29 65L29 51C29 43 34 39 43 37Z"),
        filled(
            "M50 40L53 50L62 44L57 53L68 56L57 59L62 69L53 63L50 75L47 63L38 69L43 59"
            "L32 56L43 53L38 44L47 50Z",
            Ink.PAPER,
        ),
    )


def _environment() -> Drawing:
    """Show a bare tree, and a dead fish beside it."""
    return _diamond(
        lined("M43 58L43 21M43 47L34 38M43 38L52 28M34 38L35 31M34 38L28 41", 3.6),
        lined("M52 28L50 21M52 28L58 26M24 62L50 62", 3.6),
        filled("M37 63L39 46L43.5 46L47 63Z"),
        filled("M46 60C52 48 65 47 72 54L80.5 48L78 56L77 63L71 60C64 68 53 68 46 60Z"),
        lined("M52 55L56 59M56 55L52 59", 1.7, Ink.PAPER),
    )


HAZARD_SIGNS: Final[dict[str, Drawing]] = {
    "GHS02": _flame(),
    "GHS03": _flame_over_circle(),
    "GHS04": _gas_cylinder(),
    "GHS05": _corrosion(),
    "GHS06": _skull(),
    "GHS07": _exclamation(),
    "GHS08": _health(),
    "GHS09": _environment(),
}

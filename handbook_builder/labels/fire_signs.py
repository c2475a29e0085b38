"""The signs of fire safety for candles: our own plain drawings of what the standards describe.

None is copied. No line is thinner than 0.17 mm where a sign is 5 mm high, so that it prints.
"""

from typing import Final

from handbook_builder.labels.drawing import Drawing, Ink, Shape, box, circle, filled, lined, oval

_LINE: Final = 7.0  # of frames and slashes
_SLASH: Final = 6.0
_THIN: Final = 5.0  # of all within: 0.25 mm at 5 mm
_GAP: Final = 14.0  # the slash with the paper on both sides of it
_ROUNDED: Final = (
    "M16 3.5L84 3.5C91 3.5 96.5 9 96.5 16L96.5 84C96.5 91 91 96.5 84 96.5"
    "L16 96.5C9 96.5 3.5 91 3.5 84L3.5 16C3.5 9 9 3.5 16 3.5Z"
)


def _flame(x: float, foot: float, height: float, lean: float = 0.0) -> Shape:
    """Return a drop-shaped flame that stands on `foot`, its tip `lean` to the right."""
    half, top, tip = height * 0.3, foot - height, x + lean
    belly = foot - height * 0.35
    return filled(
        f"M{tip} {top}C{x + half * 0.7 + lean * 0.5} {top + height * 0.25} {x + half} "
        f"{belly - height * 0.1} {x + half} {belly}"
        f"C{x + half} {foot - height * 0.1} {x + half * 0.6} {foot} {x} {foot}"
        f"C{x - half * 0.6} {foot} {x - half} {foot - height * 0.1} {x - half} {belly}"
        f"C{x - half} {belly - height * 0.15} {x - half * 0.2 + lean * 0.5} "
        f"{top + height * 0.3} {tip} {top}Z"
    )


def _candle(x: float, top: float, foot: float, half: float, flame: Shape) -> tuple[Shape, ...]:
    """Return a lit candle: a solid body from `top` to `foot`, its wick and a flame."""
    return (
        filled(box(x - half, top, x + half, foot)),
        lined(f"M{x} {top}L{x} {top - 5}", 3.5),
        flame,
    )


def _small_candle() -> tuple[Shape, ...]:
    """Return the lit candle in the lower half of a ring."""
    return _candle(32, 63, 82, 9.5, _flame(32, 59, 23))


def _forbidden(*within: Shape) -> Drawing:
    """Return what is `within` a ring, struck through from the upper left to the lower right."""
    ring = lined(circle(50, 50, 46.5), _LINE)
    return Drawing(
        (*within, lined("M20 20L80 80", _GAP, Ink.PAPER), ring, lined("M17 17L83 83", _SLASH))
    )


def _framed(*within: Shape) -> Drawing:
    """Return what is `within` a frame with round corners: what is to be done."""
    return Drawing((lined(_ROUNDED, _LINE), *within))


def _arrow(left: float, right: float, y: float, head: float = 7.0) -> Shape:
    """Return a level line with a head at both ends."""
    return lined(
        f"M{left} {y}L{right} {y}M{left + head} {y - head}L{left} {y}L{left + head} {y + head}"
        f"M{right - head} {y - head}L{right} {y}L{right - head} {y + head}",
        _THIN,
    )


def _warning() -> Drawing:
    return Drawing(
        (
            lined("M57.5 5L110 95L5 95Z", 10),
            filled("M50.5 32L64.5 32L61.5 64L53.5 64Z"),
            filled(circle(57.5, 76, 6.5)),
        ),
        width=1.15,
    )


def _within_sight() -> Drawing:
    """Show an eye over a lit candle: it is watched."""
    return _framed(
        lined("M14 27C30 8 70 8 86 27C70 46 30 46 14 27Z", _THIN),
        filled(circle(50, 27, 9)),
        *_candle(50, 71, 88, 13, _flame(50, 67, 22)),
    )


def _from_children_and_pets() -> Drawing:
    """Show a child with raised arms, and the print of a paw."""
    return _forbidden(
        filled(circle(26.5, 49, 7.5)),
        filled("M21 58L32 58L37 74L16 74Z"),
        lined("M22 61L14 52M31 61L40 67", 5.5),
        lined("M23 74L23 79M30.5 74L30.5 82", 6),
        filled("M68 34C75 34 80 41 78 46C76 51 72 48 68 48C64 48 60 51 58 46C56 41 61 34 68 34Z"),
        filled(oval(55, 31, 4, 5.5) + oval(63.5, 24, 4, 5.5)),
        filled(oval(73, 24, 4, 5.5) + oval(81, 31, 4, 5.5)),
    )


def _from_what_burns() -> Drawing:
    """Show a lit candle, and the curtain that hangs over it."""
    return _forbidden(
        *_small_candle(),
        lined("M46 20L78 20", 5.5),
        lined("M56 22C61 28 53 32 57 39M67 22C73 31 62 38 68 50M77 22C83 34 71 44 79 59", 6.5),
    )


def _trim() -> Drawing:
    """Show open scissors at the wick of a candle."""
    return _framed(
        filled(box(16, 62, 50, 88)),
        lined("M33 62L33 30", _THIN),
        lined("M20 34L62 52M20 54L62 36", 6),
        lined(circle(72, 31, 9) + circle(72, 57, 9), _THIN),
    )


def _draught() -> Drawing:
    """Show wind that bends a flame."""
    return _forbidden(
        *_candle(35, 65, 83, 9.5, _flame(35, 61, 24, lean=-16)),
        lined("M48 22C56 14 63 30 72 21M57 34C65 26 72 42 82 33M66 47C73 40 78 54 86 46", _THIN),
    )


def _moving() -> Drawing:
    """Show a lit candle that is carried away."""
    return _forbidden(
        *_small_candle(),
        filled("M48 26L66 26L66 16L87 33L66 50L66 40L60 40Z"),
    )


def _apart() -> Drawing:
    """Show two lit candles, and the way between them."""
    return _framed(
        *_candle(22, 50, 88, 9, _flame(22, 46, 26)),
        *_candle(78, 50, 88, 9, _flame(78, 46, 26)),
        _arrow(36, 64, 69),
    )


def _liquid() -> Drawing:
    """Show water that drops onto a lit candle."""
    return _forbidden(
        *_small_candle(),
        filled(_drop(54, 24, 1.25) + _drop(72, 32, 1.25) + _drop(76, 55, 1.25)),
    )


def _drop(x: float, y: float, size: float) -> str:
    half, low, tip = 5 * size, y + 8 * size, y - 9 * size
    return (
        f"M{x} {tip}C{x + 2 * size} {y - 4 * size} {x + half} {y} {x + half} {y + 3 * size}"
        f"C{x + half} {low} {x - half} {low} {x - half} {y + 3 * size}"
        f"C{x - half} {y} {x - 2 * size} {y - 4 * size} {x} {tip}Z"
    )


def _pool_clear() -> Drawing:
    """Show a match over the wax of a lit vessel."""
    return _forbidden(
        lined("M18.5 56L18.5 80L45 80L45 70", _THIN),
        filled(box(23.5, 68, 40, 75.5)),
        lined("M31 68L31 60", 3.5),
        _flame(31, 62, 22),
        lined("M65 43L80 24", _THIN),
        filled(circle(65, 42, 6)),
    )


FIRE_SIGNS: Final[dict[str, Drawing]] = {
    "warning": _warning(),
    "within_sight": _within_sight(),
    "from_children_and_pets": _from_children_and_pets(),
    "from_what_burns": _from_what_burns(),
    "trim": _trim(),
    "draught": _draught(),
    "moving": _moving(),
    "apart": _apart(),
    "liquid": _liquid(),
    "pool_clear": _pool_clear(),
}

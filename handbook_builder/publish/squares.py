"""Square codes (QR, ISO/IEC 18004) as drawings in the page, black on white in the dark, too."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from typing import Final

from markupsafe import Markup, escape

MODULE_MM: Final = 0.55
"""How wide one module is drawn: a telephone's camera reads half a millimetre from paper."""

QUIET: Final = 4  # modules of white around the code, as the standard asks
_LEVEL: Final = "m"  # 15 % of it may be unreadable: a drop of wax


def drawing(text: str, title: str) -> Markup:
    """Return the square code that holds `text` as inline SVG of its true size, named by `title`."""
    side, path = _modules(text)
    size = f"{side * MODULE_MM:.2f}mm"
    return Markup(
        '<svg class="square__code" xmlns="http://www.w3.org/2000/svg" role="img" '
        'aria-label="{}" width="{}" height="{}" viewBox="0 0 {} {}" shape-rendering="crispEdges">'
        '<path fill="#fff" d="M0 0h{}v{}H0z"/><path fill="#000" d="{}"/></svg>'
    ).format(escape(title), size, size, side, side, side, side, path)


@lru_cache(maxsize=512)
def _modules(text: str) -> tuple[int, str]:
    """Return how many modules a code is wide with its quiet zone, and where the dark ones are."""
    import segno  # noqa: PLC0415 -- only for papers

    code = segno.make(text, error=_LEVEL, micro=False)
    rows = [list(row) for row in code.matrix]
    return len(rows) + 2 * QUIET, "".join(_dark(rows))


def _dark(rows: Sequence[Sequence[int]]) -> Iterator[str]:
    """Yield one bar for each run of dark modules of a row."""
    for y, row in enumerate(rows, QUIET):
        x = QUIET
        for is_dark, run in groupby(row):
            wide = len(list(run))
            if is_dark:
                yield f"M{x} {y}h{wide}v1h-{wide}z"
            x += wide

"""How long a chart takes to draw, and how large it is: `python tests/benchmark_charts.py`.

Every chart of the demo studio, and one as full as a chart can be (eight candles of forty cycles),
is drawn again and again; the best of several rounds counts, by the time of the processor, so that
other work on the machine does not decide. Exit status 1 when a chart takes 6 ms or longer, or is
12 kB or larger.
"""

import sys
import time
from collections.abc import Callable, Iterator
from datetime import date
from functools import partial
from pathlib import Path

from handbook_builder.pages.tests.charts import MOST_LINES, Chart, Line
from handbook_builder.publish.burn_picture import burn_drawing
from handbook_builder.publish.charts import drawing
from handbook_builder.workshop import handbook_of

ROOT = Path(__file__).resolve().parents[1]
ROUNDS = 5
MOST_MS = 6.0
MOST_BYTES = 12_000
Drawing = Callable[[], str]


def fullest() -> Chart:
    """Return a chart with as many lines as are drawn, each of forty cycles."""
    lines = tuple(
        Line(f"A{one}", tuple((4.0 * at + one / 7, 400.0 - 9.9 * at - one) for at in range(41)))
        for one in range(MOST_LINES)
    )
    return Chart("chart-full", "The fullest", "Eight candles", "h", "g", lines, (), (), ())


def every_drawing() -> Iterator[tuple[str, Drawing]]:
    """Yield each chart and burn of the demo with its page, and the fullest chart."""
    yield "the fullest", partial(drawing, fullest())
    for page in handbook_of(ROOT / "records", date(2026, 5, 1)).pages:
        for chart in getattr(page.content, "charts", ()):
            yield f"{page.path}#{chart.id}", partial(drawing, chart)
        if (picture := getattr(page.content, "glance", None)) is not None:
            yield f"{page.path}#{picture.id}", partial(burn_drawing, picture)


def measured(draw: Drawing) -> tuple[float, int]:
    """Return the milliseconds that a drawing takes at best, and its bytes."""
    best = float("inf")
    for _ in range(ROUNDS):
        start = time.process_time()
        svg = draw()
        best = min(best, (time.process_time() - start) * 1000)
    return best, len(svg.encode())


def main() -> int:
    """Measure, print the slowest and the largest, and return the exit status."""
    found = {name: measured(draw) for name, draw in every_drawing()}
    slowest = max(found, key=lambda name: found[name][0])
    largest = max(found, key=lambda name: found[name][1])
    for word, name in (("slowest", slowest), ("largest", largest)):
        took_ms, size = found[name]
        sys.stdout.write(f"{len(found)} charts, {word}: {took_ms:.2f} ms, {size} bytes, {name}\n")
    fine = found[slowest][0] < MOST_MS and found[largest][1] < MOST_BYTES
    return 0 if fine else 1


if __name__ == "__main__":
    sys.exit(main())

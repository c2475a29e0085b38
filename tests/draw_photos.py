"""Draw the pictures of the demo: pools of wax from above, as wide as the records say.

Nobody photographed an invented candle. `python tests/draw_photos.py` writes each picture that the
demo's records name under `photos` and that shows a cycle, from that cycle's readings alone, so that
the same records give the same pictures.
"""

import math
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.reading.records import read_folder

RECORDS: Final = Path(__file__).parents[1] / "records"
WIDE, HIGH = 960, 720
FINE: Final = 2  # drawn larger and made small, so that no edge is jagged
POINTS_A_MM: Final = 8.4 * FINE
BENCH, GLASS, RIM = (112, 84, 62), (96, 52, 20), (190, 126, 66)
SOLID, MOLTEN, EDGE = (238, 226, 196), (214, 176, 104), (196, 158, 92)
WICK, GLOW, HEAD = (48, 36, 28), (255, 232, 170), (28, 22, 20)

Point = tuple[float, float]


def _around(centre: Point, radius: float) -> tuple[float, float, float, float]:
    x, y = centre
    return x - radius, y - radius, x + radius, y + radius


def _soft(size: tuple[int, int], box: tuple[float, ...], blur: float) -> Image.Image:
    """Return a mask of a disc whose edge fades."""
    mask = Image.new("L", size, 0)
    ImageDraw.Draw(mask).ellipse(box, fill=255)
    return mask.filter(ImageFilter.GaussianBlur(blur))


def _blob(draw: ImageDraw.ImageDraw, centre: Point, mm: float, colour: tuple[int, ...]) -> None:
    draw.ellipse(_around(centre, mm * POINTS_A_MM), fill=colour)


def _ground(chance: random.Random, size: tuple[int, int]) -> Image.Image:
    """Return the bench: boards with a grain."""
    ground = Image.new("RGB", size, BENCH)
    draw = ImageDraw.Draw(ground)
    for y in range(0, size[1], 24 * FINE):
        shade = chance.randint(-5, 5)
        colour = tuple(part + shade for part in BENCH)
        draw.rectangle((0, y, size[0], y + 24 * FINE), fill=colour)
    return ground.filter(ImageFilter.GaussianBlur(4 * FINE))


def drawn(burn: Burn, number: int, cycle: Cycle) -> Image.Image:
    """Return the pool of a cycle from above, with what was seen of the wick and of the wax."""
    chance = random.Random(f"{burn.source.id} {number}")  # noqa: S311 -- no secret, only a drawing
    size = (WIDE * FINE, HIGH * FINE)
    picture = _ground(chance, size)
    middle = (size[0] / 2 + chance.uniform(-14, 14) * FINE, size[1] / 2)
    inner = (burn.made.inside_diameter_mm or 72) / 2 * POINTS_A_MM
    _jar(picture, middle, inner, number)
    _pool(picture, middle, inner, cycle, chance)
    _wick(picture, middle, cycle)
    return picture.resize((WIDE, HIGH), Image.Resampling.LANCZOS)


def _jar(picture: Image.Image, middle: Point, inner: float, number: int) -> None:
    """Draw the vessel, its shadow, and wax that lies deeper from cycle to cycle."""
    wall = 2.5 * POINTS_A_MM
    fallen = (middle[0] + 22 * FINE, middle[1] + 26 * FINE)
    shadow = _soft(picture.size, _around(fallen, inner + wall), 18 * FINE)
    picture.paste((52, 36, 26), mask=shadow.point(lambda value: value * 0.7))
    draw = ImageDraw.Draw(picture)
    draw.ellipse(_around(middle, inner + wall), fill=GLASS, outline=RIM, width=5 * FINE)
    draw.ellipse(_around(middle, inner), fill=SOLID)
    depth = _soft(picture.size, _around(middle, inner - (2 + number) * 4 * FINE), 10 * FINE)
    inside = Image.new("L", picture.size, 0)
    ImageDraw.Draw(inside).ellipse(_around(middle, inner), fill=90 + 12 * number)
    picture.paste((120, 84, 44), mask=ImageChops.subtract(inside, depth))


def _pool(
    picture: Image.Image, middle: Point, inner: float, cycle: Cycle, chance: random.Random
) -> None:
    """Draw the molten wax as wide as it was read, and a gleam on it."""
    radius = min((cycle.pool_mm or 40) / 2 * POINTS_A_MM, inner - 2 * FINE)
    room = inner - radius
    centre = (middle[0] + chance.uniform(-0.4, 0.4) * room, middle[1] + 0.2 * room)
    draw = ImageDraw.Draw(picture)
    for _ in range(90 if "frosting" in cycle.seen else 0):
        angle, far = chance.uniform(0, math.tau), inner * chance.uniform(0.9, 0.97)
        flake = (middle[0] + far * math.cos(angle), middle[1] + far * math.sin(angle))
        _blob(draw, flake, 0.35, (252, 250, 244))
    draw.ellipse(_around(centre, radius), fill=EDGE)
    light = _soft(picture.size, _around(centre, radius - 14 * FINE), 12 * FINE)
    picture.paste(MOLTEN, mask=light)
    gleam_at = (centre[0] - radius * 0.35, centre[1] - radius * 0.4)
    gleam = _soft(picture.size, _around(gleam_at, radius * 0.2), 22 * FINE)
    picture.paste((250, 238, 208), mask=gleam.point(lambda value: value * 0.8))


def _wick(picture: Image.Image, middle: Point, cycle: Cycle) -> None:
    """Draw the wick with its flame, and the cap of carbon where it was seen."""
    flame = (cycle.flame_mm or 20) / 4 * POINTS_A_MM
    halo = _soft(picture.size, _around(middle, flame * 2), 40 * FINE)
    picture.paste((250, 214, 140), mask=halo.point(lambda value: value * 0.55))
    bright = _soft(picture.size, _around((middle[0], middle[1] - flame * 0.3), flame), 14 * FINE)
    picture.paste(GLOW, mask=bright)
    draw = ImageDraw.Draw(picture)
    tip = (middle[0] + 2 * FINE, middle[1] - 12 * FINE)
    draw.line((*middle, *tip), fill=WICK, width=round(1.6 * POINTS_A_MM))
    _blob(draw, middle, 0.8, WICK)
    if "mushrooming" in cycle.seen:
        _blob(draw, tip, 2.2, HEAD)
        _blob(draw, (tip[0] + 15 * FINE, tip[1] - 5 * FINE), 1.5, HEAD)
        _blob(draw, (tip[0] - 14 * FINE, tip[1] - 2 * FINE), 1.4, HEAD)


def _asked(burn: Burn) -> Iterator[tuple[Path, int, Cycle]]:
    """Yield each picture that a record names, by the cycle whose number its name begins with."""
    for name in burn.photos:
        number = int("".join(one for one in name.split(".")[0] if one.isdigit()))
        yield RECORDS / "burns" / burn.source.id / name, number, burn.cycles[number - 1]


def main() -> None:
    """Write every picture anew."""
    for burn in read_folder(RECORDS).records["burns"].values():
        for path, number, cycle in _asked(burn):
            path.parent.mkdir(exist_ok=True)
            drawn(burn, number, cycle).save(path, quality=56, optimize=True)


if __name__ == "__main__":
    main()

"""Recipes, and the test candles burned for each: most pass, some fail, some still burn."""

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import Final

from . import shelf
from .sizes import AS_OF, Size
from .text import flow, record, told

_LETTERS: Final = "ABCDEFGH"
CURE: Final = timedelta(days=16)
# How a recipe's test ended, by weight.
_FATES: Final = {"passed": 85, "failed": 8, "burning": 7}


@dataclass(frozen=True, slots=True)
class Recipe:
    """A recipe and how its test went; `through` is the day of the last cycle."""

    id: str
    jar: shelf.Vessel
    wax: str
    wick: str
    oil: str
    load: float
    poured: date
    through: date
    fate: str

    @property
    def wax_g(self) -> float:
        """Return the wax of one candle."""
        return round(self.jar.net_g / (1 + self.load), 1)

    @property
    def oil_g(self) -> float:
        """Return the oil of one candle."""
        return round(self.jar.net_g - self.wax_g, 1)


def recipes(rng: Random, size: Size, jars: list[shelf.Vessel]) -> list[Recipe]:
    """Return the recipes, no two of them one candle: each vessel holds an oil at most once."""
    oils, wicks = shelf.oils(size), shelf.wicks(size)
    return [
        _recipe(rng, size, number, jars[number % len(jars)],
                oils[(number // len(jars) + number % len(jars) * 3) % len(oils)], wicks)
        for number in range(size.recipes)
    ]  # fmt: skip


def _recipe(  # noqa: PLR0913, PLR0917 -- one a thing to draw from
    rng: Random, size: Size, number: int, jar: shelf.Vessel, oil: str, wicks: list[str]
) -> Recipe:
    fate = rng.choices(list(_FATES), list(_FATES.values()))[0]
    days = 365 * size.years - 60
    ago = 60 + days * (size.recipes - number) // size.recipes
    through_days = CURE.days + size.cycles
    if fate == "burning":
        ago = CURE.days + rng.randint(1, size.cycles - 3)
    poured = AS_OF - timedelta(days=ago)
    return Recipe(
        f"{oil.removesuffix('-oil')}-{jar.id}", jar, shelf.WAXES[number % len(shelf.WAXES)],
        rng.choice(wicks), oil, rng.choice((0.06, 0.07, 0.08)), poured,
        poured + timedelta(days=through_days), fate,
    )  # fmt: skip


def record_of(rng: Random, size: Size, one: Recipe) -> str:
    """Return the record of a recipe."""
    keys = {
        "title": f'"{one.id.replace("-", " ").capitalize()}"',
        "vessel": one.jar.id,
        "wax": one.wax,
        "wick": one.wick,
        "fragrance": flow({one.oil: f"{one.load * 100:g} %"}),
        "load_basis": "wax",
        "fill": f"{one.jar.net_g:g} g",
        "packaging": flow(dict.fromkeys(shelf.PACKAGING, 1)),
        "minutes": "6 min",
        "test_candles": size.candles,
    }
    return record(keys, told(rng))


def burns_of(rng: Random, size: Size, one: Recipe, lots: dict[str, str]) -> shelf.Files:
    """Return the records of a recipe's test candles."""
    return {
        f"burns/{one.id}-{letter.lower()}.md": _burn(rng, size, one, letter, lots)
        for letter in _LETTERS[: size.candles]
    }


def _burn(rng: Random, size: Size, one: Recipe, letter: str, lots: dict[str, str]) -> str:
    fails = one.fate == "failed" and letter == "A"
    cycles = _cycles(rng, size, one, fails=fails)
    keys = {
        "recipe": one.id,
        "candle": letter,
        "made": {
            "on": one.poured,
            "vessel": one.jar.id,
            "wax": f"{{{one.wax}: {one.wax_g:.1f} g}}",
            "fragrance": f"{{{one.oil}: {one.oil_g:.1f} g}}",
            "colorant": "none",
            "wick": one.wick,
            "wicks": 1,
            "candles": size.candles,
            "inside_diameter": f"{one.jar.width_mm} mm",
            "tilt": "steady",
        },
        "by": rng.choice(shelf.HELPERS),
        "lots": lots,
        "scale": "0.1 g",
        "room": "21 degC",
        "cycles": [flow(cycle) for cycle in cycles],
    }
    if len(cycles) == size.cycles:
        left = f"{one.jar.net_g * 0.06:.1f} g"
        keys["end"] = flow({"how": "went_out", "left": left, "vessel": "sound", "tilt": "steady",
                            "cycles": len(cycles)})  # fmt: skip
    else:
        keys["lit"] = len(cycles)
    return record(keys, told(rng))


def _cycles(rng: Random, size: Size, one: Recipe, *, fails: bool) -> list[dict[str, object]]:
    """Return the cycles that were burned by the day of the studio, a day apart."""
    first = one.poured + CURE
    mass_g = one.jar.empty_g + one.jar.net_g + rng.uniform(-0.9, 0.9)
    parts = [rng.uniform(0.85, 1.15) for _ in range(size.cycles)]
    each_g = one.jar.net_g * 0.93 / sum(parts)
    cycles = []
    for at in range(size.cycles):
        on = first + timedelta(days=at)
        if on >= AS_OF:
            break
        after_g = mass_g - each_g * parts[at]
        cycles.append(_cycle(rng, one, at, on, (mass_g, after_g), fails=fails))
        mass_g = after_g
    return cycles


def _cycle(  # noqa: PLR0913 -- one a thing that is read
    rng: Random, one: Recipe, at: int, on: date, masses: tuple[float, float], *, fails: bool
) -> dict[str, object]:
    width = one.jar.width_mm
    pool = width - (0 if at > 1 else rng.randint(1, 6))
    cycle: dict[str, object] = {
        "on": on,
        "burned": f"{rng.randint(230, 240)} min",
        "before": f"{masses[0]:.1f} g",
        "after": f"{masses[1]:.1f} g",
        "pool": f"{pool} mm",
        "depth": f"{rng.randint(7, 10)} mm",
        "flame": f"{rng.randint(19, 25) if not fails or at < 5 else 88} mm",
        "wall": f"{min(44 + 2 * at + rng.randint(0, 3), 64)} degC",
        "after_smoke": f"{rng.randint(6, 14)} s",
    }
    if at < 3:
        cycle["checks"] = flow({f"{hour} h": f"{pool * (hour + 4) // 8} mm" for hour in (1, 2, 3)})
    if rng.random() < 0.1:
        cycle["note"] = '"a little soot at first"'
    return cycle

"""Invented mixtures, each from its seed: believable ones, and such as stand on an edge."""

from collections.abc import Callable
from fractions import Fraction
from random import Random
from typing import Final

from .edges import ALONE, COUNTS_AS, ENDS, NUDGES, SUMS
from .words import AQUATIC_ACUTE, AQUATIC_CHRONIC, LIMITABLE, ROUTES, Component

FACTORS: Final = (1, 1, 1, 10, 10, 100)
OWN_LIMITS: Final = ("0.001", "0.01", "0.05", "0.1", "0.2", "0.5", "1", "2", "5", "20")
# what sheets of fragrance materials commonly say together
COMMON: Final[tuple[tuple[str, ...], ...]] = (
    (),
    (),
    ("Skin Sens. 1B",),
    ("Skin Sens. 1", "Aquatic Chronic 2"),
    ("Skin Irrit. 2", "Skin Sens. 1B", "Flam. Liq. 3", "Asp. Tox. 1", AQUATIC_ACUTE),
    ("Skin Irrit. 2", "Eye Irrit. 2"),
    ("Skin Irrit. 2", "Eye Irrit. 2", "Skin Sens. 1B"),
    ("Acute Tox. 4 (oral)", "Eye Irrit. 2"),
    ("Acute Tox. 4 (oral)", "Acute Tox. 4 (dermal)", "Skin Sens. 1"),
    (AQUATIC_ACUTE, AQUATIC_CHRONIC[0]),
    (AQUATIC_CHRONIC[0], "Skin Sens. 1A"),
    (AQUATIC_CHRONIC[1],),
    (AQUATIC_CHRONIC[2],),
    (AQUATIC_CHRONIC[3],),
    ("Repr. 2", "Skin Irrit. 2"),
    ("Repr. 1B", "Acute Tox. 4 (oral)", "STOT RE 1"),
    ("Eye Dam. 1", "Skin Irrit. 2"),
    ("STOT SE 3 (H336)", "Flam. Liq. 2"),
    ("STOT SE 3 (H335)", "Eye Irrit. 2"),
    ("Skin Corr. 1B", "Eye Dam. 1"),
    ("Carc. 2",),
    ("Resp. Sens. 1", "Skin Sens. 1A"),
)
# without a route, without a meaning, or of a hazard that is not reckoned from components
DOUBTFUL: Final = (
    *(f"Acute Tox. {category}" for category in (2, 3, 4, 4)),
    *(f"Acute Tox. {category} (inhalation)" for category in (3, 4)),
    "Flam. Sol. 2",
    "Odd. 1",
)
# M-factor, the first category, what is there beside it, and what the trace counts
TRACES: Final = (
    ("m_acute", AQUATIC_ACUTE, AQUATIC_ACUTE, 1),
    ("m_chronic", AQUATIC_CHRONIC[0], AQUATIC_CHRONIC[0], 1),
    ("m_chronic", AQUATIC_CHRONIC[0], AQUATIC_CHRONIC[1], 10),
    ("m_chronic", AQUATIC_CHRONIC[0], AQUATIC_CHRONIC[2], 100),
    ("m_chronic", AQUATIC_CHRONIC[0], AQUATIC_CHRONIC[3], 1),
)
Mixture = tuple[list[Component], bool]


def number(rng: Random) -> str:
    """Return something of the form of a CAS number, with the check digit that belongs to it."""
    digits = f"{rng.randrange(50, 99999)}{rng.randrange(10, 99)}"
    places = enumerate(reversed(digits), start=1)
    check = sum(place * int(digit) for place, digit in places) % 10
    return f"{digits[:-2]}-{digits[-2:]}-{check}"


def component(rng: Random, share: Fraction, words: tuple[str, ...] | list[str]) -> Component:
    """Return a component of its own with what its words call for."""
    cas = number(rng)
    acute = AQUATIC_ACUTE in words or rng.random() < 0.1
    chronic = AQUATIC_CHRONIC[0] in words or rng.random() < 0.1
    return {
        "name": f"{rng.choice(('alpha', 'beta', 'iso', 'cis'))}-{cas}",
        "cas": cas,
        "share": share,
        "hazards": list(words),
        "m_acute": Fraction(rng.choice(FACTORS)) if acute else None,
        "m_chronic": Fraction(rng.choice(FACTORS)) if chronic else None,
        "ate": {},
        "limits": {},
    }


def parts(rng: Random, whole: Fraction, count: int) -> list[Fraction]:
    """Return a whole in a few parts, none of them nothing."""
    weights = [rng.randrange(1, 12) for _ in range(count)]
    return [whole * weight / sum(weights) for weight in weights]


def _factor(substance: Component, word: str) -> Fraction:
    """Return what a word multiplies a share by."""
    factors = {AQUATIC_ACUTE: substance["m_acute"], AQUATIC_CHRONIC[0]: substance["m_chronic"]}
    return factors.get(word) or Fraction(1)


def believable(rng: Random) -> list[Component]:
    """Return the components of one to three oils at a load of a real candle."""
    load = Fraction(rng.randrange(20, 130), 1000)
    found = []
    for oil in parts(rng, load / (1 + load), rng.randrange(1, 4)):
        shares = parts(rng, oil, rng.randrange(2, 8))
        found += [component(rng, share, rng.choice(COMMON)) for share in shares]
    return found


def alone(rng: Random) -> list[Component]:
    """Return one component at a per cent that matters to it, or beside it."""
    word, edges = rng.choice(ALONE)
    substance = component(rng, Fraction(rng.choice(edges)) / 100 * rng.choice(NUDGES), [word])
    substance["share"] /= rng.choice((1, _factor(substance, word)))
    return [substance]


def own_limit(rng: Random) -> list[Component]:
    """Return a component with limits of its own, at one, at a tenth of it, or beside them."""
    word = rng.choice(list(LIMITABLE))
    words = rng.sample(LIMITABLE[word], 1 if rng.random() < 0.5 else min(2, len(LIMITABLE[word])))
    limits = {of: Fraction(rng.choice(OWN_LIMITS)) / 100 for of in words}
    share = rng.choice(list(limits.values())) * rng.choice(NUDGES) / rng.choice((1, 1, 10))
    return [component(rng, share, [word]) | {"limits": limits}]


def summed(rng: Random) -> list[Component]:
    """Return a few components whose weighted sum is at an edge, or beside it."""
    total, weights = rng.choice(SUMS)
    whole = Fraction(total) / 100 * rng.choice(NUDGES)
    found = []
    for part in parts(rng, whole, rng.randrange(1, 5)):
        word = rng.choice(list(weights))
        substance = component(rng, Fraction(0), [word])
        substance["share"] = (
            part / weights[word] / (_factor(substance, word) if rng.random() < 0.9 else 1)
        )
        if not word.startswith("Aquatic") and rng.random() < 0.3:
            own = Fraction(rng.choice(OWN_LIMITS)) / 100
            # its own share of its own limit, so that the sum stays where it was
            substance |= {"limits": {word: own}, "share": part / Fraction(total) * 100 * own}
        found.append(substance)
    return found


def trace(rng: Random) -> list[Component]:
    """Return a sum for water that a trace of a first category, at its cut-off, brings to an edge.

    Now and then its M-factor is unsaid, or counts where it should not.
    """
    key, first, other, weight = rng.choice(TRACES)
    factor = rng.choice((None, *map(Fraction, FACTORS)))
    known = factor or Fraction(rng.choice((1, 5)))
    share = Fraction(1, 1000) / known * rng.choice(NUDGES)
    brings = share * weight * rng.choice((factor or 1, factor or 1, 1))
    rest = component(rng, Fraction(25, 100) * rng.choice(NUDGES[:5]) - brings, [other])
    faint = component(rng, share, [first]) | {"m_acute": None, "m_chronic": None, key: factor}
    return [rest | ({key: Fraction(1)} if other == first else {}), faint]


def poisons(rng: Random) -> list[Component]:
    """Return a few components whose estimate on a route is at the end of a category, or beside it.

    With unknown among them, over ten per cent or just not.
    """
    route = rng.choice(ROUTES)
    unknown = Fraction(rng.choice(("0", "0", "0", "9.9", "10", "10.1", "14", "30"))) / 100
    known = 1 - unknown if unknown > Fraction(10, 100) else Fraction(1)
    end = Fraction(rng.choice(ENDS[route])) / rng.choice(NUDGES)
    found = [component(rng, unknown, []) | {"hazards": None}] if unknown else []
    if unknown and rng.random() < 0.3:  # an estimate that makes it known, and harmless, by a route
        found[0]["ate"] = {rng.choice((route, route, "oral")): Fraction(ENDS[route][3]) * 9}
    for part in parts(rng, Fraction(1), rng.randrange(1, 4)):
        place = rng.randrange(4)
        point = Fraction(COUNTS_AS[route][place])
        ate = {}
        if rng.random() < 0.4:
            point = rng.choice((point, Fraction(ENDS[route][place]), point * 2, point / 3))
            ate = {route: point}
        words = [f"Acute Tox. {place + 1} ({route})"] if not ate or rng.random() < 0.6 else []
        found.append(component(rng, part * known * point / end, words) | {"ate": ate})
    return found


def crowd(rng: Random) -> list[Component]:
    """Return a few components with any words together, with limits, estimates and any share."""
    found = []
    for _ in range(rng.randrange(1, 5)):
        words = [word for word, _ in rng.sample(ALONE, rng.randrange(1, 4))]
        substance = component(
            rng, Fraction(rng.randrange(1, 1500), 10 ** rng.randrange(4, 7)), words
        )
        if rng.random() < 0.4:
            other = rng.choice([*words, rng.choice(ALONE)[0]])
            substance["limits"] = {other: Fraction(rng.choice(OWN_LIMITS)) / 100}
        found.append(substance)
    return found


EDGES: Final[tuple[Callable[[Random], list[Component]], ...]] = (
    alone, own_limit, summed, summed, poisons, poisons, trace, crowd,
)  # fmt: skip


def hostile(rng: Random) -> list[Component]:
    """Return one to three groups that stand on an edge each, and what else may be in the candle."""
    found = [
        substance for _ in range(rng.choice((1, 1, 2, 3))) for substance in rng.choice(EDGES)(rng)
    ]
    return found + (believable(rng) if rng.random() < 0.2 else [])


def _split(rng: Random, whole: Component) -> list[Component]:
    """Return a component on two or three lines, as two oils bring it, of other names maybe."""
    lines = []
    for place, share in enumerate(parts(rng, whole["share"], rng.randrange(2, 4))):
        name = whole["name"] if rng.random() < 0.7 else f"{whole['name']} {place}"
        lines.append(whole | {"share": share, "name": name})
    return lines


def _contradicted(rng: Random, lines: list[Component]) -> None:
    """Let one of the lines of a substance say something else than the others."""
    other = rng.choice(lines)
    change = rng.randrange(5)
    if change == 0:
        other["hazards"] = list(rng.choice(COMMON))
    elif change == 1:
        other["hazards"] = None
    elif change == 2:
        for line in lines:
            line["m_acute"] = line["m_chronic"] = rng.choice((None, *map(Fraction, FACTORS)))
    elif change == 3 and other["hazards"]:
        other["limits"] = {rng.choice(other["hazards"]): Fraction(rng.choice(OWN_LIMITS)) / 100}
    else:
        other["ate"] = {rng.choice(ROUTES): Fraction(rng.choice((3, 40, 250, 1500)))}


def doubted(rng: Random, found: list[Component]) -> None:
    """Leave something of a component unsaid, or say what nobody knows."""
    substance = rng.choice(found)
    change = rng.randrange(5)
    if change == 0:
        substance["hazards"] = None
    elif change == 1:
        substance["m_acute"] = substance["m_chronic"] = None
    elif substance["hazards"] is not None:
        substance["hazards"] = [*substance["hazards"], rng.choice(DOUBTFUL)]
        if change == 2:
            substance["ate"] = {
                rng.choice(ROUTES): Fraction(rng.choice((1, 8, 60, 250, 1500, 9000)))
            }


def _drawn(rng: Random) -> Mixture:
    found = believable(rng) if rng.random() < 0.25 else hostile(rng)
    if rng.random() < 0.3:
        place = rng.randrange(len(found))
        lines = _split(rng, found.pop(place))
        if rng.random() < 0.5:
            _contradicted(rng, lines)
        found += lines
    if rng.random() < 0.15:
        doubted(rng, found)
    rng.shuffle(found)
    return found, rng.random() < 0.93


def mixture(seed: int) -> Mixture:
    """Return the components of a candle, and whether they account for all that is in it."""
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    while True:
        found, accounted_for = _drawn(rng)
        if sum(substance["share"] for substance in found) <= 1:
            return found, accounted_for

"""Water: sums with M-factors, the first that is reached."""

from fractions import Fraction

from .words import AQUATIC_ACUTE, AQUATIC_CHRONIC, Component, percent

# "relevant ... 0.1 / (0.1/M) / 1 %" [C 4.1.3.1]; "M x Acute 1 >= 25 %" [C(ADR 2.2.9.1.10.4.6)]
FIRST, OTHERS, REACHED = percent("0.1"), percent("1"), percent("25")


def missing_factor(substance: Component, classes: list[str]) -> bool:
    """Tell whether a component of a first category lacks an M-factor that could change the result.

    Where the mixture is in that category already, none could.
    """
    due = ((AQUATIC_ACUTE, "m_acute"), (AQUATIC_CHRONIC[0], "m_chronic"))
    return any(
        word in substance["hazards"] and substance[key] is None and word not in classes
        for word, key in due
    )


def _weighted(substance: Component, key: str) -> Fraction:
    """Return share times M; below 0.1/M % nothing. A missing M counts as 1, from any share on."""
    factor, share = substance[key], Fraction(substance["share"])
    if factor is None:
        return share
    return share * factor if share >= FIRST / factor else Fraction(0)


def _acute(pool: list[Component]) -> list[str]:
    toxic = [substance for substance in pool if AQUATIC_ACUTE in substance["hazards"]]
    total = sum((_weighted(substance, "m_acute") for substance in toxic), Fraction(0))
    return [AQUATIC_ACUTE] if total >= REACHED else []


def _chronic(pool: list[Component]) -> list[str]:
    weighted, plain = Fraction(0), dict.fromkeys(AQUATIC_CHRONIC, Fraction(0))
    for substance in pool:
        worst = next((word for word in AQUATIC_CHRONIC if word in substance["hazards"]), None)
        if worst == AQUATIC_CHRONIC[0] and _weighted(substance, "m_chronic"):
            weighted += _weighted(substance, "m_chronic")
            plain[worst] += substance["share"]
        elif worst and worst != AQUATIC_CHRONIC[0] and substance["share"] >= OTHERS:
            plain[worst] += substance["share"]
    first, second, third, fourth = (plain[word] for word in AQUATIC_CHRONIC)
    sums = (
        weighted,
        10 * weighted + second,
        100 * weighted + 10 * second + third,
        first + second + third + fourth,  # "no M"
    )
    reached = zip(AQUATIC_CHRONIC, sums, strict=True)
    return [word for word, total in reached if total >= REACHED][:1]


def aquatic(pool: list[Component]) -> dict[str, list[str]]:
    """Return the classes of water. No names: Article 18 asks for those of health alone."""
    return {word: [] for word in _acute(pool) + _chronic(pool)}

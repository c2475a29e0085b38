"""The classes of a finished candle, from what its safety sheets say: plain values in and out.

Written from the published values (CLP, Annex I parts 3 and 4, Annex II 2.8, Articles 18 and 26)
and from the design alone. What the law leaves open is taken on the safe side:

- An acute class without its route is taken for every route, and the result is incomplete.
- A missing M-factor of a first category counts as 1, and the result is incomplete.
- One CAS number with different words: all of them hold, with the highest M-factor, the lowest
  estimate and the lowest limit. Words that one sheet does not know leave it unknown.
- A sensitiser with a limit of its own elicits at a tenth of it, or at the general limit where that
  is lower.
- A component is named EUH208 only where the mixture sensitises neither skin nor airways.
- An estimate that says less than the class beside it is not believed: the class counts.
- All that is unknown counts among the unknown ten per cent, also what is there below 1 %.
- A candle that corrodes skin is held to damage eyes.
- Of corrosion, the sub-category of the mixture is not told: "Skin Corr. 1".
- Of sensitisation, 1A goes before 1 and 1 before 1B, since what has no sub-category may be a 1A.
"""

from typing import Any

from .acute import acute
from .alone import alone, elicits
from .aquatic import aquatic, missing_factor
from .label import pictograms, signal, statements
from .local import local
from .pool import pooled
from .words import Component, understood

# Article 18(3)(b) [S, a bilingual guidance text]: names for these, and not for irritation or water
NAMELESS = ("Skin Irrit. 2", "Eye Irrit. 2", "Aquatic")


def _complete(pool: list[Component]) -> bool:
    return not any(
        one["unknown"]
        or missing_factor(one)
        or not all(understood(word) for word in (*one["hazards"], *one["limits"]))
        for one in pool
    )


def classify(components: list[Component], *, accounted_for: bool) -> dict[str, Any]:
    """Return classes and label of a candle.

    `components` have `name`, `cas`, `share` (of the finished candle), `hazards` (words, [] where
    none is known to be, None where nothing is known), `m_acute`, `m_chronic`, `ate` by route and
    `limits` by word. `accounted_for` tells whether they are all that the sheets list.
    """
    pool = pooled(components)
    found = local(pool) | alone(pool) | acute(pool) | aquatic(pool)
    classes = sorted(found)
    allergens = [one["name"] for one in pool if elicits(one)]
    sensitising = any("Sens." in word for word in classes)
    named = {name for word in classes if not word.startswith(NAMELESS) for name in found[word]}
    return {
        "complete": accounted_for and _complete(pool),
        "classes": classes,
        "signal": signal(classes),
        "pictograms": pictograms(classes),
        "h": statements(classes),
        "euh208": [] if sensitising else sorted(set(allergens)),
        "contains": sorted(named | set(allergens if sensitising else [])),
    }

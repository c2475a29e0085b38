"""The classes of a finished candle, from what its safety sheets say: plain values in and out.

Written from the published values (CLP, Annex I parts 3 and 4, Annex II 2.8, Articles 18 and 26)
and from the design alone. What the law leaves open was taken on the safe side, and afterwards
settled with what the package has written down; nothing of its code is here.

Alike in both from the start:

- One CAS number with different words: all of them hold, with the highest M-factor, the lowest
  estimate and the lowest limit. Words that one sheet does not know leave it unknown.
- A sensitiser with a limit of its own elicits at a tenth of it, or at the general limit where that
  is lower; it is named EUH208 only where the mixture sensitises neither skin nor airways.
- An estimate that says less than the class beside it is not believed: the class counts.
- All that is unknown counts among the unknown ten per cent, also what is there below 1 %.
- A candle that corrodes skin is held to damage eyes.
- Of sensitisation, 1A goes before 1 and 1 before 1B, since what has no sub-category may be a 1A.

Settled as the package has it:

- An acute class without its route is taken as swallowed, or inhaled as vapour, unless an estimate
  of its category tells the route. Where it could count, the result is incomplete. (Before: every
  route.)
- An estimate of another category than the class beside it leaves the result incomplete.
- A missing M-factor of a first category counts as 1 from any share on, and the result is incomplete
  unless the mixture is in that category already. (Before: from 0.1 % on, always incomplete.)
- A limit without its class is not reckoned with, and leaves the result incomplete.
- Of corrosion the sub-category is told, by the note to Table 3.2.3 (from memory, unconfirmed).
- Of physical hazards only a flammable liquid is passed over; any other leaves the result
  incomplete.

Settled as the oracle has it: the names of all components above their own limit (`alone.cmr`), and
the lowest limit that a sensitiser has, whichever of its words it stands by.
"""

from typing import Any

from .acute import acute, doubtful
from .alone import alone, elicits
from .aquatic import aquatic, missing_factor
from .label import pictograms, signal, statements
from .local import local
from .pool import pooled
from .words import UNDERSTOOD, Component

# Article 18(3)(b) [S, a bilingual guidance text]: names for these, and not for irritation or water
NAMELESS = ("Skin Irrit. 2", "Eye Irrit. 2", "Aquatic")


def _complete(pool: list[Component], classes: list[str]) -> bool:
    return not any(
        substance["unknown"]
        or substance["stray"]
        or substance["hazards"] - UNDERSTOOD
        or doubtful(substance)
        or missing_factor(substance, classes)
        for substance in pool
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
    allergens = [substance["name"] for substance in pool if elicits(substance)]
    sensitising = any("Sens." in word for word in classes)
    named = {name for word in classes if not word.startswith(NAMELESS) for name in found[word]}
    return {
        "complete": accounted_for and _complete(pool, classes),
        "classes": classes,
        "signal": signal(classes),
        "pictograms": pictograms(classes),
        "h": statements(classes),
        "euh208": [] if sensitising else sorted(set(allergens)),
        "contains": sorted(named | set(allergens if sensitising else [])),
    }

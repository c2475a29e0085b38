"""The words of a safety sheet that the oracle understands, and how they are grouped."""

from fractions import Fraction
from typing import Any, Final

Component = dict[str, Any]

ROUTES: Final = ("oral", "dermal", "gas", "vapour", "mist")
CATEGORIES: Final = (1, 2, 3, 4)

SKIN_CORR: Final = ("Skin Corr. 1", "Skin Corr. 1A", "Skin Corr. 1B", "Skin Corr. 1C")
SKIN_IRRIT: Final = "Skin Irrit. 2"
EYE_DAM: Final = "Eye Dam. 1"
EYE_IRRIT: Final = "Eye Irrit. 2"
SKIN_SENS: Final = ("Skin Sens. 1A", "Skin Sens. 1", "Skin Sens. 1B")
RESP_SENS: Final = ("Resp. Sens. 1A", "Resp. Sens. 1", "Resp. Sens. 1B")
STOT_SE: Final = ("STOT SE 1", "STOT SE 2")
STOT_RE: Final = ("STOT RE 1", "STOT RE 2")
STOT_SE_3: Final = ("STOT SE 3 (H335)", "STOT SE 3 (H336)")
CMR: Final = tuple(
    f"{kind} {one}" for kind in ("Carc.", "Muta.", "Repr.") for one in ("1A", "1B", "2")
)
LACT: Final = "Lact."
ASPIRATION: Final = "Asp. Tox. 1"
AQUATIC_ACUTE: Final = "Aquatic Acute 1"
AQUATIC_CHRONIC: Final = tuple(f"Aquatic Chronic {one}" for one in CATEGORIES)
ACUTE: Final = {f"Acute Tox. {n} ({route})": (n, route) for n in CATEGORIES for route in ROUTES}
# a class without its route: open in the law, taken for every route and never as complete
ACUTE_BARE: Final = {f"Acute Tox. {n}": n for n in CATEGORIES}

# what the sheet of a liquid or a gas says of its fire, its pressure or its metals: a solid candle
# does not take it over. How a candle burns is a matter of the fire standards.
PHYSICAL: Final = (
    "Expl.", "Unst. Expl.", "Desen. Expl.", "Flam. Gas", "Flam. Liq.", "Flam. Sol.", "Aerosol",
    "Ox. Gas", "Ox. Liq.", "Ox. Sol.", "Press. Gas", "Self-react.", "Pyr. Liq.", "Pyr. Sol.",
    "Self-heat.", "Water-react.", "Org. Perox.", "Met. Corr.",
)  # fmt: skip

UNDERSTOOD: Final = frozenset(
    (
        *SKIN_CORR, SKIN_IRRIT, EYE_DAM, EYE_IRRIT, *SKIN_SENS, *RESP_SENS, *STOT_SE, *STOT_RE,
        *STOT_SE_3, *CMR, LACT, ASPIRATION, AQUATIC_ACUTE, *AQUATIC_CHRONIC, *ACUTE,
    )
)  # fmt: skip


def percent(number: str) -> Fraction:
    """Return a percentage as a share."""
    return Fraction(number) / 100


def understood(word: str) -> bool:
    """Tell whether the oracle knows what follows from a word of a safety sheet."""
    return word in UNDERSTOOD or word.startswith(PHYSICAL)

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
    f"{kind} {number}" for kind in ("Carc.", "Muta.", "Repr.") for number in ("1A", "1B", "2")
)
LACT: Final = "Lact."
ASPIRATION: Final = "Asp. Tox. 1"
AQUATIC_ACUTE: Final = "Aquatic Acute 1"
AQUATIC_CHRONIC: Final = tuple(f"Aquatic Chronic {number}" for number in CATEGORIES)
ACUTE: Final = {f"Acute Tox. {n} ({route})": (n, route) for n in CATEGORIES for route in ROUTES}
# a class whose route is unsaid, and one that is inhaled in an unsaid form
INHALED: Final = ("vapour", "mist", "gas")
ACUTE_BARE: Final = {f"Acute Tox. {n}": (n, ("oral", "dermal", "vapour")) for n in CATEGORIES}
ACUTE_BARE_INHALED: Final = {f"Acute Tox. {n} (inhalation)": (n, INHALED) for n in CATEGORIES}
ACUTE_UNSAID: Final = ACUTE_BARE | ACUTE_BARE_INHALED

# A solid candle is no flammable liquid. What else a sheet says of fire, pressure or metals is not
# reckoned from components, and so it is not understood: the result is incomplete.
FLAMMABLE: Final = ("Flam. Liq. 1", "Flam. Liq. 2", "Flam. Liq. 3")

UNDERSTOOD: Final = frozenset(
    (
        *SKIN_CORR, SKIN_IRRIT, EYE_DAM, EYE_IRRIT, *SKIN_SENS, *RESP_SENS, *STOT_SE, *STOT_RE,
        *STOT_SE_3, *CMR, LACT, ASPIRATION, AQUATIC_ACUTE, *AQUATIC_CHRONIC, *ACUTE,
        *ACUTE_UNSAID, *FLAMMABLE,
    )
)  # fmt: skip


def percent(number: str) -> Fraction:
    """Return a percentage as a share."""
    return Fraction(number) / 100


def _limitable() -> dict[str, tuple[str, ...]]:
    """Return for each word the words by which its sheet may give a limit of its own.

    Not for acute toxicity, which has estimates, nor for water, which has M-factors (Art. 10), nor
    for aspiration and flammable liquids, which go by viscosity and flash point.
    """
    eyes = (EYE_DAM, EYE_IRRIT)
    return {
        **{word: (word,) for word in (SKIN_IRRIT, EYE_IRRIT, *CMR, LACT, *STOT_SE_3)},
        **dict.fromkeys(SKIN_CORR, (*SKIN_CORR, SKIN_IRRIT, *eyes)),
        EYE_DAM: eyes,
        **dict.fromkeys(SKIN_SENS, SKIN_SENS),
        **dict.fromkeys(RESP_SENS, RESP_SENS),
        **{words[0]: words for words in (STOT_SE, STOT_RE)},
        **{words[1]: words[1:] for words in (STOT_SE, STOT_RE)},
    }


LIMITABLE: Final = _limitable()

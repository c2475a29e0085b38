"""Where a mixture changes: the shares and sums at which a class, or a name, comes in."""

from fractions import Fraction
from typing import Final

from .words import AQUATIC_ACUTE, AQUATIC_CHRONIC

# words of one component alone, and the per cents that matter to it
ALONE: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("Skin Sens. 1", ("1", "0.1")),
    ("Skin Sens. 1A", ("0.1", "0.01")),
    ("Skin Sens. 1B", ("1", "0.1")),
    ("Resp. Sens. 1", ("1", "0.1")),
    ("Resp. Sens. 1A", ("0.1", "0.01")),
    ("Resp. Sens. 1B", ("1", "0.1")),
    ("Carc. 1A", ("0.1",)),
    ("Carc. 1B", ("0.1", "0.3")),
    ("Carc. 2", ("1", "0.1")),
    ("Muta. 1A", ("0.1",)),
    ("Muta. 1B", ("0.1",)),
    ("Muta. 2", ("1",)),
    ("Repr. 1A", ("0.3", "0.1")),
    ("Repr. 1B", ("0.3",)),
    ("Repr. 2", ("3", "1")),
    ("Lact.", ("0.3",)),
    ("STOT SE 1", ("10", "1")),
    ("STOT SE 2", ("10", "1")),
    ("STOT RE 1", ("10", "1")),
    ("STOT RE 2", ("10", "1")),
    ("STOT SE 3 (H335)", ("20", "1", "10")),
    ("STOT SE 3 (H336)", ("20", "1")),
    ("Skin Corr. 1", ("5", "3", "1")),
    ("Skin Corr. 1A", ("5", "1")),
    ("Skin Corr. 1B", ("5", "1")),
    ("Skin Corr. 1C", ("5", "1")),
    ("Skin Irrit. 2", ("10", "1")),
    ("Eye Dam. 1", ("3", "1")),
    ("Eye Irrit. 2", ("10", "1")),
    ("Asp. Tox. 1", ("10",)),
    ("Aquatic Acute 1", ("25", "2.5", "0.1")),
    ("Aquatic Chronic 1", ("25", "2.5", "0.25", "0.1")),
    ("Aquatic Chronic 2", ("25", "2.5", "1")),
    ("Aquatic Chronic 3", ("25", "1")),
    ("Aquatic Chronic 4", ("25", "1")),
    ("Flam. Liq. 2", ("10",)),
    ("Flam. Liq. 3", ("1",)),
)

# a sum in per cent at which something changes, and the words in it, each with what it is taken by
CORROSIVE: Final = ("Skin Corr. 1", "Skin Corr. 1A", "Skin Corr. 1B", "Skin Corr. 1C")
SUMS: Final[tuple[tuple[str, dict[str, int]], ...]] = (
    ("5", dict.fromkeys(CORROSIVE, 1)),
    ("10", {**dict.fromkeys(CORROSIVE, 10), "Skin Irrit. 2": 1}),
    ("10", {"Skin Irrit. 2": 1}),
    ("3", {**dict.fromkeys(CORROSIVE, 1), "Eye Dam. 1": 1}),
    ("10", {"Skin Corr. 1": 10, "Eye Dam. 1": 10, "Eye Irrit. 2": 1}),
    ("10", {"Eye Irrit. 2": 1}),
    ("20", {"STOT SE 3 (H335)": 1}),
    ("20", {"STOT SE 3 (H336)": 1}),
    ("25", {AQUATIC_ACUTE: 1}),
    ("25", {AQUATIC_CHRONIC[0]: 1}),
    ("25", {AQUATIC_CHRONIC[0]: 10, AQUATIC_CHRONIC[1]: 1}),
    ("25", {AQUATIC_CHRONIC[0]: 100, AQUATIC_CHRONIC[1]: 10, AQUATIC_CHRONIC[2]: 1}),
    ("25", dict.fromkeys(AQUATIC_CHRONIC, 1)),
    ("25", {AQUATIC_CHRONIC[3]: 1}),
    ("25", {AQUATIC_CHRONIC[2]: 1, AQUATIC_CHRONIC[3]: 1}),
)

# the estimates at which a category ends, and the words with what each counts as (T3.1.1, T3.1.2)
ENDS: Final[dict[str, tuple[str, ...]]] = {
    "oral": ("5", "50", "300", "2000"),
    "dermal": ("50", "200", "1000", "2000"),
    "gas": ("100", "500", "2500", "20000"),
    "vapour": ("0.5", "2", "10", "20"),
    "mist": ("0.05", "0.5", "1", "5"),
}
COUNTS_AS: Final[dict[str, tuple[str, ...]]] = {
    "oral": ("0.5", "5", "100", "500"),
    "dermal": ("5", "50", "300", "1100"),
    "gas": ("10", "100", "700", "4500"),
    "vapour": ("0.05", "0.5", "3", "11"),
    "mist": ("0.005", "0.05", "0.5", "1.5"),
}
# at the edge, and beside it: by a hair, by what a person writes down, by much
NUDGES: Final = (
    Fraction(1), Fraction(1), Fraction(1),
    Fraction(10**12 - 1, 10**12), Fraction(10**12 + 1, 10**12),
    Fraction(999, 1000), Fraction(1001, 1000), Fraction(9, 10), Fraction(11, 10),
)  # fmt: skip

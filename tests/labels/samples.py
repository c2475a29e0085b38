"""A label with every kind of block, as an invented studio might ask for it."""

from datetime import UTC, datetime
from typing import Final

from handbook_builder.labels.content import (
    Field,
    Label,
    Pictogram,
    Pictograms,
    Role,
    Sign,
    Signs,
    Text,
)
from handbook_builder.labels.fonts import typefaces
from handbook_builder.labels.pdf import Imprint
from handbook_builder.labels.sizes import LETTERS, net_weight_eu

FACES: Final = typefaces()
IMPRINT: Final = Imprint("Labels", datetime(2026, 3, 4, tzinfo=UTC))
LABEL: Final = Label(
    front=(
        Text(Role.STUDIO, "Example Studio"),
        Text(Role.PRODUCT, "Fig & Cedar", preferred_x_mm=4, is_bold=True),
        Text(Role.SCENT, "ripe fig, green leaf, cedar wood"),
        Text(Role.NET, "200 g \N{ESTIMATED SYMBOL}", (LETTERS, net_weight_eu(200))),
    ),
    caution=(
        Text(Role.HEADING, "WARNING", is_bold=True, lead=Sign.WARNING, preferred_x_mm=2),
        Signs(
            (
                Sign.WARNING,
                Sign.WITHIN_SIGHT,
                Sign.FROM_CHILDREN_AND_PETS,
                Sign.FROM_WHAT_BURNS,
                Sign.TRIM,
            ),
            preferred_mm=8,
        ),
        Text(Role.STATEMENT, "Burn within sight.\nKeep away from children and pets."),
        Pictograms((Pictogram.GHS07, Pictogram.GHS09)),
        Text(Role.SIGNAL, "Warning", is_bold=True),
        Text(Role.HAZARD, "May cause an allergic skin reaction."),
        Text(Role.CONTAINS, "Contains linalool, coumarin."),
        Field(Role.UFI, "UFI:", 19),
        Text(Role.CODE, "2026-03-A \N{MIDDLE DOT} C-27F4"),
        Text(Role.ADDRESS, "Example Studio, 1 Example Street\n+00 000 000"),
    ),
)

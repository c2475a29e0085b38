"""Every sign and pictogram, by its name."""

from typing import Final

from handbook_builder.labels.content import Pictogram, Sign
from handbook_builder.labels.drawing import Drawing
from handbook_builder.labels.fire_signs import FIRE_SIGNS
from handbook_builder.labels.hazard_signs import HAZARD_SIGNS

DRAWINGS: Final[dict[Sign | Pictogram, Drawing]] = {
    **{sign: FIRE_SIGNS[sign.value] for sign in Sign},
    **{pictogram: HAZARD_SIGNS[pictogram.value] for pictogram in Pictogram},
}

"""Where the label of a candle stands: on its vessel, or on what it is packed in."""

from dataclasses import dataclass
from typing import Final

from handbook_builder.labels.placed import Panel, round_panel
from handbook_builder.reading.kinds.items import Packaging
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.studio.studio import Studio

# Of these the first that has a panel bears the cautions; where the vessel is to stay bare, what is
# stuck on it comes last.
_STUCK_ON: Final = ("caution_label",)
_BESIDE: Final = ("box", "tag", "lid", "other")


@dataclass(frozen=True, slots=True)
class Panels:
    """The panels of a candle; without a `front` everything stands on that of the cautions.

    `on` names what bears the cautions: an item of packaging, or None for the vessel itself.
    """

    front: Panel | None
    caution: Panel
    on: str | None


def panels_of(studio: Studio, recipe: Recipe) -> Panels | None:
    """Return the panels that a recipe's candle can be labelled on, or None when none is on record.

    The vessel's own panel bears the front when something else bears the cautions, else everything;
    nothing of it does when the recipe says that its front stays bare.
    """
    is_bare = recipe.front == "bare"
    packed = {ident: studio.packaging[ident] for ident in recipe.packaging}
    front = next((_panel(item) for item in packed.values() if item.form == "label"), None)
    front = None if is_bare else front or _of_vessel(studio, recipe)
    for form in (*_BESIDE, *_STUCK_ON) if is_bare else (*_STUCK_ON, *_BESIDE):
        for ident, item in packed.items():
            panel = _panel(item) if item.form == form else None
            if panel is not None:
                return Panels(front, panel, ident)
    return None if front is None else Panels(None, front, None)


def _panel(item: Packaging) -> Panel | None:
    panel = item.panel
    if panel is None:
        return None
    if panel.width_mm is not None and panel.height_mm is not None:
        return Panel(panel.width_mm, panel.height_mm)
    return None if panel.across_mm is None else round_panel(panel.across_mm)


def _of_vessel(studio: Studio, recipe: Recipe) -> Panel | None:
    panel = studio.vessels[recipe.vessel].label_panel
    return None if panel is None else Panel(panel.width_mm, panel.height_mm)

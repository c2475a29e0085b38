"""The hazards of each finished candle, as told to other programs."""

from handbook_builder.derived.account import Account
from handbook_builder.derived.hazards import CandleHazards, candle_hazards, is_asked
from handbook_builder.hazards.precaution import p_statements, small_pack
from handbook_builder.hazards.steps import Step
from handbook_builder.reports.plain import fields_of


def hazards_told(account: Account, ident: str) -> dict[str, object] | None:
    """Return the hazards of a product, or None where no market of the studio asks for them."""
    studio = account.studio
    if not is_asked(studio):
        return None
    return _told(candle_hazards(studio, studio.recipes[ident], account.judged.as_of))


def _told(hazards: CandleHazards) -> dict[str, object]:
    result = hazards.result
    return {
        **fields_of(result),
        "p": p_statements(result),
        "small_pack": small_pack(result),
        "unknown": sorted({note.name for note in result.missing}),
        "load_on_wax": hazards.load_on_wax,
        "steps_up_to": hazards.up_to,
        "steps": [_step(step) for step in hazards.steps],
    }


def _step(step: Step) -> dict[str, object]:
    return {"from": "load_on_wax", **fields_of(step)}

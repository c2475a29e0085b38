"""A pour sheet as one plain structure: `pour --json`, with the weights as the scale shows them.

```
{"format": 1, "recipe": id, "title": "...", "code": "...", "as_of": "2026-05-01",
 "test_pour": false, "mark": "", "refused": ["...", ...],
 "status": "approved|held|...", "sensible": null or a number of test candles,
 "count": 17, "scale": {"step": "0.1", "unit": "g"}, "pitcher_loss": 0.02, "net_g": 181.3,
 "weights": [{"item": "waxes/soy-blend", "amount": "2912.0"}, ...], "total": "3144.9",
 "load_on_wax_percent": "8.00", "share_percent": "7.41", "recipe_load_on_wax": 0.08,
 "off_points": "0.001", "tolerance_points": "0.2", "fits": true,
 "pieces": [{"item": "vessels/amber-tumbler", "count": 17}, ...],
 "heats": [{"item": "waxes/soy-blend", "heat_to_c": 80.0, "add_at_c": 70.0,
            "pour_at_c": 60.0, "flash_point_c": 230.0}, ...],
 "poured_on": "2026-05-01", "cure_days": 14, "cured_on": "2026-05-15",
 "store": {...},
 "steps": ["...", ...], "cautions": ["...", ...]}
```

`store` is what is left for it, in grams or pieces: `most` candles, `first` what runs out, whether
there is `enough`, and `items`: [{item, each, need, unit, usable, candles, short, lots: [{lot, left,
candles, why_not (suspended | unsure | former | null), incidents}]}]. `candles` is for how many a
thing, or a lot alone, reaches.

Where the vessel is refused, or a load or a share is over its limit, there is nothing to weigh:
`refused` says why, and `weights`, `pieces`, `heats` and `steps` are empty (exit status 2).
Where the scale is too coarse for the count, `fits` is false and every `amount` and the `total`
are null: such weights would be another candle.
"""

from datetime import date
from typing import Final

from handbook_builder.derived.pour import pour_of
from handbook_builder.derived.reach import ItemReach, LotReach, reach_of
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.pour_sheet import Sheet

FORMAT: Final = 1


def pour_report(desk: Desk, sheet: Sheet, poured_on: date) -> dict[str, object]:
    """Return the sheet of a pour on that day."""
    return {
        "format": FORMAT,
        "as_of": desk.day,
        **_standing(desk, sheet),
        **_weighed(desk, sheet),
        "pieces": [{"item": piece.item, "count": piece.count} for piece in sheet.pieces],
        "store": _store(desk, sheet),
        "poured_on": poured_on,
        "cure_days": sheet.work.cure_days,
        "cured_on": sheet.work.cured_on(poured_on),
        "steps": sheet.work.steps,
        "cautions": sheet.work.all_cautions,
    }


def _store(desk: Desk, sheet: Sheet) -> dict[str, object]:
    reach, count = reach_of(desk.account, sheet.id), sheet.asked.count
    return {
        "most": reach.most,
        "first": reach.first,
        "enough": reach.most >= count,
        "items": [_thing(one, count) for one in reach.items],
    }


def _thing(one: ItemReach, count: int) -> dict[str, object]:
    return {
        "item": one.item,
        "each": one.each,
        "need": one.need(count),
        "unit": "g" if one.item.is_weighed else "pieces",
        "usable": one.usable,
        "candles": one.candles,
        "short": one.short(count),
        "lots": [_lot(lot) for lot in one.lots],
    }


def _lot(one: LotReach) -> dict[str, object]:
    return {
        "lot": one.lot.balance.lot,
        "left": one.lot.balance.left,
        "candles": one.candles,
        "why_not": one.lot.why_not,
        "incidents": one.lot.incidents,
    }


def _standing(desk: Desk, sheet: Sheet) -> dict[str, object]:
    """Return what is poured, and whether it is proven."""
    return {
        "recipe": sheet.id,
        "title": sheet.product.title,
        "code": sheet.code,
        "test_pour": bool(sheet.mark),
        "mark": sheet.mark,
        "refused": sheet.refused,
        "status": desk.judged.products[sheet.id].status,
        "sensible": sheet.sensible,
    }


def _weighed(desk: Desk, sheet: Sheet) -> dict[str, object]:
    """Return what to weigh, on which scale, and how hot."""
    pour, rounded = pour_of(desk.account, sheet.id, sheet.scale), sheet.rounded
    return {
        "count": sheet.asked.count,
        "scale": {"step": sheet.scale.text(1), "unit": sheet.scale.unit},
        "pitcher_loss": pour.pitcher_loss,
        "net_g": pour.net_g,
        "weights": [
            {"item": ingredient.item, "amount": ingredient.amount}
            for ingredient in sheet.ingredients
        ],
        "total": rounded.total,
        "load_on_wax_percent": None if sheet.refused else rounded.load,
        "share_percent": None if sheet.refused else rounded.share,
        "recipe_load_on_wax": desk.account.products[sheet.id].load_on_wax,
        "off_points": rounded.off,
        "tolerance_points": rounded.tolerance,
        "fits": rounded.is_fit,
        "heats": () if sheet.refused else pour.heats,
    }

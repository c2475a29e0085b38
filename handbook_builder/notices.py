"""What `check` tells as a warning: no fault of the records, and nothing is kept back for it."""

from collections.abc import Mapping
from typing import Final

from handbook_builder.problems import Place, Problem, filled

# What is no fault, and yet should be looked at: told by `check` and on the pages it bears on.
NOTICES: Final[Mapping[str, str]] = {
    "attachment_large": "it is {size} MB large, and a handbook takes in what has {limit} MB "
    "at the most: it is left out, and its record's page says so. Save it smaller.",
    "attachment_unsearched": "this goes to helpers as it is, and what it holds could not be "
    "searched for names and sums ({reason}). Look it through yourself.",
    "batch_disproven": "poured on {on}, and what is on file now speaks against {recipe} that day: "
    "{where}. The batch is not as proven: let none of it out.",
    "batch_former": "{recipe} had another code on that day: the batch counts as poured as a former "
    "make-up, and nobody can see that it was proven. If it is a slip, mend the code or the recipe.",
    "batch_under_incident": "poured on {on}, while incident {number} of {since} was open. Closing "
    "it makes the batch no better. If nobody knew of it by then, write the day on which it was "
    "told into {file}, such as 'told: 2026-03-15'.",
    "fill_unwritten": "{recipe} has test candles or batches, and its fill still follows the vessel "
    "and the densities on file. Write what it is: 'fill: {grams} g'.",
    "left_behind": "it is passed over: a desktop, an editor or another program leaves such files. "
    "Remove it, unless it holds what no record has.",
    "left_behind_records": "it is passed over as a folder that a desktop or another program keeps, "
    "and {count} of the files in it end like a record. Look whether one of them is missing here.",
    "lot_overdrawn": "lot '{lot}' of {item}: {taken} were taken from it, and {bought} were "
    "bought{less}. Look for a mistyped lot, a bill that is not on file, or a weight.",
    "may_not": "{by} is named here, whose record does not say 'may: [{what}]'. Add it to "
    "helpers/{by}.md, or name who did it.",
    "no_guide": "found the page '{found}', which is no guide{near}. Mend its name.",
    "own_key_meant": "found '{found}', and '{key}' is a key that the handbook reads: with 'x-' "
    "before it nothing is reckoned with it. If that is meant, call it otherwise.",
    "photo_missing": "found the picture '{found}' in the note, and there is no such file{near}. "
    "Put it beside the record, or mend its name.",
    "photo_no_cycle": "the picture {found} shows cycle {number} by its name, and the record has "
    "{count}. It is shown after the cycles. Mend its name, or look for what is missing.",
    "photo_not_beside": "found the picture '{found}' under 'photos', and there is no such file in "
    "{folder}/{near}. Put it there, or mend its name.",
    "photo_to_convert": "the picture {found} is of a kind that browsers do not show, and what "
    "converts it is not installed. Save it as .jpg, or install handbook-builder[heic].",
    "photo_undescribed": "nobody has said what is seen on the picture {found}. Write a sentence "
    "under 'photos', for those who cannot see it.",
    "photo_unshown": "{reason} The page says so in its place.",
    "planned_later": "'{key}' names {on}, which is still to come: until then it counts for "
    "nothing. If it is a slip, mend the year.",
    "price_far_off": "one unit of {item} costs {times} times here what it costs on any other bill. "
    "Look for a slip in the price or the quantity.",
    "waits_to_be_taken": "it waits to be taken: run 'handbook take'.",
}


def notice(place: Place, code: str, details: Mapping[str, object]) -> Problem:
    """Return the notice `code` at `place`: no fault, and it keeps nothing from being published."""
    return Problem(place, code, filled(NOTICES[code], code, details))

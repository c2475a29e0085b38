"""`new burn`: a file for each test candle that is poured together."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from handbook_builder.cli.options import records_of, refuse
from handbook_builder.cli.telling import Telling
from handbook_builder.cli.to_pour import mass_to_pour
from handbook_builder.cli.writing import blanks_in, refuse_existing
from handbook_builder.derived.next_burn import NextBurn, next_burn
from handbook_builder.files import locked, write_together
from handbook_builder.publish.templates import layers
from handbook_builder.reading.fields import near
from handbook_builder.reading.front import split
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.nodes import Scalar
from handbook_builder.reading.records import SHOWN_AS, read_folder
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.screening import Screening
from handbook_builder.words import Words
from handbook_builder.workshop import studio_in, words_for, words_text_for
from handbook_builder.writing.adding import CannotAddError, with_new_value, with_value
from handbook_builder.writing.blanks import filled_in
from handbook_builder.writing.new_records import from_template, with_schema
from handbook_builder.writing.values import written

if TYPE_CHECKING:
    from handbook_builder.problems import Problem


@dataclass(frozen=True, slots=True)
class BurnCall:
    """What was asked for; `ladder` are the wicks of a ladder, one candle each."""

    recipe: str
    on: date
    candles: int | None
    weighed: Sequence[str]
    values: Mapping[str, str]
    ladder: Sequence[str] = ()


def new_burn(told: Telling, studio: Path, call: BurnCall) -> None:
    """Write the records of the next test candles of a recipe, and count them in all others.

    All of it under one lock, so that runs at the same time count each other's candles.
    """
    records = records_of(studio)
    folder = records / "burns"
    if records.is_dir():
        folder.mkdir(exist_ok=True)
    with locked(folder if folder.is_dir() else studio):
        linked, problems = studio_in(records)
        if linked is None:
            refuse(problems)
        told = Telling(words_for(linked, words_text_for(studio)))
        recipe = linked.recipes.get(call.recipe)
        if recipe is None:
            nearest = near(call.recipe, list(linked.recipes))
            told.wrong("no_recipe", found=call.recipe, near=nearest)
        burns = _burns(told, linked, recipe, call)
        _written(told, studio, burns, call)
    _cautioned(told, burns[0])


def _burns(told: Telling, studio: Studio, recipe: Recipe, call: BurnCall) -> list[NextBurn]:
    """Return what each candle is to be: of a ladder, the recipe's with another wick."""
    count = len(call.ladder) or call.candles or 1
    if call.ladder and call.candles not in {None, count}:
        told.wrong("ladder_counts", wicks=count, candles=call.candles)
    for wick in call.ladder:
        if wick not in studio.wicks:
            told.wrong("no_wick", found=wick, near=near(wick, list(studio.wicks)))
    wicks = call.ladder or [recipe.wick] * count
    return [next_burn(studio, replace(recipe, wick=wick), call.on, count) for wick in wicks]


def _written(told: Telling, studio: Path, burns: Sequence[NextBurn], call: BurnCall) -> None:
    """Write every file, or none: all are checked before the first is written."""
    records, burn, rungs = records_of(studio), burns[0], len(call.ladder)
    reading = read_folder(records, SHOWN_AS)
    weighed, scale = _weighed(told, burn, call.weighed), _scale_as_written(records, burn)
    texts: dict[str, str] = {}
    blanks: list[Problem] = []
    for one, letter, weights in zip(burns, burn.letters, weighed, strict=True):
        path = f"burns/{burn.recipe.source.id}-{letter.lower()}.md"
        text = from_template(
            layers(studio, "new"),
            "burns",
            _context(told.words, one, letter, weights) | {"rungs": rungs, "scale": scale},
        )
        text = with_schema(text, records, "burns")
        for key, value in call.values.items():
            text = filled_in(text, key, value)
        texts[path] = text
        blanks += blanks_in(told, studio, reading, path, text)
    refuse_existing(told, records, texts)
    counted = [*_counted_together(told, records, burn), *_count_raised(told, records, burn)]
    new = {records / path: text.encode() for path, text in texts.items()}
    write_together(new, {counting.path: (counting.old, counting.new) for counting in counted})
    for path in texts:
        told.say("written", file=SHOWN_AS + path)
    _told_to_pour(told, burn, rungs)
    told.blanks(blanks)
    for counting in counted:
        told.say(counting.code, file=counting.file, before=counting.before, after=counting.after)


def _told_to_pour(told: Telling, burn: NextBurn, rungs: int) -> None:
    parts = {**burn.weights.wax_g, **burn.weights.fragrance_g, **burn.weights.colorant_g}
    shown = [
        told.text("part", mass=mass_to_pour(told.words, burn.scale_g, mass), id=one)
        for one, mass in parts.items()
    ]
    net = told.words.quantity(burn.net_g, "g")
    if rungs:
        told.say("ladder_poured", rungs=rungs, net=net, parts=", ".join(shown))
    else:
        told.say("make_up", code=burn.code, net=net, parts=", ".join(shown))


def _weighed(told: Telling, burn: NextBurn, given: Sequence[str]) -> list[Mapping[str, str]]:
    """Return what was weighed into each candle, by id; nothing where nothing was given."""
    if not given:
        return [{} for _ in burn.letters]
    if len(given) != len(burn.letters):
        told.wrong("weighed_counts", given=len(given), candles=len(burn.letters))
    weights = burn.weights
    due = {*weights.wax_g, *weights.fragrance_g, *weights.colorant_g}
    found: list[Mapping[str, str]] = []
    for letter, one in zip(burn.letters, given, strict=True):
        pairs = [pair.partition("=") for pair in one.split(",")]
        masses = {ident.strip(): mass.strip() for ident, _, mass in pairs}
        if masses.keys() != due:
            shown = ", ".join(sorted(masses))
            told.wrong("weighed_ids", candle=letter, due=", ".join(sorted(due)), found=shown)
        found.append(masses)
    return found


def _scale_as_written(records: Path, burn: NextBurn) -> str | None:
    """Return the scale in the very words of the newest test candle: 0.01 oz is no 0.283495 g."""
    if burn.newest is None:
        return None
    path = records / "burns" / f"{burn.newest.source.id}.md"
    front, _ = split(path.read_bytes(), burn.newest.source.file)
    said = [] if front is None else [one for key, one in front.root.entries if key.text == "scale"]
    return next((written(one.text) for one in said if isinstance(one, Scalar)), None)


def _context(
    words: Words, burn: NextBurn, letter: str, weighed: Mapping[str, str]
) -> dict[str, object]:
    """Return what the template of a burn asks for."""
    recipe, weights = burn.recipe, burn.weights

    def rows(masses_g: Mapping[str, float]) -> list[dict[str, str]]:
        return [
            {
                "id": ident,
                "weighed": f" {weighed[ident]}" if weighed.get(ident) else "",
                "to_pour": mass_to_pour(words, burn.scale_g, mass),
            }
            for ident, mass in masses_g.items()
        ]

    return {
        "id": f"{recipe.source.id}-{letter.lower()}",
        "recipe": recipe.source.id,
        "candle": letter,
        "candles": burn.candles,
        "code": burn.code,
        "on": burn.on.isoformat(),
        "net": words.quantity(burn.net_g, "g").replace("\N{NO-BREAK SPACE}", " "),
        "vessel": recipe.vessel,
        "inside_diameter": f"{burn.screened.vessel.inside_diameter_mm:g} mm",
        "lots": {item: known[0] for item, known in burn.lots.items() if len(known) == 1},
        "lots_to_choose": {item: known for item, known in burn.lots.items() if len(known) > 1},
        "wick": recipe.wick,
        "wicks": recipe.wicks,
        "wax": rows(weights.wax_g),
        "fragrance": rows(weights.fragrance_g),
        "colorant": rows(weights.colorant_g),
        "spec": burn.raised,
    }


@dataclass(frozen=True, slots=True)
class _Counted:
    """A record in which the new candles are counted, its bytes before and after."""

    code: str
    file: str
    path: Path
    old: bytes
    new: bytes
    before: int
    after: int


def _counted_together(told: Telling, records: Path, burn: NextBurn) -> Iterator[_Counted]:
    """Yield each record of the same pouring day, with the new candles added to its `candles`."""
    for sister in burn.together:
        before = sister.made.candles
        after = before + len(burn.letters)
        path = records / "burns" / f"{sister.source.id}.md"
        old = path.read_bytes()
        new = _changed(told, sister.source.file, "made.candles", after, old)
        yield _Counted("counted.together", sister.source.file, path, old, new, before, after)


def _count_raised(told: Telling, records: Path, burn: NextBurn) -> Iterator[_Counted]:
    """Yield the recipe with its `test_candles` raised or added, unless it was wrong before."""
    stated, file = burn.recipe.test_candles, burn.recipe.source.file
    if stated is not None and stated != burn.on_file:
        told.warn("count_differs", file=file, stated=stated, found=burn.on_file)
        return
    before = burn.poured if stated is None else stated
    after = before + len(burn.letters)
    path = records / "recipes" / f"{burn.recipe.source.id}.md"
    old = path.read_bytes()
    new = _changed(told, file, "test_candles", after, old, add=stated is None)
    yield _Counted("counted.recipe", file, path, old, new, before, after)


def _changed(  # noqa: PLR0913, PLR0917 -- one a part of the change
    told: Telling,
    file: str,
    key: str,
    value: int,
    old: bytes,
    add: bool = False,  # noqa: FBT001, FBT002
) -> bytes:
    """Return a record with another count; where its place is not certain, the run ends."""
    try:
        return (with_new_value if add else with_value)(old, key, str(value))
    except CannotAddError:
        told.wrong("cannot_count", file=file, key=key, value=value)


def _cautioned(told: Telling, burn: NextBurn) -> None:
    """Say so when the vessel is not cleared for a flame."""
    screening = burn.screened.screening
    if screening is not Screening.CLEARED:
        why = " ".join(told.words.say(reason) for reason in burn.screened.reasons)
        told.warn(f"caution_{screening.value}", vessel=burn.recipe.vessel, why=why)

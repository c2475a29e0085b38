"""A whole studio: its records and its settings, by the path of each file."""

from pathlib import Path
from random import Random
from typing import Final

from handbook_builder.reading.records import read_texts
from handbook_builder.studio.studio import Studio, link
from handbook_builder.verdicts.former import code_on

from . import proofs, shelf, trade
from .sizes import AS_OF, SIZES, Size
from .text import record, told

_ROOT: Final = Path(__file__).resolve().parents[2]


def records_of(size: Size, seed: int = 1) -> dict[str, str]:
    """Return the text of every record by its path below `records/`; the same for the same seed."""
    rng = Random(f"studio {seed}")  # noqa: S311 -- drawn anew from a seed
    jars = shelf.vessels(rng, size)
    files = shelf.items_of(rng, size, jars)
    bills, store = trade.purchases(rng, size, jars)
    recipes = proofs.recipes(rng, size, jars)
    for one in recipes:
        files[f"recipes/{one.id}.md"] = proofs.record_of(rng, size, one)
        files |= proofs.burns_of(rng, size, one, store.of(one, one.poured))
    made = trade.batches(rng, size, recipes)
    files |= bills | {"studio.md": _house(size)}
    studio = _linked(files)
    for batch in made:
        code = code_on(studio, batch.recipe.id, batch.on)
        files[f"batches/{batch.id}.md"] = trade.batch_record(rng, batch, store, code)
    return files | trade.incidents(rng, size, made, store)


def _linked(files: dict[str, str]) -> Studio:
    """Return the studio before its first batch, whose code only the program can reckon."""
    early = {path: text.encode() for path, text in files.items()}
    early["studio.md"] = early["studio.md"].replace(b"\nincidents:", b"\n# incidents:")
    studio, faults = link(read_texts(early))
    if studio is None:
        raise AssertionError(faults[:5])
    return studio


def _house(size: Size) -> str:
    keys = {
        "name": "Lantern Shed Studio",
        "currency": "EUR",
        "units": "both",
        "markets": "[eu, gb]",
        "protocol": "default",
        "labour": "18.00",
        "overhead": "0.55",
        "wholesale_multiple": "2.0",
        "retail_multiple": "4.0",
        "costing": "newest",
        "pitcher_loss": "2 %",
        "breakage": "3 %",
        "contact": '"hello@lantern-shed.example, +00 000 0000"',
        "languages": "{eu: [en]}",
        "address": '"Lantern Shed Studio, 1 Example Lane, 0000 Exampleton"',
        "incidents": size.incidents,
        "lot_tolerance": "2 %",
        "cycles_a_day": 1,
        "minutes_a_cycle": "8 min",
    }
    return record(keys, f"An invented studio.\n\n{told(Random(1))}")  # noqa: S311 -- as above


def write(folder: Path, name: str, seed: int = 1) -> None:
    """Write the studio of a size into an empty or new folder."""
    for path, text in records_of(SIZES[name], seed).items():
        file = folder / "records" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, "utf-8")
    settings = (_ROOT / "mkdocs.yml").read_text("utf-8")
    settings = settings.replace("docs_dir: site_templates/guides", "docs_dir: guides")
    settings = settings.replace("2026-05-01", str(AS_OF))
    (folder / "guides").mkdir(exist_ok=True)
    (folder / "mkdocs.yml").write_text(settings, "utf-8")

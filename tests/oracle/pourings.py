"""More batches and an incident for a generated studio, about days on which a rule may turn."""

from collections.abc import Mapping
from datetime import timedelta
from random import Random

from .match import net_fill, oil_shares, recipe_waxes
from .pantry import START
from .read import Book, Record, amounts, read, split
from .spell import write

MADE = 6


def with_batches(files: Mapping[str, str], seed: int) -> dict[str, str]:
    """Return the records with a batch of every recipe, and in half of them one more incident.

    The incident is dated back now and then, and told on its day, later, or with no day.
    """
    book, rng = read(files), Random(seed)  # noqa: S311 - a repeatable draw, nothing secret
    changed = dict(files)
    for name in sorted(book["recipes"]):
        on = START + timedelta(days=rng.randrange(20, 120))
        batch = {"recipe": name, "on": str(on), "made": str(MADE), "by": "ash", "lots": {}}
        batch["weighed"] = _weighed(book, book["recipes"][name])
        changed[f"batches/more-{name}.md"] = _written(batch)
    if rng.random() < 0.5:
        changed |= with_incident(read(changed), changed, rng)
    return changed


def _weighed(book: Book, recipe: Record) -> dict[str, str]:
    """Return what goes into a pitcher for so many candles, to the letter of the recipe."""
    net, oils = net_fill(book, recipe) * MADE, oil_shares(recipe)
    dyes = amounts(recipe.get("colorant"))
    wax_g = net * (1 - sum(oils.values())) / (1 + sum(dyes.values()))
    grams = {f"waxes/{name}": share * wax_g for name, share in recipe_waxes(recipe).items()}
    grams |= {f"fragrances/{name}": share * net for name, share in oils.items()}
    grams |= {f"colorants/{name}": share * wax_g for name, share in dyes.items()}
    return {item: f"{float(mass):.4f} g" for item, mass in grams.items()}


def with_incident(book: Book, files: Mapping[str, str], rng: Random) -> dict[str, str]:
    """Return what changes when an incident is written down: its record, and the count of them."""
    number = len(book.get("incidents", {})) + 1
    incident = {"number": str(number), "what": "a complaint"} | _about(book, rng)
    studio = book["studio"]["studio"] | {"incidents": str(number)}
    return {
        f"incidents/more-{number}.md": _written(incident),
        "studio.md": write(studio, rng, split(files["studio.md"])[1]),
    }


def _about(book: Book, rng: Random) -> Record:
    kinds = ("recipes", "recipes", "batches", "waxes", "vessels", "wicks", "fragrances")
    kind = rng.choice([one for one in kinds if book.get(one)])
    about = f"{kind}/{rng.choice(sorted(book[kind]))}"
    on = START + timedelta(days=rng.randrange(-10, 130))
    told: Record = {"on": str(on), "about": about}
    if kind in {"waxes", "vessels", "wicks", "fragrances"} and rng.random() < 0.6:
        told["lot"] = rng.choice(_lots(book, about))
    late = on + timedelta(days=rng.choice([0, 3, 30, 60]))
    if rng.random() < 0.5:
        told["told"] = str(late)
    if rng.random() < 0.6:
        told["closed"] = {"on": str(late + timedelta(days=5)), "finding": "nothing found"}
    return told


def _lots(book: Book, about: str) -> list[str]:
    lines = [line for bill in book["purchases"].values() for line in bill["lines"]]
    return sorted({line["lot"] for line in lines if line["item"] == about and "lot" in line})


def _written(record: Record) -> str:
    return write(record, Random(0))  # noqa: S311 - a repeatable draw

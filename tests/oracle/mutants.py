"""Every change of a kind that can be made to a studio's records, one at a time.

Each function takes the files and returns, under a name for what was done, the changed files.
"""

from collections.abc import Mapping
from datetime import date
from random import Random

from .gone import letters
from .match import recipe_waxes, spec_days
from .read import Book, Record, amounts, read, split
from .spell import write

Files = dict[str, str]
Mutants = dict[str, Files]
VESSEL_NEEDS = {"material", "supplier", "use", "inside_diameter", "fill"}


def _with(files: Mapping[str, str], path: str, record: Record) -> Files:
    """Return the files with one record's front matter written anew."""
    told = split(files[path])[1] if path in files else ""
    return dict(files) | {path: write(record, Random(0), told)}  # noqa: S311 - a repeatable draw


def _burns(files: Mapping[str, str]) -> dict[str, Record]:
    return read(files).get("burns", {})


def voided(files: Mapping[str, str]) -> Mutants:
    """Return the files with a void added to each candle, from its pouring on."""
    void = {"why": "a draught", "by": "ash"}
    return {
        f"void {name}": _with(
            files, f"burns/{name}.md", burn | {"void": void | {"on": burn["made"]["on"]}}
        )
        for name, burn in _burns(files).items()
        if "void" not in burn
    }


def _next_letter(book: Book, recipe: str) -> str:
    taken = {burn["candle"] for burn in book["burns"].values() if burn["recipe"] == recipe}
    free = letters(len(taken) + 1) - taken
    return min(free, key=lambda letter: (len(letter), letter))


def _counted(files: Files, name: str) -> Files:
    """Return the files with every count raised that a further burn like this one would raise."""
    book = read(files)
    burn = book["burns"][name]
    for other, record in book["burns"].items():
        alike = (record["recipe"], record["made"]["on"]) == (burn["recipe"], burn["made"]["on"])
        if alike:
            made = record["made"] | {"candles": str(int(record["made"]["candles"]) + 1)}
            files = _with(files, f"burns/{other}.md", record | {"made": made})
    recipe = book["recipes"][burn["recipe"]]
    count = int(recipe.get("test_candles", "0")) + 1
    raised = recipe | {"test_candles": str(count)}
    return _with(files, f"recipes/{burn['recipe']}.md", raised)


def copied(files: Mapping[str, str]) -> Mutants:
    """Return the files with a copy of each burn under a new letter, counts raised and not."""
    book, told = read(files), {}
    for name, burn in _burns(files).items():
        twin = burn | {"candle": _next_letter(book, burn["recipe"])}
        more = _with(files, f"burns/{name}-again.md", twin)
        told[f"copy {name}"] = more
        told[f"copy and count {name}"] = _counted(more, name)
    return told


def removed(files: Mapping[str, str]) -> Mutants:
    """Return the files with each file gone, under its path."""
    return {path: {k: v for k, v in files.items() if k != path} for path in files}


def truncated(files: Mapping[str, str], rng: Random) -> Mutants:
    """Return the files with each file cut off somewhere, under its path."""
    return {
        path: dict(files) | {path: text[: rng.randrange(len(text))]} for path, text in files.items()
    }


def items_of(recipe: Record) -> list[tuple[str, str]]:
    """Return kind and id of each item that makes the candle what it is."""
    waxes = [("waxes", name) for name in recipe_waxes(recipe)]
    oils = [("fragrances", name) for name in amounts(recipe.get("fragrance"))]
    dyes = [("colorants", name) for name in amounts(recipe.get("colorant"))]
    return [("vessels", recipe["vessel"]), ("wicks", recipe["wick"]), *waxes, *oils, *dyes]


def respecified(files: Mapping[str, str], recipe: str, day: date) -> Mutants:
    """Return the files with the specification of each item of a recipe raised on a day."""
    book, told = read(files), {}
    for kind, name in items_of(book["recipes"][recipe]):
        item = book[kind][name]
        days = sorted([*spec_days(item), str(day)])
        raised = {"spec": str(len(days) + 1), "spec_since": days}
        told[f"raise {kind}/{name}"] = _with(files, f"{kind}/{name}.md", item | raised)
    return told


def less_said(files: Mapping[str, str]) -> dict[tuple[str, str], Files]:
    """Return the files with each optional key of each vessel left out, under vessel and key."""
    return {
        (name, key): _with(
            files, f"vessels/{name}.md", {k: v for k, v in vessel.items() if k != key}
        )
        for name, vessel in read(files)["vessels"].items()
        for key in vessel.keys() - VESSEL_NEEDS
    }


# what may be learned of an item later; each in the one order of heat with what is on file
LATER_FACTS: dict[str, list[Record]] = {
    "waxes": [
        {"liquid_density": {"density": "0.71 g/mL", "at": "75 degC"}},
        {"melt_point": "51 degC"},
        {"flash_point": "250 degC"},
        {"heat_to": "85 degC"},
        {"heat_to": "85 degC", "add_at": "80 degC", "pour_at": "62 degC"},
    ],
    "fragrances": [{"flash_point": "93 degC"}],
    "colorants": [{"density": "1.2 g/mL"}],
}


def better_known(files: Mapping[str, str]) -> Mutants:
    """Return the files with a density or a temperature added to each item, or a price."""
    book, told = read(files), {}
    for kind, facts in LATER_FACTS.items():
        for name, item in book.get(kind, {}).items():
            for fact in facts:
                if not fact.keys() & item.keys():
                    label = f"{', '.join(fact)} of {kind}/{name}"
                    told[label] = _with(files, f"{kind}/{name}.md", item | fact)
    weighed = {"waxes", "fragrances", "colorants"}
    for kind in ("vessels", "waxes", "wicks", "fragrances", "colorants", "packaging"):
        for name in book.get(kind, {}):
            size = "500 g" if kind in weighed else "12"
            line = {"item": f"{kind}/{name}", "quantity": size, "price": "30.00"}
            bill = {"supplier": min(book["suppliers"]), "on": "2026-01-02", "lines": [line]}
            told[f"price of {kind}/{name}"] = _with(files, "purchases/later.md", bill)
    return told

"""Seeded small studios: valid records, rich in the cases that decide a verdict."""

from collections.abc import Iterator
from datetime import date, timedelta
from random import Random

from . import pantry
from .draw import Draw
from .honest import mend
from .house import own_protocol
from .match import load_on_wax, net_fill, oil_shares, recipe_waxes
from .pour import LOTS, candle, lots_by, made_for
from .protocol import protocol_of
from .read import Book, Record, amounts
from .shelf import vessel
from .spell import Pen, write
from .twice import copy_readings, write_twice

PLANS = {"proved": 76, "one fails": 5, "mixed": 11, "few": 4, "none": 4}
FATES = {
    "clean": 20,
    "near": 20,
    "fails": 18,
    "gaps": 30,
    "burning": 6,
    "void": 5,
    "misuse": 5,
    "ladder": 5,
    "odd": 5,
}


def _studio_and_items(draw: Draw) -> None:
    rng, pen = draw.rng, draw.pen
    own = draw.chance(0.3)
    units = rng.choice(["metric", "us", "both"])
    studio: Record = {"name": "North Window", "currency": "EUR", "units": units}
    studio |= {"markets": ["eu"], "protocol": "bench" if own else "default"}
    draw.add("studio", "studio", studio)
    if own:
        draw.add("protocols", "bench", own_protocol(rng))
    for name, record in pantry.SUPPLIERS.items():
        draw.add("suppliers", name, dict(record))
    draw.add("helpers", "ash", {"may": ["burn"]})
    for index in range(rng.choice([1, 2, 2, 3])):
        draw.add("vessels", f"vessel-{index + 1}", vessel(rng, pen, protocol_of(draw.book)))
    for index in range(2):
        draw.add("waxes", f"wax-{index + 1}", pantry.wax(rng, pen))
        draw.add("wicks", f"braid-{2 * index + 6}", pantry.wick(rng, index + 3))
        draw.add("fragrances", f"oil-{index + 1}", pantry.fragrance(rng, pen))
        draw.add("colorants", f"dye-{index + 1}", {"form": "flakes"})
    draw.add("packaging", "lid", {"form": "lid"})


def _purchases(draw: Draw) -> None:
    """Buy a first lot of everything before the tests, and a second among them.

    Now and then the first lot is bought once more.
    """
    sizes = {"waxes": "10 kg", "fragrances": "900 g", "vessels": "48", "wicks": "200"}
    for index, days in enumerate([-40, draw.rng.choice([2, 9, 20, 30, 35, 40, 45])]):
        lines = [
            {"item": f"{kind}/{name}", "quantity": size, "price": "62.00", "lot": LOTS[index]}
            for kind, size in sizes.items()
            for name in draw.ids(kind)
        ]
        if index and draw.chance(0.15):
            lines.append(lines[0] | {"lot": LOTS[0]})
        bill = {"supplier": "wick-and-wax", "lines": lines}
        on = str(pantry.START + timedelta(days=days))
        draw.add("purchases", f"bill-{index + 1}", bill | {"on": on})


def _fresh_recipe(draw: Draw) -> Record:
    """Return a recipe drawn from the items on file."""
    rng, pen = draw.rng, draw.pen
    waxes = draw.ids("waxes")
    recipe: Record = {
        "title": rng.choice(["Cedar evening", "Salt: and sand", "No. 4"]),
        "vessel": rng.choice(draw.ids("vessels")),
        "wax": rng.choice(waxes),
        "wick": rng.choice(draw.ids("wicks")),
        "fragrance": "none",
        "load_basis": rng.choice(["wax", "wax", "total"]),
        "fill": rng.choice(["to_line", "to_line", "200 g", pen.mass(rng.uniform(150, 210))]),
    }
    if draw.chance(0.3):
        recipe["wax"] = rng.choice([{waxes[0]: "70 %", waxes[1]: "30 %"}, {waxes[0]: "100 %"}])
    hot = all("liquid_density" in draw.book["waxes"][wax] for wax in recipe_waxes(recipe))
    if hot and draw.chance(0.3):
        recipe["fill"] = "to_line_hot"
    if draw.chance(0.9):
        load = rng.choice([0.06, 0.07, 0.08, 0.08, 0.1])
        oils = draw.ids("fragrances")
        recipe["fragrance"] = {rng.choice(oils): pen.share(load)}
        if draw.chance(0.25):
            part = rng.choice([0.4, 0.4, 0.02])  # of the second oil only a trace, now and then
            both = {oils[0]: load * (1 - part), oils[1]: load * part}
            recipe["fragrance"] = {oil: pen.share(share) for oil, share in both.items()}
    if draw.chance(0.25):
        dyes = rng.sample(draw.ids("colorants"), rng.choice([1, 1, 2]))
        shares = [0.0005, 0.001, 0.002, 0.005]
        recipe["colorant"] = {dye: pen.share(rng.choice(shares), 2) for dye in dyes}
    if draw.chance(0.15):
        recipe["wicks"] = rng.choice(["1", "2"])
    if draw.chance(0.4):
        recipe["packaging"] = {"lid": "1"}
    return recipe


def _twin(draw: Draw, model: Record) -> Record:
    """Return the same combination in the other load basis, under another title."""
    twin: Record = dict(model) | {"title": "Same again"}
    if isinstance(model["fragrance"], dict):
        oils = amounts(model["fragrance"])
        total = sum(oils.values())
        if model["load_basis"] == "wax":
            shares, twin["load_basis"] = oil_shares(model), "total"
        else:
            load = load_on_wax(model)
            shares, twin["load_basis"] = {k: load * v / total for k, v in oils.items()}, "wax"
        twin["fragrance"] = {k: draw.pen.share(float(v), 12) for k, v in shares.items()}
    twin["fill"] = draw.pen.mass(float(net_fill(draw.book, model)), 9)
    return twin


def _neighbour(draw: Draw, model: Record) -> Record:
    """Return a recipe that differs a little from the model: in load, in fill or in the wick."""
    near = dict(model) | {"title": "Nearly the same"}
    way = draw.rng.choice(["load", "fill", "wick"])
    if way == "load" and isinstance(model["fragrance"], dict):
        oils, step = amounts(model["fragrance"]), draw.rng.choice([0.0015, 0.003, 0.0055])
        first = min(oils)
        shares = {k: float(v) + (step if k == first else 0) for k, v in oils.items()}
        near["fragrance"] = {k: draw.pen.share(v, 4) for k, v in shares.items()}
    elif way == "wick":
        near["wick"] = draw.rng.choice(draw.ids("wicks"))
    else:
        factor = draw.rng.choice([1.012, 1.03, 1.06])
        near["fill"] = draw.pen.mass(float(net_fill(draw.book, model)) * factor, 3)
    return near


def _recipes(draw: Draw) -> None:
    first = _fresh_recipe(draw)
    draw.add("recipes", "candle-1", first)
    for index in range(draw.rng.choice([0, 1, 1, 2])):
        way = draw.rng.choice([_twin, _neighbour, None])
        recipe = way(draw, first) if way else _fresh_recipe(draw)
        draw.add("recipes", f"candle-{index + 2}", recipe)


def _fates(draw: Draw, needed: int) -> list[str]:
    """Return what is to become of each candle of a recipe."""
    plan = draw.rng.choices(list(PLANS), list(PLANS.values()))[0]
    good = draw.rng.choices(["clean", "near"], k=needed)
    extra = draw.rng.choices(
        ["void", "burning", "gaps", "clean", "misuse", "ladder", "odd"],
        [3, 3, 2, 3, 3, 3, 1],
        k=draw.rng.choice([0, 0, 0, 1, 2]),
    )
    mixed = draw.rng.choices(list(FATES), list(FATES.values()), k=draw.rng.randrange(1, 7))
    plans = {
        "proved": [*good, *extra],
        "one fails": [*good, "fails"],
        "mixed": mixed,
        "few": good[:-1],
        "none": [],
    }
    fates = plans[plan][:6]
    if draw.chance(0.5):
        draw.rng.shuffle(fates)
    return fates


def _pourings(draw: Draw, count: int) -> Iterator[tuple[date, int]]:
    """Return for each candle its pouring day and how many were poured on it."""
    poured = pantry.START + timedelta(days=draw.rng.randrange(0, 15))
    left = count
    while left:
        size = left if draw.chance(0.6) else draw.rng.randrange(1, left + 1)
        for _ in range(size):
            yield poured, size
        left -= size
        poured += timedelta(days=draw.rng.choice([1, 14, 30]))


def _burns(draw: Draw) -> None:
    needed = int(protocol_of(draw.book)["test_candles"])
    for name, recipe in sorted(draw.book["recipes"].items()):
        fates = _fates(draw, needed)
        for index, (poured, size) in enumerate(_pourings(draw, len(fates))):
            # a failed candle off the mark shows how far bad news reaches
            stray = draw.chance(0.5 if fates[index] == "fails" else 0.07)
            model = recipe
            if draw.chance(0.03):  # poured for another recipe than it is filed under
                model = draw.book["recipes"][draw.rng.choice(draw.ids("recipes"))]
            made = made_for(draw, model, poured, stray=stray) | {"candles": str(size)}
            letter = "ABCDEF"[index]
            burn = {"recipe": name, "candle": letter}
            burn |= candle(draw, made, fates[index])
            draw.add("burns", f"{name}-{letter.lower()}", burn)
        _lose_one(draw, name, recipe)


def _lose_one(draw: Draw, name: str, recipe: Record) -> None:
    """Let the paper trail of a recipe break, now and then: a record, a number or a letter."""
    filed = [
        burn for burn, record in draw.book.get("burns", {}).items() if record["recipe"] == name
    ]
    if filed and draw.chance(0.035):
        way, burn = draw.rng.choice(["gone", "number", "letter"]), draw.rng.choice(filed)
        if way == "gone":
            del draw.book["burns"][burn]
        elif way == "number":
            draw.book["burns"][burn]["made"]["candles"] = "6"
        else:
            draw.book["burns"][burn]["candle"] = draw.rng.choice("BCG")
    if draw.chance(0.7):
        recipe["test_candles"] = "0"  # counted in the end


def _late(draw: Draw) -> str:
    return str(pantry.START + timedelta(days=draw.rng.randrange(5, 100)))


def _retire(draw: Draw) -> None:
    for recipe in draw.book["recipes"].values():
        if draw.chance(0.05):
            recipe["retired"] = _late(draw)


def _batches_and_incidents(draw: Draw) -> None:
    for name, recipe in sorted(draw.book["recipes"].items()):
        if draw.chance(0.3):
            on = _late(draw)
            wax = f"waxes/{min(recipe_waxes(recipe))}"
            lots = lots_by(draw, [wax], date.fromisoformat(on))
            batch = {"recipe": name, "on": on, "made": "12", "by": "ash", "lots": lots}
            draw.add("batches", f"{name}-batch", batch)
    count = draw.rng.choices([0, 1, 2], [76, 19, 5])[0]
    for index in range(count):
        incident = _incident(draw) | {"number": str(index + 1), "what": "a complaint"}
        draw.add("incidents", f"incident-{index + 1}", incident)
    if count or draw.chance(0.5):
        draw.book["studio"]["studio"]["incidents"] = str(count)


def _incident(draw: Draw) -> Record:
    kinds = [*["recipes", "waxes"] * 2, "batches", "vessels", "wicks", "fragrances", "colorants"]
    kind = draw.rng.choice([k for k in [*kinds, "packaging"] if draw.ids(k)])
    name = draw.rng.choice(draw.ids(kind))
    on = _late(draw)
    if kind == "batches":  # a batch cannot be complained of before it was poured
        on = max(on, draw.book["batches"][name]["on"])
    about = f"{kind}/{name}"
    incident: Record = {"about": about, "on": on}
    lots = lots_by(draw, [about], date.fromisoformat(on))
    if lots and draw.chance(0.65):
        incident["lot"] = lots[about]
    if draw.chance(0.35):
        closed = date.fromisoformat(on) + timedelta(days=draw.rng.choice([1, 20]))
        incident["closed"] = {"on": str(closed), "finding": "nothing found"}
    return incident


def _told_later(book: Book, rng: Random) -> None:
    """Let every third incident be told some days after it was, by a draw of its own."""
    for one in book.get("incidents", {}).values():
        told = date.fromisoformat(one["on"]) + timedelta(days=rng.choice([0, 1, 12, 40]))
        last = one.get("closed", {}).get("on", str(told))
        if rng.random() < 0.4:
            one["told"] = min(str(told), last)


def _as_of(draw: Draw) -> date:
    """Return a day after nearly everything, or one among the tests."""
    if draw.chance(0.8):
        return pantry.START + timedelta(days=150)
    return pantry.START + timedelta(days=draw.rng.randrange(0, 90))


def texts(book: Book, rng: Random) -> dict[str, str]:
    """Return the record files of a book, in random order and style."""
    files = [
        ("studio.md" if kind == "studio" else f"{kind}/{name}.md", write(record, rng))
        for kind, records in book.items()
        for name, record in records.items()
    ]
    rng.shuffle(files)
    return dict(files)


def draw_book(seed: int) -> tuple[Draw, date]:
    """Return a drawn studio, its records still as maps of strings, and the as-of day."""
    rng = Random(seed)  # noqa: S311 - a repeatable draw, nothing secret
    draw = Draw(rng, Pen(rng))
    _studio_and_items(draw)
    _purchases(draw)
    _recipes(draw)
    _burns(draw)
    copy_readings(draw)
    write_twice(draw)
    _retire(draw)
    _batches_and_incidents(draw)
    mend(draw.book)
    _told_later(draw.book, Random(seed))  # noqa: S311 - a repeatable draw, nothing secret
    return draw, _as_of(draw)


def studio(seed: int) -> tuple[dict[str, str], date]:
    """Return the record texts of a small valid studio, by path, and an as-of day."""
    draw, day = draw_book(seed)
    return texts(draw.book, draw.rng), day

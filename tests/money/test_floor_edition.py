"""The floor edition of the demo holds no price, cost or margin, no supplier and no recipient."""

import json
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from PIL import Image

from handbook_builder.reports.figures import report
from handbook_builder.reports.plain import as_json
from handbook_builder.workshop import account_in, words_for, words_text_for
from tests.money.by_hand import book_of
from tests.money.floor import (
    ROOT,
    amounts_in,
    build,
    files_of,
    mkdocs,
    names_in,
    plain,
    studio_in,
    tellings,
    told_by,
)
from tests.pages.conftest import DAY

BOOK = book_of(ROOT / "records")
SUPPLIERS = sorted(BOOK["suppliers"])
BILLS = sorted(BOOK["purchases"])
RECIPIENTS = sorted(
    {one["to"] for batch in BOOK["batches"].values() for one in batch.get("given", [])}
)
SUMS = ("price", "freight", "duty", "labour", "overhead")


class Sites(NamedTuple):
    """The two editions of one build."""

    owner: Path
    floor: Path


@pytest.fixture(scope="module")
def sites(tmp_path_factory: pytest.TempPathFactory) -> Sites:
    """Return both editions of the demo, from one command."""
    folder = tmp_path_factory.mktemp("editions")
    studio = studio_in(folder / "studio")
    done = build(studio)
    assert (done.returncode, done.stderr) == (0, "")
    return Sites(studio / "site", studio / "site-floor")


def written(value: Any, keys: tuple[str, ...] = SUMS) -> Iterator[str]:  # noqa: ANN401
    """Yield every sum of money in the records, as it is written there."""
    if isinstance(value, dict):
        for key, one in value.items():
            if key in keys and isinstance(one, str):
                yield one
            else:
                yield from written(one, keys)
    elif isinstance(value, list):
        for one in value:
            yield from written(one, keys)


def reckoned(told: dict[str, Any]) -> Iterator[str]:
    """Yield every sum that the program works out: costs, lines, prices, what is left of them."""
    keys = (
        "unit_cost", "price", "freight", "duty", "left", "cost", "each", "change", "hour_cost",
        "hour_price", "hour_left", "price_for_same_margin", "landed_cost", "least", "most",
    )  # fmt: skip
    yield from written(told, keys)
    for product in told["products"].values():
        yield from product["cost_lines"].values()


def measured(value: Any) -> Iterator[float]:  # noqa: ANN401
    """Yield every number that `figures --json` tells as one: no sum is, they are all text."""
    if isinstance(value, float):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from measured(one)
    elif isinstance(value, list):
        for one in value:
            yield from measured(one)


def spelled(amounts: set[Decimal]) -> set[str]:
    """Return the amounts as people write them: to the coin, and to the hundredth of one."""
    return {f"{abs(one):.{digits}f}" for one in amounts if one for digits in (2, 4)}


RECORDED = spelled({Decimal(one) for one in written(BOOK)})


@pytest.fixture(scope="module")
def amounts() -> list[str]:
    """Return every sum of the demo, in the ways that people write it.

    A sum that is also a burn rate of the demo is left out: tables show rates without their unit.
    """
    account, problems = account_in(ROOT / "records", DAY)
    assert account is not None, problems
    words = words_for(account.studio, words_text_for(ROOT))
    told = json.loads(as_json(report(account, words.say)))
    rates = {f"{one:.2f}" for one in measured(told)}
    found = (RECORDED | spelled({Decimal(one) for one in reckoned(told)})) - rates
    assert len(found) > 1000
    assert len(RECORDED - rates) > 60
    return sorted(found)


def test_one_command_builds_both(sites: Sites) -> None:
    """The floor edition has every page of the owner's but money, notices, buyers and suppliers.

    Lots have names of their own there, by the day of their delivery. So do batches, by which a
    recall would call them.
    """
    owner, floor = ({path for path, _ in files_of(site)} for site in sites)
    lots = [{path for path in one if path.startswith("lots/")} for one in (owner, floor)]
    notices = {f"papers/incident-{number}/notice.html" for number in (3, 4)}
    named = {path for path in owner if path.startswith(("buyers/", "suppliers/"))}
    assert len(named) > len(SUPPLIERS)
    money = {"money/index.html", "money/prices.html"}
    # A letter of a supplier's beside its bill is for the owner alone.
    lying = {"attachments/purchases/2026-02-26-cedar-oil/delivery-note-2026-02-26.txt"}
    assert owner - lots[0] - floor == money | notices | named | lying
    assert floor - lots[1] <= owner
    assert len(lots[0]) == len(lots[1]) > 10
    assert "lots/waxes-soy-blend--2025-06-12.html" in lots[1]


def test_no_name_is_in_the_floor_edition(sites: Sites) -> None:
    """No supplier, bill or recipient: not in a page, the index, data, a comment or an address.

    Bills of the demo are called by day and kind; the search has the lots of a day and a kind.
    """
    names = [*SUPPLIERS, *BILLS, *RECIPIENTS]
    assert len(names) > 30
    found = {
        path: hits
        for path, text in files_of(sites.floor)
        if (hits := names_in(f"{path} {text}", names if "search_" not in path else
                             [*SUPPLIERS, *RECIPIENTS]))
    }  # fmt: skip
    assert found == {}


def test_the_owners_edition_has_them(sites: Sites, amounts: list[str]) -> None:
    """The search above finds what it looks for: each supplier, recipient and many a sum."""
    whole = " ".join(text for _, text in files_of(sites.owner))
    assert set(names_in(whole, [*SUPPLIERS, *RECIPIENTS])) == {*SUPPLIERS, *RECIPIENTS}
    told = "\n".join(text for _, text in tellings(sites.owner))
    assert len(set(amounts_in(told, amounts))) > 500


def test_no_sum_is_in_the_floor_edition(sites: Sites, amounts: list[str]) -> None:
    """No price, cost or line of one is told by any page, by the index, or by any data file.

    The guides are hand-written, and have numbers of their own as examples: they are searched for
    the sums on file, and not for all that could be worked out.
    """
    found = {
        path: sorted(set(hits))
        for path, text in tellings(sites.floor)
        if (hits := amounts_in(text, sorted(RECORDED) if path.startswith("guides/") else amounts))
    }
    assert found == {}


def test_nothing_speaks_of_money(sites: Sites) -> None:
    """No amount in the studio's currency, and outside of the guides no word of margin or cost."""
    money = re.compile(r"\d[\s\u00a0]*(?:EUR|€|euros?)\b|(?:EUR|€)[\s\u00a0]*\d", re.IGNORECASE)
    words = re.compile(r"\b(?:margin|markup|wholesale|retail|landed|freight)\b", re.IGNORECASE)
    for path, text in files_of(sites.floor):
        if not path.startswith("assets/"):
            assert not money.search(text), path
        if path.endswith(".html") and not path.startswith(("guides/", "reference/problems")):
            assert not words.search(told_by(text)), path
            assert "money/" not in text, path


def test_each_edition_says_which_it_is(sites: Sites) -> None:
    """A page that lies about tells whether it may be handed out."""
    floor, owner = ((site / "index.html").read_text("utf-8") for site in (sites.floor, sites.owner))
    assert "Floor edition" in floor
    assert "Owner's edition" in owner
    assert "Owner's edition" not in floor


# Nothing of it leaks in another shape --------------------------------------------------------


def other_money(text: str) -> str:
    """Return a record with other sums, names and losses, line by line where it was."""

    def dearer(found: re.Match[str]) -> str:
        return f"{found[1]}{Decimal(found[2]) * 3 + Decimal('7.31')}"

    text = re.sub(r"(\b(?:price|freight|duty|labour|overhead): )(\d+(?:\.\d+)?)", dearer, text)
    text = re.sub(r"(\b(?:wholesale|retail)_multiple: )\S+", r"\g<1>7.5", text)
    text = re.sub(r"(\bbreakage: )\d+ %", r"\g<1>9 %", text)
    text = re.sub(r"(\bminutes_a_cycle: )\d+", r"\g<1>31", text)
    text = re.sub(r"(\bdistance: |\blead_time: |\bminimum_order: )\S+", r"\g<1>99", text)
    for number, name in enumerate(SUPPLIERS):
        text = text.replace(name, f"other-house-{9 - number}")
    for number, name in enumerate(RECIPIENTS):
        text = text.replace(f'"{name}"', f'"somebody quite unlike {9 - number}"')
    return text


def other_ids() -> dict[str, str]:
    """Return another id for every batch, bill and incident, and another name for every lot.

    Each carries the name of a recipient, and they are in another order than before.
    """
    told = [re.sub(r"\W+", "-", name.lower()) for name in RECIPIENTS]
    ids = [one for kind in ("batches", "purchases", "incidents") for one in sorted(BOOK[kind])]
    lots = {
        line["lot"]
        for bill in BOOK["purchases"].values()
        for line in bill["lines"]
        if "lot" in line
    }
    ids += sorted(lots)
    return {old: f"{told[number % len(told)]}-{999 - number}" for number, old in enumerate(ids)}


def with_other_ids(text: str, ids: dict[str, str]) -> str:
    """Return a record in which everything is called by its other name."""
    longest = sorted(ids, key=len, reverse=True)
    every = "|".join(map(re.escape, longest))
    return re.sub(rf"(?<![\w-])(?:{every})(?![\w-])", lambda hit: ids[hit.group()], text)


def test_other_money_makes_the_same_floor_edition(
    sites: Sites, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Nothing of any sum, supplier or recipient is in the floor edition, in whatever shape.

    With every one of them changed, and every batch, bill, incident and lot named for somebody, it
    is the same file by file and byte by byte, drawings and theme included. So it is with a key of
    the maker's own in every record, and a letter beside one.
    """
    studio = studio_in(tmp_path_factory.mktemp("other") / "studio")
    changed, ids = 0, other_ids()
    for path in sorted((studio / "records").rglob("*.md")):
        old = path.read_text("utf-8")
        new = with_other_ids(other_money(old), ids)
        if path.parent.name in ("purchases", "suppliers"):
            new += "Something else is told here.\n"
        new = new.replace("\n---\n", f"\nx-told: {path.stem} for 62.00 EUR\n---\n", 1)
        changed += new != old
        name = other_money(path.stem) if path.parent.name == "suppliers" else path.stem
        if path.parent.name in ("batches", "purchases", "incidents"):
            name = ids[path.stem]
        path.unlink()
        path.with_name(f"{name}.md").write_text(new, "utf-8")
        if path.with_suffix("").is_dir():  # what lies beside it
            path.with_suffix("").rename(path.with_name(name))
    assert changed > 40
    (studio / "records/burns/cedar-fig-a/letter.txt").write_text("61.30 EUR", "utf-8")
    done = build(studio, "--edition", "floor")
    assert (done.returncode, done.stderr) == (0, "")
    assert not (studio / "site").exists()
    ours, theirs = (dict(files_of(one)) for one in (sites.floor, studio / "site-floor"))
    assert ours.keys() == theirs.keys()
    assert [path for path in ours if ours[path] != theirs[path]] == []


def test_what_people_wrote_is_withheld(tmp_path_factory: pytest.TempPathFactory) -> None:
    """A note, a story and a photo of a bill: names and sums are left out, the rest is told."""
    studio = studio_in(tmp_path_factory.mktemp("told") / "studio")
    recipe = studio / "records/recipes/cedar-fig.md"
    recipe.write_text(
        recipe.read_text("utf-8")
        + "\nGlass from Valley Vessel Stores at 111.60 for six dozen, or 1,95 EUR each, and €2.20"
        " last year. Sold to the Bookshop in the Lane. The pool was 111.60 mm wide.\n",
        "utf-8",
    )
    for folder in ("purchases", "burns"):
        Image.new("RGB", (8, 6), "ivory").save(studio / f"records/{folder}/pool.png")
    Image.new("RGB", (8, 6), "ivory").save(studio / "records/burns/potter-on-the-hill.png")
    assert build(studio, "--edition", "floor", "--site", studio / "handout").returncode == 0
    floor = studio / "handout"
    told = plain(told_by((floor / "products/cedar-fig.html").read_text("utf-8")))
    assert (
        plain(
            "Glass from a supplier at an amount for six dozen, or an amount each, and an amount "
            "last year. Sold to someone outside the studio. The pool was 111.60 mm wide."
        )
        in told
    )
    assert sorted(path.name for path in (floor / "photos").rglob("*.png")) == ["pool.png"]
    assert (floor / "photos/burns/pool.png").is_file()


def test_plain_mkdocs_builds_either(tmp_path_factory: pytest.TempPathFactory) -> None:
    """With `edition: floor` in mkdocs.yml, plain MkDocs writes that edition.

    A table in the folder of the guides could be a price list, and is not handed out.
    """
    studio = studio_in(tmp_path_factory.mktemp("plain") / "studio")
    config = studio / "mkdocs.yml"
    text = config.read_text("utf-8")
    config.write_text(text.replace("as_of:", "edition: floor\n      as_of:"), "utf-8")
    (studio / "site_templates/guides/prices.csv").write_text("wax, 1\n", "utf-8")
    done = mkdocs(studio)
    assert done.returncode == 0, done.stderr
    assert "Floor edition" in (studio / "site/index.html").read_text("utf-8")
    assert not (studio / "site/money").exists()
    assert not list((studio / "site").rglob("prices.csv"))


def test_a_fault_publishes_neither(sites: Sites, tmp_path_factory: pytest.TempPathFactory) -> None:
    """When the floor edition cannot be finished, the owner's is not published either."""
    studio = studio_in(tmp_path_factory.mktemp("fault") / "studio")
    view = studio / "site_templates/views/vessel.html"
    text = view.read_text("utf-8")
    view.write_text(text + "{% if not page.supplier %}{{ page.nothing }}{% endif %}", "utf-8")
    done = build(studio)
    assert done.returncode == 1
    assert "nothing" in done.stderr
    assert [one.name for one in studio.iterdir() if "site" in one.name] == ["site_templates"]
    assert sites.owner.is_dir()

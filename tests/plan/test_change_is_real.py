"""What a change is said to bring down is what it brings down, once the record says it."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Final

import pytest

from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.plan.change import Stock, change_of
from handbook_builder.reading.kinds.making import items_of
from handbook_builder.reading.records import read_texts
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.workshop import studio_from
from tests.trade.stock_by_hand import raw

RECORDS: Final = Path(__file__).parents[2] / "records"
DAY: Final = date(2026, 5, 1)
ITEMS: Final = [
    f"{folder}/{path.stem}"
    for folder in ITEM_FOLDERS
    for path in sorted((RECORDS / folder).glob("*.md"))
]


def texts() -> dict[str, bytes]:
    """Return the records of the demo."""
    return {
        path.relative_to(RECORDS).as_posix(): path.read_bytes()
        for path in sorted(RECORDS.rglob("*.md"))
    }


def account(files: dict[str, bytes]) -> Account:
    """Return what comes of records, which must be without fault."""
    studio, problems = studio_from(read_texts(files, "records/"))
    assert studio is not None, [str(one) for one in problems]
    return account_of(studio, DAY)


def raised(data: bytes) -> bytes:
    """Return an item's record with its `spec` raised on the day, as a maker would write it."""
    text = data.decode()
    spec = re.search(r"(?m)^spec: (\d+)$", text)
    since = re.search(r"(?m)^spec_since: (.*)$", text)
    days = re.findall(r"\d{4}-\d\d-\d\d", since[1]) if since else []
    text = re.sub(r"(?m)^spec(_since)?: .*\n", "", text)
    now = f"spec: {int(spec[1]) + 1 if spec else 2}\nspec_since: [{', '.join([*days, str(DAY)])}]\n"
    return text.replace("---\n", f"---\n{now}", 1).encode()


def lines(product: Product) -> set[tuple[str, str]]:
    """Return what a product lacks, by code and by file: the lines of the item itself moved."""
    return {(one.code, one.place.file) for one in product.missing}


def tuple_of(one: Stock) -> tuple[str, int, int, int]:
    """Return what is told of a batch: its name, and how many were made, are out, are at hand."""
    assert one.made == one.out + one.at_hand
    return (one.batch, one.made, one.out, one.at_hand)


def by_hand(recipe: str) -> list[tuple[str, int, int]]:
    """Return the batches of a recipe with what was made and is out, from the raw records.

    What came back is no longer out.
    """
    found = []
    for ident, batch in raw("batches").items():
        if batch["recipe"] == recipe and batch["on"] <= f"{DAY}":
            given = [one for one in batch.get("given", []) if one["on"] <= f"{DAY}"]
            out = sum(int(one["count"]) * (-1 if one["how"] == "returned" else 1) for one in given)
            found.append((ident, int(batch["made"]), out))
    return found


@pytest.fixture(scope="module")
def before() -> Account:
    """Return the demo as it stands."""
    return account(texts())


@pytest.mark.parametrize("name", ITEMS)
def test_it_is_what_really_happens(before: Account, name: str) -> None:
    """For every item of the demo: each product's status, and what it lacks, one by one."""
    files, item = texts(), Ref(name)
    path = f"{name}.md"
    raised_account = account({**files, path: raised(files[path])})
    after = raised_account.judged.products
    found = change_of(before, item)
    told = {one.product.recipe.source.id: one for one in found.touched}
    holding = {
        ident for ident, one in before.judged.products.items() if item in set(items_of(one.recipe))
    }
    assert told.keys() == holding
    for ident, product in before.judged.products.items():
        if ident not in told:
            assert after[ident].status == product.status
            continue
        one = told[ident]
        assert [tuple_of(batch) for batch in one.stock] == [
            (*batch, raised_account.batches[batch[0]].left) for batch in by_hand(ident)
        ]
        assert one.after == after[ident].status, ident
        assert one.falls == (product.status == Status.APPROVED != after[ident].status)
        assert {(reason.code, reason.place.file) for reason in one.new} == lines(
            after[ident]
        ) - lines(product)
    assert found.spec == before.studio.item(item).spec + 1


def fallen(before: Account) -> Iterator[str]:
    """Yield the items without which something approved would fall."""
    for name in ITEMS:
        if any(one.falls for one in change_of(before, Ref(name)).touched):
            yield name


def test_something_falls_and_something_does_not(before: Account) -> None:
    """Else the comparison above would say little."""
    falls = set(fallen(before))
    assert {"fragrances/cedar-fig-oil", "vessels/amber-tumbler", "waxes/soy-blend"} <= falls
    assert not any(name.startswith("packaging/") for name in falls)
    assert len(falls) < len(ITEMS)


def test_the_order_of_work_is_by_the_margin(before: Account) -> None:
    """Of the soy blend: the nearest to a limit first, each candle once, by hand from the records.

    The tin's wall was read at 62 °C of 70 °C for metal, from a room of 20 °C: (70 - 62) / 50. The
    tumbler's at 64 °C of 75 °C: (75 - 64) / 55.
    """
    found = change_of(before, Ref("waxes/soy-blend"))
    order = [one.what.id for one in found.first]
    assert order.index("unscented-tin") < order.index("cedar-fig") < order.index("black-tea")
    assert "cedar-fig-gift" not in order  # the same candle as cedar-fig
    margins = {one.what.id: one.near.margin for one in found.first if one.near is not None}
    assert margins["unscented-tin"] == pytest.approx(8 / 50)
    assert margins["cedar-fig"] == pytest.approx(11 / 55)
    assert list(margins.values()) == sorted(margins.values())


def test_what_is_out_and_at_hand_is_that_of_the_batches(before: Account) -> None:
    """Batch by batch, as the handbook has them."""
    found = change_of(before, Ref("fragrances/cedar-fig-oil"))
    stock = {batch.batch: batch for one in found.touched for batch in one.stock}
    assert stock.keys() == {
        ident for ident, batch in before.studio.batches.items()
        if "cedar-fig-oil" in before.studio.recipes[batch.recipe].fragrance
    }  # fmt: skip
    for ident, batch in stock.items():
        figures = before.batches[ident]
        assert (batch.made, batch.out, batch.at_hand) == (figures.made, figures.given, figures.left)


def test_one_proof_serves_twins(before: Account) -> None:
    """Candles, hours and what goes in are counted once for the two names of one candle."""
    found = change_of(before, Ref("fragrances/cedar-fig-oil"))
    assert [one.product.recipe.source.id for one in found.proofs] == ["cedar-fig"]
    tumblers = [need.amount for need in found.needs if need.item == "vessels/amber-tumbler"]
    assert tumblers == [3]
    lives = [before.burns[f"cedar-fig-{letter}"].hours_h for letter in "abc"]
    assert found.burning_h == pytest.approx(sum(lives))

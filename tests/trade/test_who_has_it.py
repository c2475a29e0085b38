"""Who has the candles: by name, an open incident first, and less what came back."""

import json
from pathlib import Path

from handbook_builder.derived.buyers import buyer_key
from handbook_builder.pages.edition import Edition
from tests.told.rig import account, html, pages, plain, run
from tests.told.test_lots_told import studio
from tests.trade.test_reach import SOUR

GIVEN = (
    "given:\n  - {on: 2026-04-25, to: Corner Shop, count: 6, how: sold}\n"
    "  - {on: 2026-04-26, to: aunt Lene, count: 1, how: gift}\n"
    "  - {on: 2026-04-28, to: corner  shop, count: 4, how: returned}\n"
)


def sold() -> dict[str, str]:
    """Return a studio with a batch of ten: six to a shop, four of them back, one given."""
    files = studio()
    files["batches/april.md"] = files["batches/april.md"].replace("weighed", f"{GIVEN}weighed")
    return files


def test_what_came_back_is_no_longer_out() -> None:
    """In the figures, on the page of the batch, of the lot, and of what is on hand."""
    one = account(sold()).batches["april"]
    assert (one.made, one.given, one.left, one.on_hand) == (10, 3, 7, 7)
    found = pages(sold())
    assert found["batches/april"].content.out == 3
    assert found["lots/waxes-soy--w-1"].content.left == 7
    assert [row.on_hand for row in found["stock/index"].content.candles] == [7]
    assert "came back" in html(sold())["batches/april"]


def test_a_recall_asks_for_what_is_still_out() -> None:
    """Three, and not seven; where all came back there is nothing to call back."""
    files = {**sold(), "incidents/one.md": SOUR.replace("W-2", "W-1")}
    assert [one.out for one in pages(files)["incidents/one"].content.reached] == [3]
    assert [one.out for one in pages(files)["papers/one/notice"].content.batches] == [3]
    for count, name in ((2, "Corner Shop"), (1, "aunt Lene")):
        files["batches/april.md"] = files["batches/april.md"].replace(
            "weighed", f"  - {{on: 2026-04-29, to: {name}, count: {count}, how: returned}}\nweighed"
        )
    assert account(files).batches["april"].given == 0
    assert pages(files)["papers/one/notice"].content.batches == ()


def test_a_return_is_no_candle_that_went_out_early(tmp_path: Path) -> None:
    """What came back while an incident was open was not given then."""
    files = {**sold(), "incidents/one.md": SOUR.replace("W-2", "W-1").replace("04-21", "04-27")}
    codes = [one.code for one in account(files).batches["april"].verdict.notes]
    assert "given_while_suspended" not in codes
    assert run(tmp_path, files, "check").exit_code == 0


def test_nobody_gives_back_more_than_they_had(tmp_path: Path) -> None:
    """By that day, under that name, whatever its capitals."""
    files = sold()
    files["batches/april.md"] = files["batches/april.md"].replace("count: 4", "count: 7")
    result = run(tmp_path, files, "check")
    assert "found 7 candles back from 'corner shop', who had 6." in result.output
    early = sold()
    early["batches/april.md"] = early["batches/april.md"].replace("04-28", "04-24")
    assert "who had 0." in run(tmp_path, early, "check").output


def test_a_buyer_has_a_page_and_what_is_open_stands_first(tmp_path: Path) -> None:
    """Two candles are left with the shop; search finds the page by the name."""
    files = {**sold(), "incidents/one.md": SOUR.replace("W-2", "W-1")}
    path = f"buyers/{buyer_key('Corner Shop')}"
    page = pages(files)[path]
    assert (page.title, page.words, page.content.has) == ("Corner Shop", ("Corner Shop",), 2)
    text = html(files)[path]
    assert text.index("Incident 1") < text.index("Candles that they have")
    said = plain(run(tmp_path, files, "trace", "corner shop").output)
    assert "Candles that Corner Shop has: 2" in said
    assert said.index("Incident 1 is open") < said.index("april: Fig")
    told = json.loads(run(tmp_path, files, "trace", "corner shop", "--json").stdout)
    assert [one["how"] for one in told["handed"]] == ["sold", "returned"]


def test_the_floor_has_no_buyer_and_no_supplier() -> None:
    """No page, no name."""
    floor = html(sold(), edition=Edition.FLOOR)
    assert [path for path in floor if path.startswith(("buyers/", "suppliers/"))] == []
    assert all("Corner" not in text and "Jar house" not in text for text in floor.values())


def test_a_supplier_has_a_page() -> None:
    """Terms, what comes from there, lots, questions and incidents."""
    files = {**sold(), "incidents/one.md": SOUR.replace("W-2", "W-1")}
    files["suppliers/jar-house.md"] = (
        "---\nkind: candle_supplier\ndistance: 38 km\nminimum_order: 61.50\n---\nAsk for Jo.\n"
    )
    files["vessels/tumbler.md"] = files["vessels/tumbler.md"].replace(
        "drinkware", "asked:\n  - {what: heat and wall, on: 2026-02-01}\ndrinkware"
    )
    page = html(files)["suppliers/jar-house"]
    for piece in ("38 km", "61.50", "heat and wall", "W-1", "Suspended", "Incident 1", "Ask for Jo",
                  "10.00 EUR", "Fig oil"):  # fmt: skip
        assert piece in page
    assert 'href="../suppliers/jar-house' in html(files)["materials/index"]

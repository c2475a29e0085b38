"""The price in each channel of the studio, from the candle's own cost, by hand in fractions."""

import re
from decimal import Decimal
from fractions import Fraction
from math import ceil
from pathlib import Path

from handbook_builder.pages.edition import Edition
from handbook_builder.workshop import account_in
from tests.bench.calls import called
from tests.records_in_text import DAY, write
from tests.reports.studio import studio
from tests.told.rig import account, html

ROOT = Path(__file__).parents[2]
CHANNELS = (
    "channels:\n  stall: {multiple: 3, tax: 20 %, fee: 2 %, step: 0.50}\n"
    "  shop: {commission: 40 %}\n  wall: {commission: 90 %, fee: 50 %}\n"
)


def sold() -> dict[str, str]:
    """Return a studio that sells at a stall and in a shop, and has terms that leave nothing."""
    files = studio()
    files["studio.md"] = files["studio.md"].replace("protocol:", f"{CHANNELS}protocol:")
    return files


def test_every_product_of_the_demo_by_hand() -> None:
    """Stall: 3 times, 20 % tax, 1.75 % and 0.10, steps of 0.50. Bookshop: twice, 35 %, steps of 1.

    What is paid is the exact price in fractions, up to the step.
    """
    demo, _ = account_in(ROOT / "records", DAY)
    assert demo is not None
    assert demo.money is not None
    priced = 0
    for one in demo.money.products.values():
        if one.cost.total is None:
            continue
        priced += 1
        cost = Fraction(one.cost.total)
        stall = (3 * cost + Fraction(1, 10)) / (1 - Fraction("0.0175") * Fraction("1.2"))
        shop = 2 * cost / (1 - Fraction("0.35"))
        for name, price, step in (("market stall", stall, Fraction(1, 2)),
                                  ("bookshop", shop, Fraction(1))):  # fmt: skip
            paid = Fraction(one.channels[name].sale.paid)
            least = ceil(price * Fraction("1.2") / step) * step
            assert paid in (least, least + step)  # a step more where the coins fall short
            assert one.channels[name].left == one.channels[name].sale.received - one.cost.total
    assert priced > 10


def test_a_channel_without_a_multiple_takes_the_studios() -> None:
    """The retail multiple of 4; and terms that leave nothing have no price."""
    files = sold()
    money = account(files).money
    assert money is not None
    one = money.products["fig"]
    assert one.channels.keys() == {"stall", "shop"}
    assert one.channels["shop"].multiple == Decimal(4)
    assert one.cost.total is not None
    assert one.channels["shop"].sale.received >= 4 * one.cost.total


def test_the_owner_sees_them_and_the_floor_does_not() -> None:
    """A channel may be called by a shop's name."""
    files = sold()
    files["studio.md"] = files["studio.md"].replace("  shop:", "  Ottoline and sons:")
    assert "Ottoline and sons" in html(files)["products/fig"]
    floor = html(files, edition=Edition.FLOOR)
    assert all("Ottoline" not in text for text in floor.values())


def test_a_channel_without_a_price_says_why() -> None:
    """Without any multiple, and where fees and commission take all (90 % and 50 % are more)."""
    files = sold()
    assert "wall: its fees and its commission leave nothing" in html(files)["products/fig"]
    files["studio.md"] = re.sub(r"retail_multiple: .*\n", "", files["studio.md"])
    page = html(files)["products/fig"]
    for name in ("shop", "wall"):
        assert f"{name}: no multiple is written, neither of its own nor retail_multiple" in page
    assert "stall: " not in page  # it has one of its own


def test_price_says_why_a_channel_has_none(tmp_path: Path) -> None:
    """And does not speak of hours that nobody recorded."""
    files = sold()
    files["studio.md"] = re.sub(r"retail_multiple: .*\n", "", files["studio.md"])
    files = {
        path: text for path, text in files.items() if path.split("/")[0] not in {"burns", "batches"}
    }
    files["recipes/fig.md"] = re.sub(
        r"test_candles: .*", "test_candles: 0", files["recipes/fig.md"]
    )
    write(tmp_path / "records", files)
    said = called(tmp_path, "price", "fig", "--as-of", DAY.isoformat())
    assert said.exit_code == 0, said.output
    assert "  shop: no multiple is written" in said.output
    assert (
        "test candles (how many hours, no candle like it has shown yet), and costs" in said.output
    )

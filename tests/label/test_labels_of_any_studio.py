"""Whatever a studio holds: only what the second reading of the rules approves has a label."""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from typing import Final

import pytest

from handbook_builder.derived.account import account_of
from handbook_builder.derived.label.made import Asked, Made, label_for
from handbook_builder.derived.label.press import shipped_press
from handbook_builder.workshop import words_for, words_text_for
from tests.oracle.generate import draw_book, texts
from tests.oracle.judge import judge
from tests.records_in_text import linked

PANEL: Final = {"width": "180 mm", "height": "160 mm"}


def labelled(seed: int) -> tuple[dict[str, str], date]:
    """Return a drawn studio in which nothing but its evidence keeps a candle from a label.

    Its studio has an address, each vessel a panel, and the sheet of each oil lists no component.
    """
    draw, day = draw_book(seed)
    book = draw.book
    book["studio"]["studio"] |= {
        "address": "North Window, 1 Example Lane",
        "contact": "+00 000 000",
        "markets": ["eu", "us"],
    }
    for record in book["vessels"].values():
        record["label_panel"] = dict(PANEL)
        record.setdefault("inside_height", "100 mm")
    for kind in ("fragrances", "colorants"):
        for record in book.get(kind, {}).values():
            record["sheet_lists"] = "0"
    return texts(book, draw.rng), day


def outcomes(seed: int) -> Iterator[tuple[str, bool, list[str]]]:
    """Yield for each recipe the oracle's word, whether there is a label, and what is against it."""
    files, day = labelled(seed)
    account = account_of(linked(files), day)
    words = words_for(account.studio, words_text_for(None))
    oracle = judge(files, day)["products"]
    for ident in account.judged.products:
        for market in ("eu", "us"):
            found = label_for(account, words, ident, Asked(market, ("en",)), shipped_press())
            is_made = isinstance(found, Made)
            against = [] if isinstance(found, Made) else [refusal.code for refusal in found]
            yield oracle[ident]["status"], is_made, against


@pytest.mark.parametrize("first", range(0, 40, 20))
def test_a_label_is_made_only_of_what_the_oracle_approves(first: int) -> None:
    """And where it approves, nothing else stands in the way in these studios."""
    seen: Counter[tuple[str, bool]] = Counter()
    for seed in range(first, first + 20):
        for status, is_made, against in outcomes(seed):
            seen[status, is_made] += 1
            assert is_made is (status == "approved"), (seed, status, against)
            assert ("not_approved" in against) is (status != "approved"), (seed, status, against)
    assert seen["approved", True] > 5
    assert sum(count for (status, _), count in seen.items() if status != "approved") > 5


@pytest.mark.long
def test_a_label_is_made_only_of_what_the_oracle_approves_in_many_studios() -> None:
    """A thousand seeds, each word for a product among them."""
    words: set[str] = set()
    for seed in range(40, 1040):
        for status, is_made, against in outcomes(seed):
            words.add(status)
            assert is_made is (status == "approved"), (seed, status, against)
    assert words == {
        "approved", "failed", "held", "in_test", "retired", "suspended", "untested",
    }  # fmt: skip

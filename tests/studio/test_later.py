"""What is dated after a day is not seen as of it, and that is told."""

from datetime import date

from handbook_builder.studio.later import dated_later
from tests.records_in_text import BASE, burn, linked


def test_every_event_that_is_still_to_come() -> None:
    """Pouring, cycles, setting aside, incidents, batches, purchases and heat evidence."""
    files = {
        **BASE,
        "burns/fig-a.md": burn(more="void: {why: it fell, by: the maker, on: 2026-04-01}\n"),
        "incidents/one.md": "---\nnumber: 1\non: 2026-04-02\nabout: recipes/fig\nwhat: smoke\n"
        "closed: {on: 2026-04-03, finding: a draught}\ntold: 2026-04-03\n---\n",
        "purchases/april.md": "---\nsupplier: jar-house\non: 2026-04-04\n"
        "lines: [{item: waxes/soy, quantity: 1 kg, price: 6.20}]\n---\n",
    }
    studio = linked(files)
    told = [(place.file.removeprefix("records/"), place.line, on) for place, on in
            dated_later(studio, date(2026, 3, 18))]  # fmt: skip
    assert told == [
        ("burns/fig-a.md", 18, date(2026, 3, 19)),
        ("burns/fig-a.md", 22, date(2026, 4, 1)),
        ("incidents/one.md", 3, date(2026, 4, 2)),
        ("incidents/one.md", 6, date(2026, 4, 3)),
        ("incidents/one.md", 7, date(2026, 4, 3)),
        ("purchases/april.md", 3, date(2026, 4, 4)),
    ]
    assert dated_later(studio, date(2026, 4, 4)) == ()
    everything = dated_later(studio, date(2026, 1, 4))
    assert [place.file for place, _ in everything if "vessels" in place.file] == [
        "records/vessels/tumbler.md"
    ]


def test_batches_and_papers_that_are_still_to_come() -> None:
    """What is poured, given, read, tested and certified, written alone or as a list."""
    files = {
        **BASE,
        "batches/one.md": "---\nrecipe: fig\non: 2026-06-01\nmade: 6\nby: wren\nlots: {}\n"
        "given:\n  - {on: 2026-06-20, to: a, count: 1, how: sold}\n---\n",
        "helpers/wren.md": "---\nread:\n  - {page: pouring, on: 2026-06-02}\n---\n",
        "wicks/cotton-8.md": BASE["wicks/cotton-8.md"].replace(
            "core: cotton", "core: zinc\nlead_free: [{on: 2026-06-03, by: x}]"
        ),
        "fragrances/fig-oil.md": BASE["fragrances/fig-oil.md"].replace("2025-11-01", "2026-06-04"),
        "vessels/tumbler.md": BASE["vessels/tumbler.md"].replace(
            "porous: no", "porous: yes\nleak_test: {on: 2026-06-05, hours: 24 h, result: dry}"
        ),
    }
    told = [(str(place).removeprefix("records/"), on.day) for place, on in
            dated_later(linked(files), date(2026, 5, 31))]  # fmt: skip
    assert told == [
        ("batches/one.md:3", 1), ("batches/one.md:8", 20), ("fragrances/fig-oil.md:4", 4),
        ("fragrances/fig-oil.md:5", 4), ("helpers/wren.md:3", 2), ("vessels/tumbler.md:12", 5),
        ("wicks/cotton-8.md:6", 3),
    ]  # fmt: skip

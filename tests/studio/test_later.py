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
        "closed: {on: 2026-04-03, finding: a draught}\n---\n",
        "purchases/april.md": "---\nsupplier: jar-house\non: 2026-04-04\n"
        "lines: [{item: waxes/soy, quantity: 1 kg, price: 6.20}]\n---\n",
    }
    studio = linked(files)
    told = [(place.file.removeprefix("records/"), place.line, on) for place, on in
            dated_later(studio, date(2026, 3, 18))]  # fmt: skip
    assert told == [
        ("burns/fig-a.md", 16, date(2026, 3, 19)),
        ("burns/fig-a.md", 20, date(2026, 4, 1)),
        ("incidents/one.md", 3, date(2026, 4, 2)),
        ("incidents/one.md", 6, date(2026, 4, 3)),
        ("purchases/april.md", 3, date(2026, 4, 4)),
    ]
    assert dated_later(studio, date(2026, 4, 4)) == ()
    everything = dated_later(studio, date(2026, 1, 4))
    assert [place.file for place, _ in everything if "vessels" in place.file] == [
        "records/vessels/tumbler.md"
    ]

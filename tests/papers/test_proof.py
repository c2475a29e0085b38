"""The proof: every reading is on it, and every number leads to the line that it came from."""

import re
from collections.abc import Iterator

import pytest

from handbook_builder.pages.edition import Edition
from handbook_builder.reading.kinds.readings import TABLE, Cycle
from handbook_builder.verdicts.approval import Status
from tests.papers.rig import (
    APPROVED,
    DAY,
    PLACE,
    ROOT,
    account,
    alone,
    lines_of,
    pages,
    papers,
    words_in,
    written_at,
)
from tests.records_in_text import burn, proven
from tests.told import rig

PROOFS = sorted(path for path in alone() if path.endswith("/proof"))
VOID = "void: {why: the scale was off, by: wren, on: 2026-04-02}\n"
# Lines without a place of their own: titles, heads of tables, sentences that hold for all of it.
ASIDE = {"h1", "h2", "h3", "caption", "thead", "figcaption"}


def proof(ident: str) -> str:
    """Return the words of a proof of the demo."""
    return words_in(papers()[f"papers/{ident}/proof"])


def test_there_is_one_of_every_product_with_a_test_candle() -> None:
    """Whatever its status, and of a former make-up too; of one never tested there is none."""
    tested = {burned.candle.seen.burn.recipe for burned in account().judged.burns.values()}
    # The gift box holds the tumbler's own candle, and shares its evidence.
    assert {path.split("/")[1] for path in PROOFS} == tested | {"cedar-fig-gift"}
    assert {path for path in alone(Edition.FLOOR) if path.endswith("/proof")} == set(PROOFS)
    for ident in set(account().judged.products) - tested - {"cedar-fig-gift"}:
        links = pages()[f"products/{ident}"].content.papers.links
        others = [link.title for link in links if "/class-" not in link.path]
        assert others in ([], ["Batch sheet"]), ident


@pytest.mark.parametrize("path", PROOFS)
def test_every_number_leads_to_its_record(path: str) -> None:
    """Each row, fact and statement with a digit names the file and the line that it is from."""
    lines = lines_of(papers()[path])
    numbered = [
        line
        for line in lines
        if re.search(r"\d", line.text) and line.tag not in ASIDE and not _is_set(line.within)
    ]
    assert len(numbered) > 25
    assert [line.text for line in numbered if not PLACE.search(line.text)] == []


def _is_set(within: tuple[str, ...]) -> bool:
    """Return whether a line stands in the head, the foot or a note, which speak of all of it."""
    return any(
        part.startswith(("header", "footer", "p.fact__note", "div.notes", "p.head__verdict"))
        for part in within
    ) or within[-2:] == ("article", "p")


def test_every_place_is_a_line_of_a_record() -> None:
    """Of all proofs: the file is there, and so long; the link leads to a page that is there."""
    found = {place for path in PROOFS for place in PLACE.findall(words_in(papers()[path]))}
    assert len(found) > 500
    for file, line in found:
        if file.startswith("records/"):
            assert written_at(ROOT, file, int(line)).strip(), (file, line)
    known = pages()
    for path in PROOFS:
        for href in re.findall(r'<a class="from" href="([^"]+)"', papers()[path]):
            page = href.removeprefix("../../").partition(".html")[0]
            assert page in known, (path, href)


@pytest.mark.parametrize("ident", ["cedar-fig", "lavender-tin", "practice-pour", "sandalwood-zinc"])
def test_every_reading_of_every_cycle_is_there(ident: str) -> None:
    """With its own line: the numbers of the row are those that the line of the record holds."""
    rows = {
        (found[-1][0], int(found[-1][1])): line.text
        for line in lines_of(papers()[f"papers/{ident}/proof"])
        if line.tag == "tbody" and (found := PLACE.findall(line.text))
    }
    evidence = account().judged.products[ident].evidence
    candles = [*evidence.passed, *evidence.failed, *evidence.burning, *evidence.incomplete,
               *evidence.void, *evidence.misuse, *evidence.ladder]  # fmt: skip
    assert len(rows) == sum(len(candle.seen.cycles) for candle in candles) > 5
    for candle in candles:
        for seen in candle.seen.cycles:
            place = candle.seen.burn.source.place(f"cycles[{seen.index}]")
            row = rows[place.file, place.line]
            numbers = [float(one) for one in re.findall(r"\d+(?:\.\d+)?", row)]
            for value in _read_in(seen.cycle):  # what was read in inches is rounded to 0.1 mm
                assert min(abs(one - value) for one in numbers) <= 0.051, (place, value)
            assert seen.cycle.note is None or seen.cycle.note in row


def _read_in(cycle: Cycle) -> Iterator[float]:
    """Yield every number of a cycle that its row must hold, in metric units."""
    for reading in TABLE:
        value = reading.of(cycle)
        if value is not None and reading.is_shown and reading.unit.name in {"g", "mm", "c", "s"}:
            yield value
    yield from cycle.checks.values()


def test_the_numbers_of_a_candle_by_hand() -> None:
    """Candle A of the tumbler, from its record: cycle 7 in line 30, the end in line 32."""
    text = proof("cedar-fig")
    for said in (
        (
            "7 2025-10-11 records/burns/cedar-fig-a.md:30 Passed 4 h 286.0 262.4 23.6 5.90 ± 0.02 "
            "72 100% 9 24 63 15"
        ),
        "Watched. Cycle 7: the outer wall reached 63 °C (145 °F); at most 60 °C (140 °F)",
        "Pool on the way: 47 mm after 1 h, 61 mm after 2 h, 69 mm after 3 h.",
        "In the record: “draught from the door in the second hour”",
        "Wax left 16.8 g (0.59 oz) records/burns/cedar-fig-a.md:32",
        "Soy blend 169.9 g (5.99 oz) lot W-2231 records/burns/cedar-fig-a.md:7",
        "Cut from the wick before it: 0.3 g.",
        "Net fill 182.7 g (6.44 oz) records/recipes/cedar-fig.md:8",
        "Safety sheet Cedar fig oil 2026-02-26 revision 4",
        "up to 63 in 100 candles like it could still be bad",
        "2 2025-12-10 Amber tumbler A nicked rim was found",
        "20 kg on 2025-06-12 records/purchases/2025-06-12-waxes.md:",
        "Heat of the outer wall at most 75 °C (167 °F) The candle fails. the studio's own limit",
        "EN 15493:2007 for container candles",
        "Rest between cycles 1 h 30 min records/protocols/house.md:6",
        "crack The candle fails. shipped default.md:67",
    ):
        assert said in text, said


def test_a_limit_names_the_line_that_sets_it() -> None:
    """The studio's own where it set one; else the shipped protocol's."""
    found = {}
    for line in lines_of(papers()["papers/cedar-fig/proof"]):
        if "own limit, July 2025" in line.text or "EN 15493" in line.text:
            (place,) = PLACE.findall(line.text)
            bound = line.text.split(" at most ")[1]
            found[bound.split(" The candle")[0].split(" Watched")[0]] = place
    file, number = found["75 °C (167 °F)"]
    assert "measure: wall" in written_at(ROOT, file, int(number))
    assert "75 degC" in written_at(ROOT, file, int(number) + 1)
    file, number = found["75 mm (2.95 in)"]
    shipped = ROOT / "handbook_builder" / "protocols"
    assert file == "shipped default.md"
    assert "measure: flame" in written_at(shipped, "default.md", int(number))


@pytest.mark.parametrize("path", PROOFS)
def test_the_head_says_how_it_stands(path: str) -> None:
    """NOT APPROVED in words, and what stands in the way; or nothing of the kind."""
    ident = path.split("/")[1]
    product = account().judged.products[ident]
    text = proof(ident)
    assert ("NOT APPROVED" in text) == (product.status is not Status.APPROVED)
    assert ("NOT APPROVED" in text) == (ident not in APPROVED)
    assert "They are not a certification" in text
    assert f"As of {DAY}" in text
    assert text.count("What stands in the way") == bool(product.missing)


def test_voids_formers_and_failures_are_told() -> None:
    """What does not speak for the candle is not left out."""
    assert "Candle D was" not in proof("cedar-fig")
    assert "Failure. Cycle" in proof("cedar-fig-big-wick")
    assert "Of former make-ups: no evidence for this one" in proof("lavender-pine")
    assert "Candle A passed; it differs in: " in proof("lavender-pine")
    assert "No test candle of exactly this make-up is on file." in proof("vanilla-tumbler")
    assert "A misuse burn, with a wick that was not trimmed." in proof("lavender-tin")
    files = proven()
    for one in "abc":
        files[f"burns/fig-{one}.md"] = burn(one.upper(), candles=4)
    files["burns/fig-d.md"] = burn("D", candles=4, more=VOID)
    files["helpers/wren.md"] = "---\nmay: [burn]\n---\n"
    text = words_in(rig.html(files)["papers/fig/proof"])
    assert "Candle D 2026-04-02 by wren: the scale was off records/burns/fig-d.md:" in text


def test_a_candle_that_was_not_read_says_so() -> None:
    """What was not read is not a dash alone."""
    files = proven()
    text = files["burns/fig-a.md"]
    line = next(one for one in text.split("\n") if "2026-03-16" in one)
    cut = line.replace(", depth: 8 mm", "").replace("after_smoke: 8 s", "unread: [after_smoke]")
    files["burns/fig-a.md"] = text.replace(line, cut.replace("{on:", "{room: 19 degC, on:"))
    found = words_in(rig.html(files)["papers/fig/proof"])
    assert "Not read: smoke after the flame." in found
    assert "Room: 19 °C." in found


def test_the_proof_holds_no_price() -> None:
    """Not in the owner's edition either: an insurer asks for evidence, and not for costs."""
    for path in PROOFS:
        assert not re.search(r"\bEUR\b|€|\bprice", words_in(papers()[path])), path


def test_the_floor_proof_names_nobody() -> None:
    """No supplier, no recipient, no bill; the neutral names of lots and batches."""
    recipients = {
        given.to for batch in account().studio.batches.values() for given in batch.given
    } - set(account().studio.helpers)
    names = [*account().studio.suppliers, *account().studio.purchases, *recipients]
    owner = words_in(papers()["papers/cedar-fig/proof"])
    assert "valley-vessel-stores" in owner
    for path in PROOFS:
        told = words_in(papers(Edition.FLOOR)[path]).casefold()
        for name in names:
            assert name.casefold() not in told, (path, name)
            assert name.casefold().replace("-", " ") not in told, (path, name)
    floor = words_in(papers(Edition.FLOOR)["papers/cedar-fig/proof"])
    assert "Floor edition: it has no prices and no names" in floor
    assert "20 kg on 2025-06-12 delivery-1:" in floor

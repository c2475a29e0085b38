"""How a file is read: where each fault is told, and how one that did not come whole is known."""

import re
import zlib
from pathlib import Path

import pytest

from handbook_builder.handover import HANDED
from handbook_builder.reading.handover import HandedCycles, read_handover, sum_of
from tests.handover.kit import small_sitting, summed
from tests.handover.test_take import LEFT

# What is told of a file before anything is known of the records.
BY_READING = {
    "empty_file", "handover_after", "handover_damaged", "handover_empty", "handover_none",
    "no_front", "no_unit", "not_a_choice", "not_text", "out_of_range", "unclosed_front",
    "unknown_key", "wrong_dimension",
}  # fmt: skip
CASES = [case for case, (code, _, _) in LEFT.items() if code in BY_READING]
_TELLING = 12  # letters that no other message has
HERE = Path(__file__).parent


def test_the_sum_is_the_published_one() -> None:
    """The check value of CRC-32 (ISO-HDLC): cbf43926 for the digits 1 to 9.

    Source: the catalogue of parametrised CRC algorithms, entry CRC-32/ISO-HDLC, from memory. The
    line feed that ends the line is summed by the standard library's own function.
    """
    assert f"{zlib.crc32(b'123456789'):08x}" == "cbf43926"
    assert sum_of(b"---\n123456789\n---\n") == f"{zlib.crc32(b'123456789' + bytes([10])):08x}"


@pytest.mark.parametrize("case", CASES)
def test_a_fault_is_told_at_its_place(case: str) -> None:
    """As it is told when the file is taken."""
    code, make, expected = LEFT[case]
    found, problems = read_handover(make().encode("utf-8", "surrogateescape"), "a.txt")
    assert found is None
    assert problems[0].code == code
    assert str(problems[0]).startswith(f"a.txt:{expected}")


def test_a_file_that_is_whole() -> None:
    """Its values are there as they are written, and as they are read."""
    found, problems = read_handover(small_sitting(2).text().encode(), "a.txt")
    assert found is not None, problems
    handed = found.handed
    assert isinstance(handed, HandedCycles)
    assert handed.cycles[0].written["flame"] == "22 mm"
    assert handed.cycles[0].cycle.flame_mm == 22.0
    assert handed.source.place("cycles[0].flame").line == 12


def test_a_file_that_was_cut_anywhere() -> None:
    """Nothing of it is believed; only the line break at its very end may be lacking."""
    data = small_sitting(2).text().encode()
    whole = [at for at in range(len(data) + 1) if read_handover(data[:at], "a.txt")[0] is not None]
    assert whole == [len(data) - 1, len(data)]


def test_an_alias_explodes_nothing() -> None:
    """The reader of records refuses it, here as there."""
    found, problems = read_handover(summed(["handover: &a [1]", "kind: *a"]).encode(), "a.txt")
    assert (found, [one.code for one in problems]) == (None, ["alias"])


def test_every_message_is_earned() -> None:
    """Each of them is expected, in its own words, by a test of a file that earns it."""
    texts = "".join(path.read_text("utf-8") for path in sorted(HERE.glob("test_*.py")))
    # Strings that go on in the next line, as one.
    joined = re.sub(r'"\s*\n\s*f?"', "", texts)
    for code, message in HANDED.items():
        parts = [part.strip()[:24] for part in re.split(r"\{\w+\}|'|\"", message)]
        assert any(part in joined for part in parts if len(part) >= _TELLING), (code, parts)

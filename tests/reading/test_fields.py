"""Readers of one value each, asked without a record around them."""

import pytest

from handbook_builder.reading.fields import Bad, Report
from handbook_builder.reading.nodes import Scalar
from handbook_builder.reading.reasons import reason


def _read(text: str) -> tuple[str | Bad, list[str]]:
    report = Report("records/burns/fig-a.md")
    found = reason(Scalar(text, plain=True, line=7, column=3), report, "why")
    return found, [one.code for one in report.problems]


@pytest.mark.parametrize(
    "text",
    ["fell", "The wick had drowned.", "umgefallen", "огонь", "倒れた", "سقط", "No 7 fell"],
)
def test_a_reason_in_any_script_is_read(text: str) -> None:
    """Three letters that can be seen are a word, whatever the alphabet."""
    assert _read(text) == (text, [])


# The Unicode Character Database gives U+115F, U+1160, U+3164 and U+FFA0 the class Lo and the
# property Default_Ignorable_Code_Point; U+2800 is a symbol (So) without a dot.
# U+0301 combines with a letter, and is none (Mn).
@pytest.mark.parametrize(
    "text",
    ["...", "-", "12 34 56", "no", "\u2800" * 9, "\u3164" * 9, "\u115f\u1160\u115f", "\uffa0" * 4,
     "\u0301" * 5, "ab\u3164", "\U0001f56f\U0001f525\U0001f4a5"],
)  # fmt: skip
def test_what_nobody_can_read_is_no_reason(text: str) -> None:
    """Dots, digits, pictures and letters that are blank in every font give no reason."""
    found, codes = _read(text)
    assert isinstance(found, Bad)
    assert codes == ["no_reason"]


def test_nothing_and_what_cannot_be_seen_have_messages_of_their_own() -> None:
    """As for any other text."""
    assert _read(" ")[1] == ["empty_value"]
    assert _read("fell\u200b over")[1] == ["odd_character"]

"""What a printed page says of itself, as a string of its style sheet."""

import pytest

from handbook_builder.publish.leaves import css_text


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("Cedar and fig", '"Cedar and fig"'),
        ('9" jar', r'"9\22  jar"'),
        ("</style><script>", r'"\3c /style\3e \3c script\3e "'),
        ("a\\b\nc", r'"a\5c b\a c"'),
        ("Ben's & co", r'"Ben\27 s \26  co"'),
    ],
)
def test_nothing_in_a_title_ends_its_string_or_its_element(text: str, written: str) -> None:
    """CSS Syntax 3, section 4.3.7: a backslash, hexadecimal digits, one space to end them."""
    assert css_text(text) == written

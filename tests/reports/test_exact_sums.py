"""Sums of decimals are exact, so that every Python tells the same JSON to the byte.

Python's own `sum` of floats rounds at each step up to version 3.11, and keeps what was lost since
3.12 (Python documentation, "What's new in Python 3.12", `sum()`), so that its last digits differ.
`math.fsum` is the exactly rounded sum in all of them.
"""

import builtins
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Final

import pytest

from tests.reports.studio import studio
from tests.reports.test_golden import CASES, _answer

BUILT_IN: Final = builtins.sum


class Watched:
    """The built-in sum, which writes down where the package gives it floats."""

    def __init__(self) -> None:
        """Begin with none."""
        self.places: set[str] = set()
        self.calls = 0

    def __call__(self, terms: Iterable[Any], start: object = 0) -> object:
        """Return what the built-in sum returns."""
        terms = list(terms)
        frame = sys._getframe(1)  # noqa: SLF001 -- who called is the point
        if "handbook_builder" in frame.f_code.co_filename:
            self.calls += 1
            if any(isinstance(term, float) for term in (start, *terms)):
                self.places.add(f"{Path(frame.f_code.co_filename).name}:{frame.f_lineno}")
        return BUILT_IN(terms, start)  # type: ignore[call-overload]


@pytest.mark.parametrize("name", sorted(set(CASES) - {"take", "log", "log-end"}))
def test_no_answer_holds_a_sum_that_rounds(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What writes into records is left out: it adds text, and sums nothing that is told."""
    watched = Watched()
    monkeypatch.setattr(builtins, "sum", watched)
    assert _answer(tmp_path, studio(), CASES[name])
    assert watched.calls, "the package asks the built-in sum for counts, and is seen to"
    assert not watched.places

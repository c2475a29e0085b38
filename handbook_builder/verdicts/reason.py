"""Why something was judged as it was: a code, the numbers, and the line that shows it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from handbook_builder.problems import Place


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason. Its sentence stands in the table of phrases, under `code`.

    The names of `details` end in their unit (`reading_mm`, `rest_h`), so that a phrase can show
    them as the studio likes to read them.
    """

    code: str
    place: Place
    details: Mapping[str, object] = field(default_factory=dict)

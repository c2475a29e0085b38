"""What a table comes to as records: `bring --json`.

`written` says whether the records are written now, or would be. `records`: [{file, row, text}],
the row of the table that each begins in. `faults`: [{file, line, column, code, message}], line and
column those of the table; of the mapping where that is at fault. `blanks` and `elsewhere` in the
same form: what is left blank in the records, and what of the records on file would be at fault.
`unmapped` are the headers that are left out. `after` is what `check` would say, or says now, once
all is written.
"""

from collections.abc import Iterable, Sequence
from typing import Final

from handbook_builder.bringing.checked import Checked
from handbook_builder.bringing.written import Brought
from handbook_builder.problems import Problem
from handbook_builder.reading.records import SHOWN_AS
from handbook_builder.reports.faults import problem_told

FORMAT: Final = 1


def bring_report(  # noqa: PLR0913 -- one a part of the report
    records: Iterable[Brought],
    faults: Iterable[Problem],
    found: Checked,
    unmapped: Sequence[str],
    after: Iterable[Problem],
    *,
    written: bool,
) -> dict[str, object]:
    """Return what was, or would be, written, and everything that is in its way."""
    return {
        "format": FORMAT,
        "written": written,
        "records": [
            {"file": SHOWN_AS + one.path, "row": one.row, "text": one.text} for one in records
        ],
        "faults": [problem_told(one) for one in faults],
        "blanks": [problem_told(one.problem) for one in found.blanks],
        "elsewhere": [problem_told(one) for one in found.elsewhere],
        "unmapped": unmapped,
        "after": [problem_told(one) for one in after],
    }

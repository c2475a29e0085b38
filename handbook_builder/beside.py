"""What is said of what stands beside a record and is none: a part of the one table of messages."""

from collections.abc import Mapping
from typing import Final

# Sorted by code; they stand in `problems.MESSAGES` at their place among the others.
BESIDE: Final[Mapping[str, str]] = {
    "beside_active": "found a file of a kind that a browser runs: whatever is written in it could "
    "read the handbook, and change what it shows. Save it as .pdf or .txt, or move it away.",
    "beside_backup": "found a backup of '{found}', and that file is not here any more. What is "
    "gone may be what matters: bring it back under its own name, or remove the backup too.",
    "beside_copy": "found what looks like another version of {other}: a copy, or what is written "
    "where two hands changed one file. It may hold what the other does not. Compare the two, keep "
    "what is right in {other}, and remove this file.",
    "beside_here": "found 'for_helpers', but helpers are shown no page of such a record. Take the "
    "line out; lay what they need beside an item, a recipe, a burn or a batch.",
    "beside_missing": "found '{found}' under 'for_helpers', and there is no such file in "
    "{folder}/{near}. Put it there, or mend its name.",
    "beside_name": "found '{found}' under 'for_helpers'; expected an attachment that lies in "
    "this record's folder, as in safety-sheet.pdf.",
    "beside_nothing": "found an attachment in the folder of {folder}, and there is no such "
    "record{near}. Bring the record back, or lay the file beside the record that it belongs to.",
    "beside_odd_name": "the file's name has letters that cannot be seen or sent. Rename it.",
    "beside_other_kind": "the file is called {ending}, and what it holds is something else. Save "
    "it anew as what its name says, or move it away.",
    "beside_record": "found a text that begins like a record, and nothing in it would count here. "
    "Save it as .md in the folder of its kind; if it is no record, begin it with another line.",
    "beside_within": "found '{found}'{under}: keys of your own stand at the top of a record, and "
    "nowhere within another key. Move it there.",
}

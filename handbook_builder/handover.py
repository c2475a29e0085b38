"""What is said of a file that was handed over and stays: a part of the one table of messages."""

from collections.abc import Mapping
from typing import Final

# Sorted by code; they stand in `problems.MESSAGES` at their place among the others.
HANDED: Final[Mapping[str, str]] = {
    "handover_after": "found text after the second line '---', where the file ends. Put what is a "
    "second file into a file of its own, and remove the rest.",
    "handover_again": "this pour was handed over before, as {file}, and its batch is on file; here "
    "something of it reads otherwise. Mend that record, and move this file away. If it is another "
    "pour of that day, add --as-read.",
    "handover_alike": "{file} holds the very same of that day, from another sitting. If it is "
    "another pour, add --as-read. If the same one was handed over twice, move this file away.",
    "handover_at_end": "{burn} is at its end already ({place}), and this file holds more. Look at "
    "both, and write into the record what is missing there.",
    "handover_candle": "found candle '{found}', but {burn} is candle {candle}. It was handed over "
    "for another candle, or was changed: look at the page that it came from.",
    "handover_changed": "what this file was made against is not what {burn} says today, nor any "
    "earlier state of it that its cycles would continue. Compare the two, and add by 'handbook "
    "log' what is missing.",
    "handover_code": "found the code '{found}', but {of} has {due}. It was handed over for "
    "another candle, or the recipe has changed since. Look at both, then write the record by hand.",
    "handover_count": "studio.md counts its incidents as {stated}, and on file: {found}. Look for "
    "what is missing, then take this file.",
    "handover_damaged": "the file is not as it was written: its line 'sum' says '{stated}', and "
    "what it holds comes to '{due}'. Hand it over anew. If somebody mended it by hand, take that "
    "line out and add --as-read.",
    "handover_empty": "found neither a cycle nor an end. Hand it over anew.",
    "handover_faults": "the records are at fault ({count}), so that this file cannot be held "
    "against them. Run 'handbook check', mend what it names, then take this file.",
    "handover_meanwhile": "it, or the record that it is for, changed meanwhile. Take it again.",
    "handover_name": "it is in the records, but as many files called {file} as can be told apart "
    "are kept in inbox/taken already. Move it away by hand.",
    "handover_no_file": "this is no file, or only a link to one. Put the file itself here.",
    "handover_no_photo": "the picture '{file}' does not lie beside this file, or is no picture of "
    "a kind that is known. The readings are written, and the file waits for it. Where it is lost, "
    "move the file away by hand.",
    "handover_none": "this is no file that was handed over: it has no key 'handover'. Move it "
    "away; if it was one, it was cut: hand it over anew.",
    "handover_number": "there are {most} records called {file} and so on. Write it by hand.",
    "handover_other_photo": "the picture '{file}' is not the one that was handed over with this "
    "file. The readings are written, and the file waits for it. Where it is lost, move the file "
    "away by hand.",
    "handover_place": "the place for it in {file} was not found for certain. Write it by hand.",
    "handover_question": "{question} If this is what was read, add --as-read; if not, mend it.",
    "handover_system": "the system refuses: {reason}. Nothing of this file was written.",
    "handover_tilt": "found tilt: {found}, and {burn} says '{known}'. Mend the one that is wrong.",
    "handover_tilt_due": "how candle {candle} stood on a slope of 10 degrees before its first "
    "light is not on file. Add the line 'tilt: steady', 'fell' or 'untried'.",
    "handover_tilt_unsaid": "found tilt: {found}. {burn} holds all else of this file, and does not "
    "say how the candle stood. Write 'tilt: {found}' under 'made' there, then take this file.",
    "handover_time": "dated {on}, which is after {now}, the clock of this machine. Mend the date "
    "or the clock.",
    "handover_unlit": "found an end but no cycle, here and in {burn}: a candle that never burned "
    "has not ended.",
    "handover_unmoved": "it is in the records, but could not be moved to inbox/taken ({reason}). "
    "Move it by hand; taken again it adds nothing.",
    "handover_unsummed": "the file has no line 'sum', which would say that it came whole. Hand it "
    "over anew; if it was written by hand and says what was read, add --as-read.",
    "handover_which": "found '{found}', which may be any of {known} since others have come. Write "
    "the record by hand.",
}

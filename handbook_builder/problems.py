"""Faults in the user's records, as values: where, what was found, what was expected, the mend."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from string import Formatter
from typing import Final
from unicodedata import category

from handbook_builder.beside import BESIDE
from handbook_builder.handover import HANDED


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A spot in a record; lines and columns are counted from 1, as editors do."""

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        """Return file and line, as a page or `why` shows them."""
        return f"{plain(self.file)}:{self.line}"


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One fault. Its text form is the one that editors parse: `file:line:column: message`."""

    place: Place
    code: str
    message: str

    def __str__(self) -> str:
        """Return the form that editors parse."""
        at = self.place
        return f"{plain(at.file)}:{at.line}:{at.column}: {plain(self.message)}"

    @property
    def warning(self) -> str:
        """Return the form that editors parse for what is no fault."""
        at = self.place
        return f"{plain(at.file)}:{at.line}:{at.column}: warning: {plain(self.message)}"


# What moves the cursor, turns the line around or cannot be sent: controls, marks of direction,
# line and paragraph separators, halves of characters.
_UNSHOWN: Final = ("Cc", "Cf", "Cs", "Zl", "Zp")


def plain(text: str) -> str:
    """Return a text with everything that could split or disguise a line written as its number."""
    if text.isprintable():
        return text
    return "".join(
        f"\\u{ord(letter):04x}" if category(letter) in _UNSHOWN else letter for letter in text
    )


# Every message a record can earn, sorted by code. A test keeps the table sorted, and each code
# is raised by at least one case there. {braces} name what the message is given.
MESSAGES: Final[Mapping[str, str]] = {
    "absurd": "found '{found}', far beyond anything that a studio weighs, measures or pays.",
    "alias": "found a YAML anchor or alias ({found}); records do not use them. Write the value "
    "out.",
    "asked_later": "found '{key}' on {is}, before it was asked on {on}. Mend one of the dates.",
    "bad_candle": "found candle '{found}'; expected a letter such as A, B … Z, AA.",
    "bad_date": "found '{found}', which is no date: {reason}. Write a day such as 2026-03-15.",
    "bad_id": "found the file name '{found}'; expected lower-case letters, digits and single "
    "hyphens, ending in .md. Rename the file.",
    "bad_tag": "found the YAML tag '{found}'; records hold plain values only. Remove the tag.",
    "bad_time": "found '{found}'; expected a date, or a date with a time such as 2026-03-15 "
    "09:30 ({reason}).",
    "batch_never_proven": "found a code that {recipe} did not have on {on}, and only {passed} of "
    "the {needed} candles that a proof needs had passed by then under that recipe. Mend the code, "
    "or bring the missing records back.",
    "batch_too_early": "poured on {on}, when {recipe} was not approved; it is approved only "
    "since {since}. Missing on the day: {missing} Pour nothing before it is approved. If the "
    "recipe was changed later, give its former make-up a recipe of its own, and name that here.",
    "batch_unproven": "poured on {on}, when {recipe} was not approved, and as of today it is "
    "not approved either. Missing on the day: {missing} Pour only what is approved. If the "
    "recipe was changed later, give its former make-up a recipe of its own, and name that here.",
    **BESIDE,
    "bill_twice": "this bill is {other} over again: the same supplier, day, goods and lots. "
    "Remove the copy, or write what differs.",
    "candles_count": "found test_candles: {stated}, and on file: {found}. Bring the missing "
    "record back, or remove the copy; if a candle was poured without 'handbook new', mend the "
    "count.",
    "candles_uncounted": "test candles of this recipe on file: {found}; nothing counts "
    "them, and one that went missing would not be noticed. Add the line 'test_candles: {found}'.",
    "cannot_fit": "the fill of {fill_g:.1f} g needs {need_ml:.1f} mL, but {vessel} holds "
    "{brim_ml:.1f} mL to the brim. Give a smaller fill, or mend the vessel's brim.",
    "cannot_read": "the file cannot be read: {reason}.",
    "cas_digit": "found '{found}', which is no CAS number: of these digits the last would be "
    "{due}. Copy it anew from the safety sheet; for a component without one write 'cas: none'.",
    "catalogue_unreadable": "the statements cannot be read: {reason}. Compare with "
    "site_templates/statements/en.yml, which comes with the program.",
    "claims_supplier": "found sold_for_candles by '{found}', but there is no "
    "suppliers/{found}.md. Name the supplier's id, or add its record.",
    "closed_before": "found closed on {closed}, before the incident itself on {on}. Mend one of "
    "the dates.",
    "code_of_another": "found the code of {recipes}, in a batch that is said to be of {recipe}, "
    "which had another. Mend 'recipe' or 'code': an incident about the batch must find its candle.",
    "comma_in_braces": "found '{found}' after a comma; within braces a comma begins a new key. "
    "Write a decimal number with a point, and a large one without commas.",
    "count_without_lot": "counted '{item}' without a lot, and all of it on file bears one: {lots}. "
    "Count each lot, as in '{item} {lot}: 2 kg'.",
    "counted_twice": "counted {item} on {on}, and so did {other}. Keep the count that is right, or "
    "mend a date.",
    "dangling": "found '{found}', but there is no {folder}/{found}.md{near}. Mend the id, or "
    "add the record.",
    "decimal_comma": "found '{found}'; a comma is not understood in a number. Use a point: for "
    "example '{example}'.",
    "difference_not_temperature": "found '{found}', a temperature difference, where a "
    "temperature is due. Write for example '{example}'.",
    "duplicate_id": "found the id '{found}' twice: {other} has it too (capitals do not count). "
    "Rename one of the files.",
    "duplicate_key": "found the key '{found}' twice; it stands in line {first} already. Remove "
    "one of them.",
    "empty_file": "the file is empty; expected a record that begins with a line '---'. Fill it, "
    "or remove the file.",
    "empty_list": "found an empty list for '{key}'; expected at least one entry.",
    "empty_value": "found nothing after '{key}:'; expected {expected}. Give the value, or "
    "remove the line.",
    "end_without_cycle": "found an 'end' but no cycle; a candle that never burned has not "
    "ended. Add its cycles, or remove the end.",
    "entry_below": "found an entry of a list below the second line '---', where nothing is read as "
    "a key. Move it above that line, or begin the line with a word.",
    "far_ahead": "found {on}, more than a year after {today}. Mend the year: until that day it "
    "would count for nothing.",
    "far_apart": "dated {on}, while what came before is of {last}. A test candle is burned on "
    "within half a year, and lit within a year of its pouring. Mend the date.",
    "fluid_ounce_is_volume": "found '{found}', a volume (fl oz), where a mass is due. A vessel "
    "sold as '9 oz' usually means fluid ounces to the brim and holds less wax than that. Weigh "
    "it: 'oz' alone is a weight.",
    "given_too_early": "found candles that left on {left}, before they were poured on {on}. "
    "Mend one of the dates.",
    "half_of_ladder": "found '{found}' without '{due}'. A candle of a ladder says both of them.",
    "half_of_misuse": "found '{found}' without '{due}'. A candle burned as buyers should not "
    "says both: as: misuse, and how.",
    "half_written": "half of what was brought in stands here. Call 'handbook bring' again.",
    **HANDED,
    "heat_order": "found {key} {is_c} °C above heat_to {c} °C: wax is never hotter than it was "
    "heated. Mend one of them.",
    "heat_over_flash": "found {key} {is_c} °C at or above the wax's flash_point of {c} °C, "
    "where its vapour catches fire. Look at the units, and mend one of them.",
    "hidden_record": "found a hidden file that ends like a record. Rename it without the first "
    "dot, or remove it.",
    "hot_without_density": "found fill: to_line_hot, but {wax} has no liquid_density to reckon "
    "with. Add it to the wax's record, or write the fill in grams.",
    "in_the_future": "dated {on}, which is after {today}: a record cannot tell of what is still "
    "to come. Mend the date, or the clock of this machine.",
    "incident_gap": "found incident number {found}, but number {missing} is not on file. "
    "Incidents are numbered from 1 without a gap: bring the missing record back.",
    "incident_twice": "found incident number {found} twice: {other} has it too. Renumber one.",
    "incidents_count": "found incidents: {stated}, and on file: {found}. Bring the missing "
    "record back; if one was written without 'handbook new', mend the count.",
    "incidents_uncounted": "incidents on file: {found}; nothing counts them, and one that "
    "went missing would not be noticed. Add the line 'incidents: {found}'.",
    "key_below": "found the key '{found}' below the second line '---', where nothing is read as "
    "a key. Move it up between the two lines; if it is only a note, begin the line otherwise.",
    "lighter_than_wax": "found a first weight of {first} g, but {wax} g of wax and oil were "
    "poured into the vessel. Mend one of the weights.",
    "limit_of_what": "found a limit of {found}, and of its hazards {classes} can have one. "
    "Write for which it is: 'limits: [{{of: Skin Sens. 1A, at: 0.01 %}}]'.",
    "limit_twice": "found a second limit of {measure} with the same bound, breach and material. "
    "Remove one of them.",
    "limit_without_class": "found a limit of {name} for '{found}', which is none of its hazards, "
    "or one that has M-factors or estimates instead. Mend one of the two.",
    "limited_twice": "found two limits of {name} for '{found}'. Remove one of them.",
    "linked": "found a link to another place in the file system; records are plain files. Copy "
    "the file here.",
    "lit_and_end": "found 'lit' beside 'end'; 'lit' counts the cycles of a candle that burns on, "
    "'cycles' within 'end' those of one that does not. Remove the line of 'lit'.",
    "loosened": "found {measure} {bound} {found}, looser than the published limit of {limit} "
    "({source}). A studio may tighten a published limit, never loosen it.",
    "loosened_observation": "found '{word}: {found}'; {word} is always a failure. Remove the line.",
    "lot_not_in_made": "found lot '{lot}' of {item}, which is not in this candle by 'made'. Mend "
    "the one that is a slip.",
    "lot_of_no_item": "found a lot, but {about} comes in none; only what is bought does. Remove "
    "the lot, or name the item under 'about'.",
    "lot_too_late": "found lot '{found}' of {item} in a batch of {on}, but it was first bought "
    "on {bought}. Mend the lot, or one of the dates.",
    "lots_alike": "found lot '{found}' of {item}, and lot '{other}' on another bill: they "
    "differ only by capitals, spaces or hyphens. Write one lot one way.",
    "merge_conflict": "found '{found}', where two versions of the file were merged and do not "
    "agree. Keep the lines that are right, and remove the other ones and the marks.",
    "missing_key": "the key '{key}' is missing{under}; expected {expected}.",
    "misuse_unshown": "found how: {found}, but no cycle shows it. A failure is not set aside by "
    "calling it misuse: mend the cycle, or take 'as' and 'how' out.",
    "more_than_it_holds": "found a {key} of {ml} mL, but a vessel of this inside_diameter and "
    "inside_height holds {holds} mL to the brim. Mend one of them; state how far it bulges as "
    "'bulge'.",
    "more_than_made": "found {found} candles under '{key}', but {made} were made. Mend the counts.",
    "mouth_too_wide": "found an opening of {opening} mm on a vessel {width} mm wide inside. "
    "Mend one of them; state how far it flares as 'bulge'.",
    "negative": "found '{found}'; a {what} cannot be negative.",
    "no_catalogue": "there are no statements in the language '{found}'. Copy "
    "site_templates/statements/en.yml, which comes with the program, to this file, and write what "
    "the law prints in that language.",
    "no_front": "expected the record to begin with a line '---'; found {found}. Put the keys "
    "between two lines of '---'.",
    "no_height": "found a headspace, but the vessel has no inside_height above it. Give "
    "inside_height, or another form of fill.",
    "no_picture_name": "found '{found}'; expected a picture in this record's folder, as in 2.jpg.",
    "no_reason": "found '{found}' for '{key}'; expected a reason in words that another person "
    "can read, of three letters at least.",
    "no_records": "expected a folder of records with a file studio.md; found none. Run the "
    "command in your studio's folder, or name it with --studio.",
    "no_statement_number": "found '{found}'; expected the number of a statement, such as H317, "
    "EUH208 or P302+P352.",
    "no_such_wall": "found a wall of {wall} mm; expected one between {least} and {most} mm in a "
    "vessel so wide. Look at the unit.",
    "no_such_width": "found an inside_diameter of {width} mm; expected one between {least} and "
    "{most} mm. Look at the unit.",
    "no_unit": "found '{found}' without a unit; expected a {what}, for example '{example}'.",
    "not_a_cas": "found '{found}'; expected a CAS number such as 78-70-6, or 'none' for a "
    "component without one.",
    "not_a_choice": "found '{found}' for '{key}'; expected one of {known}{near}.",
    "not_a_code": "found '{found}', which is no code of a candle: it was copied wrong. Copy it "
    "anew from the page of the product or from 'handbook why'.",
    "not_a_count": "found '{found}'; expected a whole number{least}.",
    "not_a_difference": "found '{found}'; expected a temperature difference, which is marked so "
    "that it is not taken for a temperature: 'delta 50 degC'.",
    "not_a_language": "found '{found}'; expected the two letters of a language, such as en, whose "
    "statements stand in site_templates/statements/en.yml.",
    "not_a_list": "found {found} for '{key}'; expected a list.",
    "not_a_map": "found {found} for '{key}'; expected keys with values, each with a colon and a "
    "space: {{first: value, second: value}}.",
    "not_a_name": "found '{found}'; expected the id of a record: lower-case letters, digits, "
    "hyphens.",
    "not_a_number": "found '{found}'; expected a plain number.",
    "not_a_quantity": "found '{found}'; expected a {what}, for example '{example}'.",
    "not_a_word": "found {found} for '{key}'; expected {expected}.",
    "not_finite": "found '{found}'; a quantity must be a finite number.",
    "not_text": "the file is not UTF-8 text: byte {byte} cannot be read. Save it as UTF-8.",
    "not_these_keys": "found {found} for '{key}'; expected keys with values, in braces: {known}.",
    "not_yaml": "the keys between the two lines '---' cannot be read: {reason}. Compare with "
    "the example under 'Writing a record' in the handbook.",
    "not_yes_no": "found '{found}'; expected yes or no.",
    "note_brackets": "found {found} brackets '[' in one paragraph of the note; expected {limit} "
    "at most. Split it by an empty line, or write them in words.",
    "note_lines": "found {found} lines of the note without an empty line between them; expected "
    "{limit} at most. Put an empty line between the parts.",
    "note_nested": "found lists or quotations within one another, more than {limit} deep. Write "
    "them flatter.",
    "note_too_long": "the note has {found} letters; expected {limit} at most. Keep what a "
    "reader needs.",
    "odd_character": "found the character {odd}, which cannot be seen, in '{key}'. Type the "
    "value anew.",
    "one_form": "found {found} under '{key}'; expected exactly one of {known}.",
    "ounce_is_mass": "found '{found}', a weight (oz), where a volume is due. Fluid ounces are "
    "written 'fl oz'.",
    "out_of_range": "found '{found}'; expected {expected}.",
    "overfull": "found shares that add up to {found:.6g} %; expected {expected}.",
    "overripe": "found spec {found} without spec_since. Give the date since which the maker has "
    "sold it so.",
    "protocol_reserved": "the protocol 'default' ships with the program. Give the studio's own "
    "another id, and name that in studio.md.",
    "quantity_by_volume": "found '{found}' of {item}, a volume; its density is needed to know "
    "the mass. Give a mass.",
    "range_backwards": "found '{found}'; expected the lower end of the range first, and then the "
    "upper.",
    "reserved_id": "found the id '{found}', which the handbook keeps for its own pages. Rename "
    "the file.",
    "result_of_no_test": "found a result or a difference under {found}, which is no test. "
    "Remove it, or give the entry the kind that it is.",
    "returned_more": "found {found} candles back from '{to}', who had {had}. Mend the count, the "
    "day or the name.",
    "sheet_lists_fewer": "found {listed} components, but sheet_lists: {stated}. Mend the count, "
    "or take out what the safety sheet does not list.",
    "spec_days": "found {found} as the number of days in spec_since; expected {due} beside spec "
    "{spec}: a day for each specification from the second on.",
    "spec_days_mixed": "the days in spec_since do not rise. Write them in order, each later "
    "than the one before.",
    "spec_unknown": "found specification {found} of {item}, but its record knows {most} at the "
    "most. Mend the number, or raise 'spec' in the item's record.",
    "spread_by_mass": "found spread: mass, but the mass of {item} is not known. Give its "
    "empty_mass, or write spread: value.",
    "statement_with_stray_blank": "found '{found}' in '{key}', where the label fills nothing in. "
    "Take it out.",
    "statement_without_blank": "found no '{blank}' in '{key}', or more than one; expected it where "
    "the label fills something in. Write it once.",
    "statements_lacking": "the label needs statements that are not in {language} here: {found}. "
    "Write each as '{first}: {{text: …, sure: C}}', one with a number under 'statements' as the "
    "law prints it, one with a name under 'cautions'.",
    "stray_file": "found a file that is no record. Records end in .md and stand in the folder of "
    "their kind; pictures (.jpg, .jpeg, .png, .webp, .heic) and attachments (.pdf, .txt, .csv, "
    ".odt, .docx and the like) lie in a folder called like their record. Rename it, or move it "
    "away.",
    "stray_folder": "found the folder '{found}', which is no kind of record{near}.",
    "told_outside": "found told on {told}, and the incident itself on {on}. It is told on that "
    "day or later, and before it is closed. Mend one of the dates.",
    "too_big": "the {what} is larger than any record needs. Look at what went into the file.",
    "too_deep": "the keys are nested more than {limit} levels deep.",
    "two_ways": "found both '{one}' and '{other}'; expected exactly one of them.",
    "unclosed_front": "the keys have no end; expected a second line '---' after the keys.",
    "unconditional": "found neither at_most nor at_least for {measure}; expected one of them.",
    "unknown_currency": "found the currency '{found}'; expected an ISO 4217 code such as EUR.",
    "unknown_helper": "found '{found}', but there is no helpers/{found}.md{near}. Once helpers "
    "are kept, whoever pours, burns or signs is one of them.",
    "unknown_item": "found '{found}'; expected a folder and an id, such as waxes/soy-blend{near}.",
    "unknown_key": "found the unknown key '{found}'{under}{near}. Mend or remove it.",
    "unknown_lot": "found lot '{found}' of {item}, which no purchase lists{near}. Mend the lot, "
    "or write it into the line of its purchase.",
    "unknown_unit": "found the unit '{found}', which is no unit of {what}{near}. Known: {known}.",
    "unpriced_currency": "found '{found}'; money is a plain number in the studio's currency.",
    "void_before": "found void on {void}, before the candle was poured on {on}. Mend one of the "
    "dates.",
    "wet_but_not_porous": "found a leak test that came out wet, in a vessel that is not said to "
    "be porous. It let water through: write porous: yes.",
    "wrong_dimension": "found '{found}', a {is}, where a {what} is due, for example '{example}'.",
}


_LONGEST_FOUND: Final = 80


def problem(place: Place, code: str, details: Mapping[str, object] | None = None) -> Problem:
    """Return the problem `code` at `place`, its message filled with `details`."""
    given = dict(details or {})
    given["found"] = _shortened(given.get("found"))
    near = given.get("near")
    given["near"] = f" (did you mean '{near}'?)" if near else ""
    return Problem(place, code, filled(MESSAGES[code], code, given))


def filled(message: str, code: str, given: Mapping[str, object]) -> str:
    """Return a message with its details; that one is missing is our own bug."""
    wanted = {name for _, name, _, _ in Formatter().parse(message) if name}
    assert wanted <= given.keys(), (code, wanted - given.keys())  # noqa: S101 -- ours, not a user's
    return message.format_map(given)


def _shortened(value: object) -> object:
    """Return what was found at a length that a message can bear."""
    if not isinstance(value, str) or len(value) <= _LONGEST_FOUND:
        return value
    return value[: _LONGEST_FOUND - 1] + "…"


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return the problems by file, line and column, each once."""
    return tuple(sorted(set(problems)))

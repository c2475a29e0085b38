"""The JSON Schema (draft 2020-12) of each kind of record, for editors and other programs.

Made of the shapes that the reader reads by: `forms` says what a key may hold, the guide "Writing a
record" what it means. A schema sees the keys of one record, each value by itself: never a sum, a
bound of a quantity or another record, and nothing below the keys. It takes whatever the reader
takes, but for `~` and `null`, which are blanks to YAML, for `-0`, and for blanks at the ends of a
word in quotes. So `handbook check` has the last word.

A value is a text, or what a loader of YAML 1.2 makes of it: `12` a number, `true` a truth, and
`2026-03-15` or `yes` a text.
"""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final

from handbook_builder.reading import forms
from handbook_builder.reading.forms import Form, form_of, quantity_pattern
from handbook_builder.reading.kinds.house import StudioRecord
from handbook_builder.reading.records import KINDS
from handbook_builder.reading.shape import keys_of
from handbook_builder.reports.key_help import help_for
from handbook_builder.writing.new_records import KIND_NAMES

Schema = dict[str, Any]
DRAFT: Final = "https://json-schema.org/draft/2020-12/schema"
# Keys of a maker's own, with which nothing is reckoned.
OWN_KEYS: Final = "^x-"
STUDIO: Final = "studio"
_NAME_OF: Final = {folder: name for name, folder in KIND_NAMES.items()}
# No sign that cannot be seen: the reader takes none. It knows more of them.
_UNSEEN: Final = (
    r"\u0000-\u0008\u000e-\u001b\u007f-\u0084\u0086-\u009f\u00ad\u200b-\u200f\u202a-\u202e"
    r"\u2060-\u2064\ufeff"
)
_SEEN: Final = rf"^[^{_UNSEEN}]*[^\s{_UNSEEN}][^{_UNSEEN}]*$"
_NO_LETTER: Final = r"\s0-9!-/:-@\[-`{-~"
_MONTH_AND_DAY: Final = r"-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])"
_TIME: Final = r"(?:[0-9]|[01][0-9]|2[0-3]):[0-5][0-9]"
_YES_NO: Final = "(?:[Yy][Ee][Ss]|[Nn][Oo]|[Tt][Rr][Uu][Ee]|[Ff][Aa][Ll][Ss][Ee])"


def schemas() -> Mapping[str, Schema]:
    """Return the schema of each kind of record by the name of its folder, and of `studio`."""
    kinds: Mapping[str, type] = {STUDIO: StudioRecord, **KINDS}
    return {folder: _record(_NAME_OF.get(folder, folder), cls) for folder, cls in kinds.items()}


def _record(name: str, cls: type) -> Schema:
    found = _shape(cls, name, ())
    return {"$schema": DRAFT, "title": name, **found, "patternProperties": {OWN_KEYS: True}}


def _shape(cls: type, name: str, path: tuple[str, ...]) -> Schema:
    """Return the schema of the keys of a shape; `path` are the keys around it."""
    keys = keys_of(cls)
    return {
        "type": "object",
        "properties": {key: _key(one.read, name, (*path, key)) for key, one in keys.items()},
        "required": [key for key, one in keys.items() if one.required],
        "additionalProperties": False,
    }


def _key(read: object, name: str, path: tuple[str, ...]) -> Schema:
    form = form_of(read)
    return {
        "description": " ".join((help_for(name, path), *_written_as(form))),
        **schema_of(form, name, path),
    }


def _written_as(form: Form) -> Iterator[str]:
    """Yield how the values of a key are written, where an example tells it."""
    match form:
        case forms.Quantity():
            yield f"({form.dimension.word}, {form.dimension.example})"
        case forms.Day():
            yield "(2026-03-15 09:30)" if form.timed else "(2026-03-15)"
        case forms.Many() | forms.Table():
            yield from _written_as(form.of if isinstance(form, forms.Many) else form.value)
        case forms.Either():
            yield from dict.fromkeys(word for one in form.forms for word in _written_as(one))


def schema_of(form: Form, name: str = "", path: tuple[str, ...] = ()) -> Schema:
    """Return the schema of a form; the kind's `name` and the keys in `path` are for the help."""
    match form:
        case forms.Many():
            return {
                "type": "array",
                "items": schema_of(form.of, name, path),
                "minItems": form.least,
            }
        case forms.Table():
            return _table(form, name, path)
        case forms.Keys():
            return _keys(form, name, path)
        case forms.Either():
            return {"anyOf": [schema_of(one, name, path) for one in form.forms]}
    return _SINGLE[type(form)](form)


def _table(form: forms.Table, name: str, path: tuple[str, ...]) -> Schema:
    value = schema_of(form.value, name, path)
    held: Schema = {"type": "object", "minProperties": form.least, "additionalProperties": value}
    if isinstance(form.key, forms.Choice):
        known = dict.fromkeys(form.key.known, value)
        return {**held, "properties": known, "additionalProperties": False}
    return {**held, "propertyNames": schema_of(form.key, name, path)}


def _keys(form: forms.Keys, name: str, path: tuple[str, ...]) -> Schema:
    found = _shape(form.shape, name, path)
    if form.ways:
        found["oneOf"] = [_way(way, closed=form.closed) for way in form.ways]
    if form.then:
        found["allOf"] = [
            {
                "if": {"properties": {form.told_by: {"const": word}}, "required": [form.told_by]},
                "then": {
                    "properties": {key: schema_of(one, name, path) for key, one in due.items()}
                },
            }
            for word, due in form.then.items()
        ]
    return found


def _way(way: tuple[str, ...], *, closed: bool) -> Schema:
    return {"required": list(way), **({"maxProperties": len(way)} if closed else {})}


def _words(form: forms.Words) -> Schema:
    pattern = _SEEN
    if form.least_letters:
        pattern = rf"(?:[^{_NO_LETTER}][\s\S]*?){{{form.least_letters}}}"
        return {"type": ["string", "boolean"], "pattern": pattern}  # true has four letters
    return {"type": ["string", "number", "boolean"], "pattern": pattern}


def _choice(form: forms.Choice) -> Schema:
    return {"enum": list(form.known)}


def _written(form: forms.Written) -> Schema:
    """Return the schema of a text, which may be of digits alone, and then is a number to YAML."""
    text = _text(form.pattern)
    if not any(forms.fits(form.pattern, one) for one in _DIGITS):
        return text
    return {"anyOf": [text, {"type": "number", "minimum": 0}]}


# Ids that a loader of YAML takes for numbers.
_DIGITS: Final = ("0", "12", "2026")


def _day(form: forms.Day) -> Schema:
    decades = "|".join(str(one) for one in range(form.first_year // 10, form.last_year // 10 + 1))
    pattern = f"(?:{decades})[0-9]{_MONTH_AND_DAY}"
    if form.timed:
        return _text(rf"{pattern}(?:(?:\s+|T){_TIME})?")
    return {**_text(pattern), "format": "date"}


def _yes_no(_form: forms.YesNo) -> Schema:
    return {"anyOf": [{"enum": ["yes", "no"]}, {"type": "boolean"}, _text(_YES_NO)]}


def _number(form: forms.Number) -> Schema:
    bounds = {
        "exclusiveMinimum" if form.above else "minimum": form.least,
        "maximum": form.most,
    }
    told = {key: bound for key, bound in bounds.items() if bound is not None}
    plain = {"type": "integer" if form.whole else "number", **told}
    return {"anyOf": [plain, _text(form.pattern)]}


def _quantity(form: forms.Quantity) -> Schema:
    return _text(quantity_pattern(form.dimension))


def _text(pattern: str) -> Schema:
    """Return the schema of a text that is a pattern as a whole, whatever blanks are around it."""
    return {"type": "string", "pattern": rf"^\s*(?:{pattern})\s*$"}


def _unsaid(form: forms.Unsaid) -> Schema:
    msg = f"{form.reader} does not say what it takes: see `takes` in reading/forms.py"
    raise TypeError(msg)


_SINGLE: Final[Mapping[type, Callable[[Any], Schema]]] = {
    forms.Unsaid: _unsaid,
    forms.Words: _words,
    forms.Choice: _choice,
    forms.Written: _written,
    forms.Day: _day,
    forms.YesNo: _yes_no,
    forms.Number: _number,
    forms.Quantity: _quantity,
}

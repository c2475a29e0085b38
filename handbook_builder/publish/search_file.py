"""The file that the search of the site loads: an inverted index, small enough for a telephone.

`words` are all words in order, and `places` say for each of them in which entries it stands, and
where: a row of numbers, each the distance from the entry before times four and the part of the
entry (`PARTS`). A number is written in digits of five bits, the lowest first, each a sign of
`_SIGNS`; all digits but its last have the sixth bit set.
"""

import json
import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from handbook_builder.publish.search import Entry
from handbook_builder.publish.search_words import Finding

FILE: Final = "search/search_index.js"
_SIGNS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
_BASE: Final = 32  # five bits
TEXT, HEAD, NAME = 1, 2, 3  # where a word stands, the weightier the higher
MANY: Final = 25  # sections
_ACCENTS: Final = re.compile("[\u0300-\u036f]")
# A day is one word, and so is a number with a point; finder.js cuts queries alike.
_WORD: Final = re.compile(r"\d{4}-\d{2}-\d{2}|\d+\.\d+|[^\W_]+")


def words_of(text: str) -> list[str]:
    """Return the words of a text in plain small letters; a per cent sign is a word."""
    plain = _ACCENTS.sub("", unicodedata.normalize("NFKD", text)).lower()
    return _WORD.findall(plain.replace("%", " percent "))


def written(entries: Sequence[Entry], finding: Finding, marks: Mapping[str, str]) -> str:
    """Return the index of `entries` as JSON; `marks` are the drawings of the tones of verdicts."""
    kinds, states, heads = _Table(), _Table(), _Table()
    shown = [_shown(entry, kinds, states, heads, finding) for entry in entries]
    asked = list(_asked(entries, finding))
    places = _places(entries, finding, asked)
    names = sorted(places)
    return json.dumps(
        {
            "entries": shown, "kinds": kinds.rows, "states": states.rows, "heads": heads.rows,
            "marks": marks, "words": ",".join(names), "places": [places[name] for name in names],
            "same": finding.same + finding.money, "spelt": finding.spelt, "little": finding.little,
            "dated": finding.dated,
            "asked": asked,
        },
        separators=(",", ":"), ensure_ascii=False,
    )  # fmt: skip


def write(folder: Path, data: str) -> None:
    """Write the index into the site, as a script: from a folder nothing else can be loaded."""
    target = folder / FILE
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(f"var handbookIndex = {data};\n", encoding="utf-8")


def entries_in(data: str) -> Iterator[tuple[str, str]]:
    """Yield the address of each entry of an index, and all that it shows."""
    told = json.loads(data[data.index("{") : data.rindex("}") + 1])
    kinds, heads = told["kinds"], told["heads"]
    for location, title, kind, _, code, lead, _, under, names in told["entries"]:
        titles = (heads[at][1] for at in under)
        yield location, "\n".join([title, kinds[kind], code, lead, *titles, *names])


class _Table:
    """Rows that many entries share, each written once."""

    def __init__(self) -> None:
        self.rows: list[Any] = []
        self._at: dict[Any, int] = {}

    def at(self, row: Any) -> int:  # noqa: ANN401 -- a text or a tuple of texts
        """Return the place of a row, which is added when it is new."""
        if row not in self._at:
            self._at[row] = len(self.rows)
            self.rows.append(row)
        return self._at[row]


def _shown(
    entry: Entry, kinds: _Table, states: _Table, heads: _Table, finding: Finding
) -> list[object]:
    """Return the row of one entry; `finder.js` reads it by place."""
    return [
        entry.location, entry.title, kinds.at(entry.kind), states.at((entry.word, entry.tone)),
        entry.code, entry.lead, entry.boost,
        [heads.at((anchor, title, " ".join(finding.sections.get(anchor, ()))))
         for anchor, title in entry.heads],
        entry.names,
    ]  # fmt: skip


def _places(
    entries: Sequence[Entry], finding: Finding, asked: Iterable[tuple[str, int, str]]
) -> dict[str, str]:
    """Return where each word stands, written out."""
    called: dict[int, list[str]] = defaultdict(list)
    for phrase, number, _ in asked:
        called[number].append(phrase)
    found: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for number, entry in enumerate(entries):
        others = [*called[number], *_called(entry, finding)]
        for word, part in _parts(entry, " ".join(others)).items():
            found[word].append((number, part))
    return {word: _row(rows) for word, rows in found.items()}


def _called(entry: Entry, finding: Finding) -> Iterator[str]:
    """Yield what the sections of an entry are called, on the page and by those who look for it."""
    for anchor, title in entry.heads:
        yield from (title, *finding.sections.get(anchor, ()))


def _parts(entry: Entry, called: str) -> dict[str, int]:
    """Return each word of an entry with the weightiest part of it in which the word stands."""
    parts = dict.fromkeys(words_of(entry.text), TEXT)
    # Of a page with a section for each of many things none is what that thing is looked up on.
    parts |= dict.fromkeys(words_of(called), HEAD if len(entry.heads) < MANY else TEXT)
    names = [entry.title, entry.kind.partition(":")[0], entry.word, *entry.names]
    return parts | dict.fromkeys(words_of(" ".join(names)), NAME)


def _row(rows: Iterable[tuple[int, int]]) -> str:
    last, signs = -1, []
    for number, part in rows:
        signs.append(_number((number - last) * 4 + part))
        last = number
    return "".join(signs)


def _number(value: int) -> str:
    signs = ""
    while value >= _BASE:
        signs += _SIGNS[value % _BASE + _BASE]
        value //= _BASE
    return signs + _SIGNS[value]


def _asked(entries: Sequence[Entry], finding: Finding) -> Iterator[tuple[str, int, str]]:
    """Yield what people ask, the entry that answers it, and the anchor in its page."""
    at = {entry.location: number for number, entry in enumerate(entries)}
    for place, phrases in finding.pages.items():
        path, _, anchor = place.partition("#")
        whole = f"{path}.html#{anchor}"
        number = at.get(whole, at.get(f"{path}.html"))
        if number is None:
            continue
        rest = "" if whole in at else anchor
        if not rest or rest in dict(entries[number].heads):
            yield from ((" ".join(words_of(phrase)), number, rest) for phrase in phrases)

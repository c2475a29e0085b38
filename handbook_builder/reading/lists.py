"""Values that hold others: lists, and maps of an id or a word to a value."""

from collections.abc import Mapping
from types import MappingProxyType

from handbook_builder.reading import forms
from handbook_builder.reading.fields import BAD, Bad, K, Reader, Report, T, kind_of
from handbook_builder.reading.forms import form_of, takes
from handbook_builder.reading.nodes import Map, Node, Sequence


def many(read: Reader[T], least: int = 0) -> Reader[tuple[T, ...]]:
    """Return a reader of a list, each entry read by `read`."""

    @takes(forms.Many(form_of(read), least))
    def read_all(node: Node, report: Report, key: str) -> tuple[T, ...] | Bad:
        if not isinstance(node, Sequence):
            return report.bad(node, "not_a_list", found=kind_of(node), key=key)
        if len(node.items) < least:
            return report.bad(node, "empty_list", key=key)
        found = [read(item, report, key) for item in node.items]
        good = tuple(one for one in found if not isinstance(one, Bad))
        return good if len(good) == len(found) else BAD

    return read_all


def one_or_many(read: Reader[T]) -> Reader[tuple[T, ...]]:
    """Return a reader of one entry, or a list of them, as a tuple either way."""

    @takes(forms.Either((form_of(read), forms.Many(form_of(read), 1))))
    def read_either(node: Node, report: Report, key: str) -> tuple[T, ...] | Bad:
        if isinstance(node, Sequence):
            return many(read, 1)(node, report, key)
        found = read(node, report, key)
        return found if isinstance(found, Bad) else (found,)

    return read_either


def table(read_key: Reader[K], read: Reader[T], least: int = 0) -> Reader[Mapping[K, T]]:
    """Return a reader of keys with values, sealed, in the order of the file."""

    @takes(forms.Table(form_of(read_key), form_of(read), least))
    def read_table(node: Node, report: Report, key: str) -> Mapping[K, T] | Bad:
        if not isinstance(node, Map):
            return report.bad(node, "not_a_map", found=kind_of(node), key=key)
        if len(node.entries) < least:
            return report.bad(node, "empty_list", key=key)
        found: dict[K, T] = {}
        lines: dict[K, int] = {}
        for its_key, value in node.entries:
            one, other = read_key(its_key, report, key), read(value, report, its_key.text)
            if isinstance(one, Bad) or isinstance(other, Bad):
                continue
            if one in lines:  # 1 h and 60 min are one key
                report.bad(its_key, "duplicate_key", found=its_key.text, first=lines[one])
            found[one], lines[one] = other, its_key.line
        return MappingProxyType(found) if len(found) == len(node.entries) else BAD

    return read_table

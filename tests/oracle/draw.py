"""A studio being drawn from a seed."""

from dataclasses import dataclass, field
from random import Random

from .read import Book, Record
from .spell import Pen


@dataclass
class Draw:
    """A studio being drawn: its random source, its pen and its records so far."""

    rng: Random
    pen: Pen
    book: Book = field(default_factory=dict)

    def add(self, kind: str, name: str, record: Record) -> None:
        """Put a record on file."""
        self.book.setdefault(kind, {})[name] = record

    def ids(self, kind: str) -> list[str]:
        """Return the ids of a kind, sorted."""
        return sorted(self.book.get(kind, {}))

    def chance(self, part: float) -> bool:
        """Return yes this often."""
        return self.rng.random() < part

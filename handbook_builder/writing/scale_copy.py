"""The file of a scale, kept as it came: the weights of a cycle can be worked out of it again.

It lies beside the records and not among them, where whatever is no record stops everything.
"""

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from handbook_builder.files import create_file

FOLDER: Final = "scale-logs"
_DIGITS: Final = 12  # of the digest, which says whether it is still the file that was read


@dataclass(frozen=True, slots=True)
class ScaleCopy:
    """What is kept of a file, and under which name: the test candle, the cycle and the digest."""

    path: Path
    data: bytes

    @property
    def shown(self) -> str:
        """Return the file as it lies in the studio's folder."""
        return f"{FOLDER}/{self.path.name}"

    def keep(self) -> None:
        """Write it, unless the same file is there; what the system refuses is an OSError."""
        self.path.parent.mkdir(exist_ok=True)
        if not self.path.is_file() or self.path.read_bytes() != self.data:
            create_file(self.path, self.data)


def copy_of(studio: Path, burn: str, cycle: int, data: bytes) -> ScaleCopy:
    """Return the copy of a file that gave a cycle of a burn its weights; nothing is written."""
    digest = hashlib.sha256(data).hexdigest()[:_DIGITS]
    return ScaleCopy(studio / FOLDER / f"{burn}-{cycle}-{digest}.csv", data)

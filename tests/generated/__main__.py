"""`python -m tests.generated SIZE FOLDER [SEED]` writes a studio."""

import sys
from pathlib import Path

from .sizes import SIZES
from .studio import write

_LEAST = 3


def main(words: list[str]) -> int:
    """Write the studio that is asked for, and return the exit status."""
    if len(words) < _LEAST or words[1] not in SIZES:
        sys.stderr.write(f"{__doc__}\nSIZE is one of {', '.join(SIZES)}.\n")
        return 2
    write(Path(words[2]), words[1], int(words[_LEAST]) if len(words) > _LEAST else 1)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv))

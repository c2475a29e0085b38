"""The checksum of everything that a studio's handbook says: `python tests/checksums.py STUDIO`.

A line a file of both editions of the site, and a line a command, in JSON and in words. Run it with
two states of the program (PYTHONPATH) and compare: what is only faster says the same.
"""

import hashlib
import os
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

COMMANDS = ("check", "why", "due", "figures", "price")
MOST = 6  # of the recipes, batches and lots that single commands are asked about


def names_in(studio: Path, kind: str) -> list[str]:
    """Return a few ids of a kind of record, from all over the folder."""
    found = sorted(path.stem for path in (studio / "records" / kind).glob("*.md"))
    return found[:: max(len(found) // MOST, 1)][:MOST]


def calls_of(studio: Path) -> list[list[str]]:
    """Return every call of a command whose answer is compared."""
    calls = [[name] for name in COMMANDS]
    calls += [[name, "--json"] for name in COMMANDS]
    for recipe in names_in(studio, "recipes"):
        calls += [[name, recipe] for name in ("pour", "why", "price", "compare")]
        calls += [[name, recipe, "--json"] for name in ("pour", "why", "price", "compare")]
    for batch in names_in(studio, "batches"):
        calls += [["trace", batch], ["trace", batch, "--json"]]
    for oil in names_in(studio, "fragrances"):
        calls += [["trace", f"fragrances/{oil}"], ["trace", f"fragrances/{oil}", "--json"]]
    return calls


def answer(studio: Path, call: list[str]) -> str:
    """Return the checksum of what a call prints, on both streams, and how it ends."""
    command = [sys.executable, "-m", "handbook_builder", *call, "--studio", str(studio)]
    done = subprocess.run(command, capture_output=True, check=False)
    said = hashlib.sha256(done.stdout + b"\0" + done.stderr).hexdigest()[:24]
    return f"{said}  {done.returncode}  {' '.join(call)}"


def files_of(studio: Path, folder: Path) -> list[str]:
    """Return the checksum of every file of both editions, built into `folder`."""
    command = [sys.executable, "-m", "handbook_builder", "build", "--studio", str(studio)]
    command += ["--site", str(folder / "site")]
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1")
    subprocess.run(command, check=True, capture_output=True, env=env)
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return [
        f"{hashlib.sha256(path.read_bytes()).hexdigest()[:24]}  {path.relative_to(folder)}"
        for path in files
    ]


def main() -> None:
    """Print all checksums of the studio that is named."""
    studio = Path(sys.argv[1]).resolve()
    with ThreadPoolExecutor(2) as several:
        lines = list(several.map(lambda call: answer(studio, call), calls_of(studio)))
    with tempfile.TemporaryDirectory(prefix="handbook-checksums-") as folder:
        lines += files_of(studio, Path(folder))
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()

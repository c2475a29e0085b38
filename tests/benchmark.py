"""How long a build takes, against bare MkDocs over the same pages: `python tests/benchmark.py`.

The demo studio is built by `handbook build`: reading, judging, telling and publishing both of its
editions. Then the content of every page of one edition is written down as Markdown (headings,
sentences, lists, tables; charts and forms are left out, which is in MkDocs' favour), listed in the
navigation of a bare mkdocs.yml, and built by `mkdocs build`: once with the same base theme, once
with MkDocs' own, which draws simpler pages and is shown for comparison. Each build is a process of
its own; the rounds take turns. Exit status 1 when ours takes longer over the pages of one edition
than bare MkDocs with the same theme takes over the same pages, by the time of the processor, so
that other work on the machine does not decide.
"""

import argparse
import html
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from html.parser import HTMLParser
from pathlib import Path

import yaml

ROOT = Path(__file__).resolve().parents[1]
OURS = "handbook build, two editions"
ONE = "handbook build, one edition"
BARE = "bare MkDocs, theme material"
LEFT_OUT = {"button", "form", "nav", "script", "style", "svg", "template"}
BLOCKS = {"p", "li", "dt", "dd", "caption", "figcaption", "summary", "h1", "h2", "h3", "h4", "h5"}


class ToMarkdown(HTMLParser):
    """Writes down the content of one page in Markdown."""

    def __init__(self) -> None:
        """Start with an empty page."""
        super().__init__()
        self.blocks: list[str] = []
        self._words: list[str] = []
        self._rows: list[list[str]] = []
        self._skipped = 0
        self._href = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin a block, a cell or a link."""
        if tag in LEFT_OUT:
            self._skipped += 1
        elif tag in BLOCKS:
            self._close_block("")
        elif tag == "table":
            self._close_block("")
            self._rows = []
        elif tag == "tr":
            self._rows.append([])
        elif tag in {"td", "th"}:
            self._words = []
        elif tag == "a":
            self._href = (dict(attrs).get("href") or "").replace(".html", ".md")
            self._words.append("[")
        elif tag in {"strong", "em", "code"}:
            self._words.append({"strong": "**", "em": "*", "code": "`"}[tag])

    def handle_endtag(self, tag: str) -> None:
        """End a block, a cell or a link."""
        if tag in LEFT_OUT:
            self._skipped -= 1
        elif tag in BLOCKS:
            self._close_block(tag)
        elif tag in {"td", "th"} and self._rows:
            self._rows[-1].append(self._text().replace("|", r"\|"))
        elif tag == "table":
            self._close_table()
        elif tag == "a":
            self._words.append(f"]({self._href})")
        elif tag in {"strong", "em", "code"}:
            self._words.append({"strong": "**", "em": "*", "code": "`"}[tag])

    def handle_data(self, data: str) -> None:
        """Keep the words."""
        if not self._skipped:
            self._words.append(html.escape(data, quote=False))

    def _text(self) -> str:
        words, self._words = " ".join("".join(self._words).split()), []
        return words

    def _close_block(self, tag: str) -> None:
        text = self._text()
        marks = {"li": "- ", "dt": "- ", "dd": "    "}
        sign = "#" * int(tag[1]) + " " if tag[:1] == "h" else marks.get(tag, "")
        if text:
            self.blocks.append(sign + text)

    def _close_table(self) -> None:
        rows = [row for row in self._rows if row]
        if not rows:
            return
        rows.insert(1, ["---"] * len(rows[0]))
        self.blocks.append("\n".join("| " + " | ".join(row) + " |" for row in rows))
        self._rows, self._words = [], []


def to_markdown(page: str) -> str:
    """Return the content of a finished page as Markdown."""
    start, end = page.index("<article"), page.index("</article>")
    reader = ToMarkdown()
    reader.feed(page[start:end])
    reader.close()
    return "\n\n".join(reader.blocks) + "\n"


def write_bare(site: Path, folder: Path, theme: str) -> None:
    """Write the pages of a finished site as a bare MkDocs project, all in its navigation."""
    pages = sorted(path for path in site.rglob("*.html") if path.name != "404.html")
    names = [path.relative_to(site).with_suffix(".md") for path in pages]
    for path, name in zip(pages, names, strict=True):
        target = folder / "docs" / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(to_markdown(path.read_text("utf-8")), "utf-8")
    config = {
        "site_name": "Bare",
        "theme": {"name": theme},
        "use_directory_urls": False,
        "nav": [{str(name.with_suffix("")): name.as_posix()} for name in names],
    }
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(config, sort_keys=False), "utf-8")


def timed(command: list[str], folder: Path) -> tuple[float, float]:
    """Return how long a command takes in its folder: seconds of the processor, of the clock."""
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1")
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(command, cwd=folder, env=env, check=True, capture_output=True)
    after, end = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return used, end - start


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> int:
    """Measure, print, and return the exit status."""
    options = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    options.add_argument("--studio", type=Path, default=ROOT, help="the studio to build")
    options.add_argument("--rounds", type=int, default=5)
    chosen = options.parse_args()
    studio = chosen.studio.resolve()
    with tempfile.TemporaryDirectory(prefix="handbook-benchmark-") as scratch:
        times = measure(studio, Path(scratch), chosen.rounds)
    medians = {}
    for name, runs in times.items():
        medians[name], clock = (statistics.median(seconds) for seconds in zip(*runs, strict=True))
        say(f"{name:34} {medians[name]:6.2f} s of the processor, {clock:6.2f} s by the clock")
    if medians[ONE] < medians[BARE]:
        return 0
    say(f"FAILED: {ONE} takes longer than {BARE}.")
    return 1


def measure(studio: Path, scratch: Path, rounds: int) -> dict[str, list[tuple[float, float]]]:
    """Return the times of each contender; a first build of each is not counted."""
    site = scratch / "site"
    words = ["build", "--studio", str(studio), "--site", str(site)]
    contenders = {OURS: ([sys.executable, "-m", "handbook_builder", *words], studio)}
    timed(*contenders[OURS])
    one = ["build", "--studio", str(studio), "--site", str(scratch / "one"), "--edition", "owner"]
    contenders[ONE] = ([sys.executable, "-m", "handbook_builder", *one], studio)
    timed(*contenders[ONE])
    bare = [sys.executable, "-m", "mkdocs", "build", "--quiet"]
    for theme in ("material", "mkdocs"):
        write_bare(site, scratch / theme, theme)
        contenders[f"bare MkDocs, theme {theme}"] = (bare, scratch / theme)
        timed(*contenders[f"bare MkDocs, theme {theme}"])
    pages = len(list((scratch / "material/docs").rglob("*.md")))
    say(f"{pages} pages, {rounds} rounds, median of each:")
    times: dict[str, list[tuple[float, float]]] = {name: [] for name in contenders}
    for _ in range(rounds):
        for name, (command, folder) in contenders.items():
            times[name].append(timed(command, folder))
    return times


if __name__ == "__main__":
    sys.exit(main())

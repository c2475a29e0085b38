"""A studio of made-up pages: what the publish room is tested with, whatever the records say.

`records/pages.json` holds the pages; the word BROKEN in any file there is a fault.
"""

import json
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from PIL import Image

from handbook_builder import workshop
from handbook_builder.pages.page import Page
from handbook_builder.publish import templates

VIEW = """<h1>{{ title }}</h1>
<p>{{ page.lead }}</p>
{% for target in page.links %}<p><a href="{{ link(target) }}">{{ target }}</a></p>
{% endfor %}
{% if page.table %}<table>{% for row in page.table %}<tr><td>{{ row }}</td></tr>{% endfor %}</table>
{% endif %}
<h2 id="notes">Notes</h2>
{{ page.notes | notes("burns") }}
"""
CONFIG = """site_name: Test studio
docs_dir: records
theme:
  name: material
plugins:
  - search
  - handbook:
      as_of: 2026-05-01
"""
GUIDE = "# Working with hot wax\n\nKeep a lid at hand. See [the start](../index.md).\n"


def page(path: str, title: str, **rest: object) -> dict[str, Any]:
    """Return one made-up page; what is not given is empty."""
    bare = {"lead": "", "links": [], "table": [], "notes": ""}
    made = {"path": path, "title": title, "boost": 1.0, "words": [], "content": {}} | rest
    return made | {"content": bare | made["content"]}


def few_pages() -> list[dict[str, Any]]:
    """Return pages of each kind that the search must tell apart."""
    return [
        page("index", "Today", content={"lead": "What may be poured.", "links": ["approved"]}),
        page("approved", "Approved products", content={"table": ["Cedar & fig", "Amber tumbler"]}),
        page(
            "products/cedar-fig",
            "Cedar & fig",
            boost=3.0,
            words=["cedar-fig", "K7QM-3FZ2-9TXB"],
            content={
                "lead": "Poured in the amber tumbler.",
                "links": ["vessels/amber-tumbler", "tests/cedar-fig-a#notes"],
            },
        ),
        page(
            "products/cedar-fig-clear",
            "Cedar & fig, clear",
            words=["cedar-fig-clear", "K7QM-3FZ2-9TXC"],
            content={"lead": "Not yet approved. In the clear tumbler."},
        ),
        page(
            "vessels/amber-tumbler",
            "Amber tumbler",
            words=["amber-tumbler"],
            content={"lead": "Glass, 73 mm inside."},
        ),
        page("vessels/clear-tumbler", "Clear tumbler", words=["clear-tumbler"]),
        *(
            page(
                f"tests/cedar-fig-{letter}",
                f"Cedar & fig, candle {letter.upper()}",
                boost=0.8,
                words=[f"cedar-fig-{letter}"],
                content={"notes": f"Burned in the amber tumbler. {note}"},
            )
            for letter, note in (("a", "A draught from the window."), ("b", ""), ("c", ""))
        ),
    ]


def write_studio(folder: Path, pages: list[dict[str, Any]] | None = None) -> Path:
    """Write a studio with these pages, one view, one guide and one photo; return its folder."""
    for name in ("records/burns", "site_templates/views", "site_templates/guides/guides"):
        (folder / name).mkdir(parents=True)
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    write_pages(folder, few_pages() if pages is None else pages)
    Image.new("RGB", (8, 6), "ivory").save(folder / "records/burns/pool.png")
    (folder / "site_templates/views/plain.html").write_text(VIEW, encoding="utf-8")
    (folder / "site_templates/guides/guides/hot-wax.md").write_text(GUIDE, encoding="utf-8")
    return folder


def write_pages(folder: Path, pages: list[dict[str, Any]]) -> None:
    """Write the pages of a studio again."""
    (folder / "records/pages.json").write_text(json.dumps(pages), encoding="utf-8")


def handbook_of(  # noqa: PLR0913, PLR0917 -- as the one that it stands in for
    records: Path,
    as_of: date,
    words_text: str | None = None,
    edition: str = "owner",
    known: tuple[str, ...] = (),
    studio_folder: Path | None = None,
) -> SimpleNamespace:
    """Stand in for the real reading and judging."""
    del as_of, words_text, edition, known, studio_folder
    faults = [
        f"{file.relative_to(records.parent)}:2:5: found BROKEN"
        for file in sorted(records.rglob("*"))
        if file.is_file() and b"BROKEN" in file.read_bytes()
    ]
    if faults:
        return SimpleNamespace(pages=(), problems=tuple(faults), account=None)
    raw = json.loads((records / "pages.json").read_text(encoding="utf-8"))
    pages = tuple(
        Page(it["path"], it["title"], "plain", it["content"], it["boost"], tuple(it["words"]))
        for it in raw
    )
    photos = [one.relative_to(records).as_posix() for one in records.rglob("*.png")]
    return SimpleNamespace(
        pages=pages,
        photos=dict(zip(photos, photos, strict=True)),
        attachments={},
        problems=(),
        studio_name="Test & studio",
        secrets=None,
        guide_values={"limit.rest": "90 min"},
        stale_after_days=7.0,
        account=None,
        words=None,
        wrong_link="",
    )


def stand_in() -> None:
    """Put the made-up reading in the place of the real one, for all of this process.

    The shipped guides are left out: they lead to pages that the made-up studio has not.
    """
    every = templates.layers

    def own_guides_only(studio: Path, name: str = "") -> list[Path]:
        own = studio.resolve()
        return [it for it in every(studio, name) if name != "guides" or it.is_relative_to(own)]

    templates.layers = own_guides_only
    workshop.handbook_of = handbook_of

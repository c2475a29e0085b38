"""No floor edition that tells a price, a supplier or a recipient is ever published.

Each case is a studio that tells one of them somewhere, in some spelling: either the edition is
published without it, or nothing is published at all and a message names the file.
"""

import json
import os
import re
import subprocess
import sys
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest
from PIL import Image, PngImagePlugin

from handbook_builder.publish.photos import SMALL_SIDE
from tests.money.floor import told_by
from tests.records_in_text import AS_FILED, counted, proven
from tests.search_index import entries_in, index_in

SUPPLIER, RECIPIENT = "quayside-candle-goods", "Marlene Oskar"
STUDIO = {
    **proven(),
    "purchases/bill.md": (
        f"---\nsupplier: {SUPPLIER}\non: 2026-02-01\nlines:\n"
        "  - {item: waxes/soy, quantity: 10 kg, price: 61.30, lot: W-1}\n"
        "  - {item: waxes/soy, quantity: 9 kg, price: 1250.00, lot: W-2}\nfreight: 8.50\n---\n"
    ),
    f"suppliers/{SUPPLIER}.md": "---\nkind: general\n---\n",
    "suppliers/tilda.md": "---\nkind: general\n---\n",
    "batches/one.md": (
        "---\nrecipe: fig\non: 2026-04-20\nmade: 9\nby: ilse\nlots: {waxes/soy: W-1}\ngiven:\n"
        f'  - {{on: 2026-04-25, to: "{RECIPIENT}", count: 2, how: sold}}\n---\n'
    ),
    "helpers/ilse.md": "---\nmay: [burn]\n---\n",
}
CONFIG = """site_name: Test studio
docs_dir: docs
markdown_extensions:
  - abbr
  - admonition
  - attr_list
  - pymdownx.snippets:
      base_path: [docs/parts]
theme:
  name: material
plugins:
  - search
  - handbook:
      as_of: 2026-05-01
"""

NAMES = (
    "Quayside Candle Goods", "QUAYSIDE CANDLE GOODS", "quayside-candle-goods",
    "quayside_candle_goods", "QuaysideCandleGoods", "quaysidecandlegoods.example",
    "**Quayside** *Candle* Goods", "Quayside&nbsp;Candle&nbsp;Goods",
    "Quay\u00adside Candle Goods", "Quay\u200bside Candle\u2060Goods",
    "Q\u0075\u0301ayside Candle Goods",
    "Quayside\u00a0Candle\u202fGoods", "Quayside,\nCandle Goods", "&#81;uayside Candle Goods",
    "Quayside", "quaysides", "Quayside's", "\uff31uayside Candle Goods", "Tilda",
    "Marlene Oskar", "Oskar, Marlene", "MARLENE", "M. Oskar", "Marlene_Oskar", "MarleneOskar",
    "Mar<b>lene</b> Oskar", "Marl\u00e8ne Oskar", "`Marlene` `Oskar`", "Marlene%20Oskar",
)  # fmt: skip
SUMS = (
    "61.30 EUR", "61,30 EUR", "61.30 eur", "EUR 61.30", "\u20ac61.30",
    "\u20ac 61,30", "61.30\u00a0\u20ac",
    "61 euros", "\u00a362", "62 USD", "62.-", "62,--", "1 250 EUR", "1.250,00", "1,250.00 EUR",
    "1\u202f250,00 EUR", "a price of 61.30", "it cost 1250 in all", "**61.30** EUR", "61&nbsp;EUR",
    "61.30", "EUR&#32;61.30", "8.5 Eur", "a margin of 60 %", "paid 8,50 for it",
)  # fmt: skip
# Pages of the program's own whose sums are examples, the same in every studio.
EXAMPLES = ("guides/writing-a-record", "reference/")
# What tells the secret, however a page is made: letters alone, and digits with their marks.
LETTERS = ("quayside", "tilda", "marlene", "oskar")
TOLD_SUM = re.compile(
    r"61[.,]30|1\D?250(?!\d)|8[.,]50?(?!\d)|\b6[12]\s?(?:eur|usd|\u20ac)|\u00a362|62[.,]-|60 %",
    re.IGNORECASE,
)


def plain(text: str) -> str:
    """Return the letters and digits of a text, with nothing between them and no accents."""
    once = unicodedata.normalize("NFKD", text).casefold()
    return "".join(one for one in once if one.isalnum())


def telling(site: Path) -> list[tuple[str, str]]:
    """Return where a published site tells a secret, by whatever file."""
    found = []
    for path in sorted(site.rglob("*")):
        name = path.relative_to(site).as_posix()
        if not path.is_file() or name.startswith(("assets/", "reference/")):
            continue
        data = path.read_bytes().decode("utf-8", "replace")
        told = told_by(data) if name.endswith(".html") else data
        shown = f"{name} {told}"
        if name != "guides/writing-a-record.html":
            sums = searchable(data) if name.startswith("search/") else shown
            found += [(name, one.group()) for one in TOLD_SUM.finditer(sums)]
        found += [(name, one) for one in LETTERS if one in plain(f"{shown} {data}")]
    return found


def searchable(index: str) -> str:
    """Return what the search knows of each page but the shipped one with sums for examples."""
    entries = entries_in(index_in(index))
    own = [one for one in entries if not one["location"].startswith(EXAMPLES)]
    assert len(own) > 10
    shown = ("title", "lead", "heads", "words")
    return "\n".join(" ".join(str(one[name]) for name in shown) for one in own)


class Built(NamedTuple):
    """What came of a build."""

    studio: Path
    status: int
    said: str

    @property
    def site(self) -> Path:
        """Return where the site is, if it was published."""
        return self.studio / "site"


def write(studio: Path, files: dict[str, str]) -> None:
    """Write files by their paths within the studio."""
    for path, text in files.items():
        (studio / path).parent.mkdir(parents=True, exist_ok=True)
        (studio / path).write_text(text, "utf-8")


def studio_in(folder: Path, records: dict[str, str] | None = None) -> Path:
    """Return a studio with a bill, a buyer, and a guide of its own."""
    files = counted(STUDIO | (records or {}))
    written = {f"records/{path}": text for path, text in files.items()}
    write(folder, {**written, "mkdocs.yml": CONFIG, "docs/own/index.md": "# Our own\n"})
    return folder


def built(studio: Path) -> Built:
    """Build the floor edition in a process of its own."""
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1")
    command = [sys.executable, "-m", "handbook_builder", "build", "--studio", str(studio),
               "--edition", "floor", "--site", str(studio / "site")]  # fmt: skip
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, env=env,
                          check=False)  # fmt: skip
    return Built(studio, done.returncode, done.stderr)


def assert_nothing_left(done: Built) -> None:
    """Assert that the site tells nothing, or that there is none and a message says why."""
    assert "Traceback" not in done.said
    if done.status == 0:
        assert telling(done.site) == []
        return
    assert done.status == 1
    assert "Nothing was published." in done.said
    assert re.search(r"^\S.*: the floor edition would tell '", done.said, re.MULTILINE), done.said
    assert not done.site.exists()


def test_the_search_of_this_test_finds(tmp_path: Path) -> None:
    """The test's own eye sees every spelling, or it would prove nothing."""
    for number, one in enumerate((*NAMES, *SUMS)):
        folder = tmp_path / str(number)
        folder.mkdir()
        shown = one.replace("**", "").replace("*", "").replace("`", "").replace("%20", " ")
        (folder / "page.html").write_text(f"<p>{shown}</p>", "utf-8")
        assert telling(folder), one


def test_notes_and_pages_lose_every_spelling(tmp_path: Path) -> None:
    """A note, a guide, its front matter, a part that it includes and an abbreviation: cleaned."""
    told = "\n\n".join(f"Seen {one} today." for one in (*NAMES, *SUMS))
    recipe = STUDIO["recipes/fig.md"] + f"\n{told}\n"
    studio = studio_in(tmp_path, {"recipes/fig.md": recipe})
    write(studio, {
        "docs/own/order.md": (
            f"---\ntitle: Orders for {RECIPIENT} at 61.30 EUR\ndescription: From Quayside at 8.50"
            f"\ntags: [Marlene]\n---\n\n{told}\n\n## For {RECIPIENT}\n\n"
            'The QCG sells it.\n\n--8<-- "part.md"\n\n'
            '[x](../own/index.md "Quayside at 61.30 EUR"){: data-of="Marlene" }\n\n'
            '!!! note "From Tilda"\n    61.30 EUR\n\n<!-- 61.30 EUR for Marlene -->\n\n'
            "*[QCG]: Quayside Candle Goods\n"
        ),
        "docs/parts/part.md": f"{RECIPIENT} pays 61.30 EUR, says Quayside.\n",
    })  # fmt: skip
    done = built(studio)
    assert (done.status, done.said) == (0, "")
    assert telling(done.site) == []
    page = (done.site / "own/order.html").read_text("utf-8")
    assert "an amount" in page
    assert "a supplier" in page
    assert "someone outside the studio" in page


IDS: dict[str, dict[str, str]] = {
    "a batch": {
        "batches/one.md": "(removed)",
        "batches/marlene-2026.md": STUDIO["batches/one.md"] + "For Marlene, see batch one.\n",
    },
    "an incident": {
        "incidents/oskar.md": (
            "---\nnumber: 1\non: 2026-04-26\nabout: batches/one\nwhat: it smoked at Oskar's\n---\n"
        )
    },
    "a lot": {
        "purchases/bill.md": STUDIO["purchases/bill.md"].replace("W-1", "QUAYSIDE-7"),
        "batches/one.md": STUDIO["batches/one.md"].replace("W-1", "QUAYSIDE-7"),
    },
    "a bill": {
        "purchases/bill.md": "(removed)",
        "purchases/quayside-61-30.md": STUDIO["purchases/bill.md"],
    },
}


@pytest.mark.parametrize("what", IDS)
def test_an_id_that_tells_a_name_is_shown_under_a_neutral_one(tmp_path: Path, what: str) -> None:
    """What sold, what failed and what was bought has another name at the bench, in every file."""
    folder = studio_in(tmp_path)
    records = {path: text for path, text in {**STUDIO, **IDS[what]}.items() if text != "(removed)"}
    write(folder, {f"records/{path}": text for path, text in counted(records).items()})
    for path in STUDIO.keys() - records.keys():
        (folder / "records" / path).unlink()
    done = built(folder)
    assert (done.status, done.said) == (0, "")
    assert telling(done.site) == []
    assert (done.site / "batches/fig-2026-04-20.html").is_file()


def picture(path: Path, **rest: object) -> None:
    """Write a small picture."""
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (8, 6), "ivory").save(path, **rest)


def _guide_called_so(studio: Path) -> None:
    write(studio, {"docs/own/quayside-candle-goods.md": "# Ordering\n"})


def _guide_beside(studio: Path) -> None:
    write(studio, {"docs/own/marlene.md": "# Ordering\n"})


def _guide_called_for_a_sum(studio: Path) -> None:
    write(studio, {"docs/own/box-at-61-30.md": "# Ordering\n"})


def _link_in_a_guide(studio: Path) -> None:
    write(studio, {"docs/own/a.md": "# A\n\n[a](https://x.example/?for=Marlene%20Oskar)\n"})


def _address_in_words(studio: Path) -> None:
    told = "# A\n\nSee https://quaysidecandlegoods.example/61-30 or `http://a.example/Marlene`.\n"
    write(studio, {"docs/own/a.md": told})


def _recipe_called_so(studio: Path) -> None:
    text = STUDIO["recipes/fig.md"].replace("Fig", "Wedding").replace(AS_FILED, "test_candles: 0")
    write(studio, {"records/recipes/marlene-wedding.md": text})


def _picture_called_so(studio: Path) -> None:
    picture(studio / "records/recipes/invoice-61-30-eur.png")
    picture(studio / "records/recipes/quaysidecandlegoods-invoice.png")
    write(studio, {"docs/own/b.md": "# B\n\n![Bill](oskar.png)\n"})
    picture(studio / "docs/own/oskar.png")


def _picture_with_words(studio: Path) -> None:
    words = PngImagePlugin.PngInfo()
    words.add_text("Comment", "61.30 EUR from Quayside for Marlene Oskar")
    picture(studio / "records/recipes/pool.png", pnginfo=words)
    picture(studio / "docs/own/pool.png", pnginfo=words)


def _drawing(studio: Path) -> None:
    drawn = '<svg xmlns="http://www.w3.org/2000/svg"><!-- 61.30 EUR --><metadata>Marlene'
    write(studio, {"docs/own/a.svg": f"{drawn}</metadata><text>Jar</text></svg>\n"})


def _drawing_of_a_name(studio: Path) -> None:
    drawn = '<svg xmlns="http://www.w3.org/2000/svg"><text>For Oskar</text></svg>\n'
    write(studio, {"docs/own/a.svg": drawn})


def _loose_style(studio: Path) -> None:
    write(studio, {"docs/own/a.css": "/* Marlene pays 61.30 EUR */\n", "docs/own/a.js": "//Tilda"})


def _named_script(studio: Path) -> None:
    write(studio, {"docs/own/a.js": "const box = 'EUR 61.30';\n",
                   "mkdocs.yml": CONFIG + "extra_javascript: [own/a.js]\n"})  # fmt: skip


def _site_called_so(studio: Path) -> None:
    write(studio, {"mkdocs.yml": CONFIG.replace("Test studio", "Marlene Oskar, 61.30 EUR")})


def _studio_called_so(studio: Path) -> None:
    record = studio / "records/studio.md"
    told = 'name: "Candles from 61.30 EUR, for Marlene Oskar"'
    record.write_text(record.read_text("utf-8").replace("name: Test studio", told), "utf-8")


def _footer_of_the_studio(studio: Path) -> None:
    told = "<footer>Soy from Tilda at 61.30 EUR, and a price of 1,250.00 for Marlene</footer>\n"
    write(studio, {"site_templates/theme/partials/footer.html": told})


def _hook(studio: Path) -> None:
    code = (
        "from pathlib import Path\n\n\ndef on_post_build(config, **rest):\n"
        "    Path(config.site_dir, 'list.txt').write_text('Marlene: 61.30 EUR')\n"
        "    Path(config.site_dir, 'list.html').write_text('<p>Marlene: 61.30 EUR</p>')\n"
    )
    write(studio, {"late.py": code, "mkdocs.yml": CONFIG + "hooks: [late.py]\n"})


def _evidence(studio: Path) -> None:
    vessel = STUDIO["vessels/tumbler.md"]
    told = vessel.replace("---\n", "", 1).partition("heat_evidence")[0]
    word = '  - {kind: makers_word, on: 2026-01-02, by: "Quayside, Anna Weber, +44 20 7946 0000"}'
    write(studio, {"records/vessels/second.md": f"---\n{told}heat_evidence:\n{word}\n---\n"})


PLACES: tuple[Callable[[Path], None], ...] = (
    _guide_called_so, _guide_beside, _guide_called_for_a_sum, _link_in_a_guide, _address_in_words,
    _recipe_called_so, _picture_called_so, _picture_with_words, _drawing, _drawing_of_a_name,
    _loose_style, _named_script, _site_called_so, _studio_called_so, _footer_of_the_studio, _hook,
    _evidence,
)  # fmt: skip
REFUSED = {
    "_guide_called_so", "_guide_beside", "_guide_called_for_a_sum", "_link_in_a_guide",
    "_recipe_called_so", "_drawing_of_a_name", "_named_script", "_hook",
}  # fmt: skip


@pytest.mark.parametrize("put", PLACES, ids=lambda put: put.__name__.strip("_"))
def test_wherever_it_stands_it_stays_in_the_studio(
    tmp_path: Path, put: Callable[[Path], None]
) -> None:
    """A file's name, a link, a picture's data, a drawing, a script, a hook: cleaned or refused."""
    studio = studio_in(tmp_path)
    put(studio)
    done = built(studio)
    assert_nothing_left(done)
    assert (done.status == 1) == (put.__name__ in REFUSED), done.said
    if put is _evidence:
        assert "7946" not in (done.site / "vessels/second.html").read_text("utf-8")


def test_a_find_publishes_neither_edition(tmp_path: Path) -> None:
    """Both former sites stand as they were, and nothing is left beside them."""
    studio = studio_in(tmp_path)
    command = [sys.executable, "-m", "handbook_builder", "build", "--studio", str(studio)]
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1")
    assert subprocess.run(command, env=env, check=False).returncode == 0
    assert {one.name for one in studio.glob("site*")} == {"site", "site-floor"}
    before = {path: path.stat().st_mtime_ns for path in studio.glob("site*/**/*")}
    _guide_called_so(studio)
    done = subprocess.run(command, env=env, check=False, capture_output=True, text=True)
    assert done.returncode == 1
    assert "own/quayside-candle-goods.html: the floor edition would tell" in done.stderr
    assert {path: path.stat().st_mtime_ns for path in studio.glob("site*/**/*")} == before
    assert not list(studio.glob(".site*"))


def test_a_word_that_is_no_secret_can_be_named(tmp_path: Path) -> None:
    """The studio says which word of a name tells nothing; the whole name stays withheld."""
    studio = studio_in(tmp_path)
    _guide_beside(studio)
    told = "# Ordering\n\nMarlene, and Marlene Oskar.\n"
    write(studio, {"docs/own/marlene.md": told,
                   "mkdocs.yml": CONFIG + "      ordinary_words: [Marlene]\n"})  # fmt: skip
    done = built(studio)
    assert (done.status, done.said) == (0, "")
    page = (done.site / "own/marlene.html").read_text("utf-8")
    assert "Marlene, and someone outside the studio." in page


def test_numbers_that_are_no_sums_stay(tmp_path: Path) -> None:
    """A weight, a size, a count and a date are told, though a bill has the same number."""
    told = "It weighs 61.30 g, is 8.50 mm wide, took 1250 hours; the rule asks for 62 of them."
    studio = studio_in(tmp_path, {"recipes/fig.md": STUDIO["recipes/fig.md"] + f"\n{told}\n"})
    done = built(studio)
    assert (done.status, done.said) == (0, "")
    assert told in (done.site / "products/fig.html").read_text("utf-8")


EVERY = (*NAMES, *SUMS)
ONE_LINE = [one for one in EVERY if "\n" not in one]
HEAD = "---\ntitle: {one}\ndescription: Of {one}\ntags: [{one}]\n---\n\n# A guide\n"


def _quoted(one: str) -> str:
    return json.dumps(one, ensure_ascii=False)


def _in_front_matter(studio: Path) -> None:
    for number, one in enumerate(EVERY):
        write(studio, {f"docs/own/{number}.md": HEAD.replace("{one}", _quoted(one))})


def _in_parts_that_are_included(studio: Path) -> None:
    parts = {f"docs/parts/{number}.md": f"Seen {one} today.\n" for number, one in enumerate(EVERY)}
    asked = "\n\n".join(f'--8<-- "{number}.md"' for number in range(len(EVERY)))
    write(studio, {**parts, "docs/own/a.md": f"# A\n\n{asked}\n"})


def _in_abbreviations(studio: Path) -> None:
    short = {f"ABR{number}": one for number, one in enumerate(ONE_LINE)}
    meant = "\n".join(f"*[{key}]: {one}" for key, one in short.items())
    write(studio, {"docs/own/a.md": f"# A\n\n{' and '.join(short)}.\n\n{meant}\n"})


def _in_headings_and_captions(studio: Path) -> None:
    picture(studio / "docs/own/pool.png")
    told = [f'## {one}\n\n![{one}](pool.png "{one}")\n\n| {one} |\n|---|\n| {one} |\n\n'
            f"```\n{one}\n```\n\n> {one}\n\n- {one}\n" for one in ONE_LINE]  # fmt: skip
    write(studio, {"docs/own/a.md": "# A\n\n" + "\n".join(told)})


def _in_the_names_of_pictures(studio: Path) -> None:
    write(studio, {"docs/own/a.md": "# A\n"})
    for one in ONE_LINE:
        picture(studio / f"records/recipes/seen {one}.png")
        picture(studio / f"docs/own/{one}.png")


def _in_the_data_of_pictures(studio: Path) -> None:
    told = "; ".join(EVERY)
    words = PngImagePlugin.PngInfo()
    words.add_itxt("Comment", told)
    for folder in ("records/burns", "docs/own"):
        picture(studio / folder / "pool.png", pnginfo=words)
        picture(studio / folder / "wall.jpg", comment=told.encode())
    text = (studio / "records/burns/fig-a.md").read_text("utf-8")
    write(studio, {"records/burns/fig-a.md": f"{text}\n![The pool](pool.png) ![It](wall.jpg)\n",
                   "docs/own/a.md": "# A\n\n![The pool](pool.png) ![It](wall.jpg)\n"})  # fmt: skip


def _in_the_names_of_lots(studio: Path) -> None:
    lines = "".join(f"  - {{item: waxes/soy, quantity: 1 kg, price: 61.30, lot: {_quoted(one)}}}\n"
                    for one in ("lot 61.30 EUR", "M. Oskar 7", "Quayside Candle Goods 9",
                                "MARLENE", "quaysidecandlegoods-3", "for 1 250 EUR"))  # fmt: skip
    bill = f"---\nsupplier: tilda\non: 2026-02-03\nlines:\n{lines}---\n"
    write(studio, {"records/purchases/tilda-61-30.md": bill})


EVERYWHERE: tuple[Callable[[Path], None], ...] = (
    _in_front_matter, _in_parts_that_are_included, _in_abbreviations, _in_headings_and_captions,
    _in_the_names_of_pictures, _in_the_data_of_pictures, _in_the_names_of_lots,
)  # fmt: skip


@pytest.mark.parametrize("put", EVERYWHERE, ids=lambda put: put.__name__.strip("_"))
def test_no_place_lets_any_spelling_out(tmp_path: Path, put: Callable[[Path], None]) -> None:
    """More than forty spellings in each place where a guide, a picture or a lot can tell one."""
    assert len(ONE_LINE) > 40
    studio = studio_in(tmp_path)
    put(studio)
    done = built(studio)
    assert_nothing_left(done)
    assert done.status == 0, done.said


def test_a_picture_that_is_called_for_a_day_or_a_size_stays(tmp_path: Path) -> None:
    """A bill has the number: but there is a unit behind it, or it is part of a date or a count."""
    names = ("wall 8.50 mm", "2026-04-20 pool", "pool-62", "net-61.30-g", "1250", "candle a 8-50-0")
    studio = studio_in(tmp_path)
    for one in names:
        picture(studio / f"records/burns/{one}.png")
        picture(studio / f"docs/own/{one}.png")
    done = built(studio)
    assert (done.status, done.said) == (0, "")
    for folder in ("photos/burns", "own"):
        assert {one.stem for one in (done.site / folder).glob("*.png")} == set(names)


def test_photos_of_both_editions_have_lost_where_and_by_what_they_were_taken(
    tmp_path: Path,
) -> None:
    """A photo of a telephone beside a burn and one beside a guide: points, and no more of them."""
    studio = studio_in(tmp_path)
    exif = Image.Exif()
    exif[0x010F], exif[0x8825] = "A telephone", {1: "N", 2: (51.0, 30.0, 0.0)}  # EXIF 2.3
    for place in ("records/burns/pool.jpg", "docs/own/pool.jpg"):
        Image.new("RGB", (3000, 2000), "ivory").save(studio / place, exif=exif)
    text = (studio / "records/burns/fig-a.md").read_text("utf-8")
    write(studio, {"records/burns/fig-a.md": f"{text}\n![The pool](pool.jpg)\n"})
    command = [sys.executable, "-m", "handbook_builder", "build", "--studio", str(studio)]
    done = subprocess.run(command, env=dict(os.environ, NO_MKDOCS_2_WARNING="1"), check=False,
                          capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 0, done.stderr
    found = list(studio.glob("site*/**/*.jpg"))
    names = sorted(one.relative_to(studio).as_posix() for one in found)
    each = ("own/pool.jpg", "photos/burns/pool.jpg", "photos/small/burns/pool.jpg")
    assert names == [f"{site}/{name}" for site in ("site-floor", "site") for name in each]
    for one in found:
        largest = SMALL_SIDE if "/small/" in one.as_posix() else 1600
        with Image.open(one) as shown:
            assert (dict(shown.getexif()), max(shown.size)) == ({}, largest), one
        assert b"telephone" not in one.read_bytes()

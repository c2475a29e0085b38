"""Our pages and files in MkDocs' own shapes: made in memory, outside its navigation."""

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from markupsafe import escape
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import get_toc

from handbook_builder.pages.page import Page
from handbook_builder.publish.headings import anchors, outline

PHOTO_SUFFIXES = {".avif", ".gif", ".jpeg", ".jpg", ".png", ".webp"}

# Parts of the base theme that a private site with a search of its own never loads.
_UNUSED = ("assets/javascripts/lunr/", "assets/javascripts/workers/", "sitemap.xml")


class HandbookPage(MkDocsPage):
    """A page of the handbook, whose content comes from a view and never through Markdown."""

    def __init__(
        self, file: File, config: MkDocsConfig, source: Page, render: Callable[[], str]
    ) -> None:
        """Take the place of `file` in the site; `render` is called once, when MkDocs asks."""
        super().__init__(None, file, config)
        self.source = source
        self._render = render

    def read_source(self, config: MkDocsConfig) -> None:
        """Set what MkDocs would read from front matter.

        Themes write a title as it is (their environment escapes nothing), so it is escaped here.
        """
        del config
        self.markdown = ""
        self.meta = {
            "title": escape(self.source.title),
            "search": {"boost": self.source.boost},
            "about": self.source.about,
            "room": self.source.room,
            "stands": self.source.stands,
            "beside": self.source.beside,
        }

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """Set the content, the outline and the anchors of the page."""
        del config, files
        self.content = self._render()
        self.toc = get_toc(outline(self.content))  # type: ignore[arg-type]
        self.present_anchor_ids = anchors(self.content)


def add_page(files: Files, config: MkDocsConfig, page: Page, render: Callable[[Page], str]) -> None:
    """Add one page of the handbook to the site, in place of a guide of the same path."""
    uri = f"{page.path}.md"
    file = File.generated(config, uri, content="", inclusion=InclusionLevel.NOT_IN_NAV)
    HandbookPage(file, config, page, lambda: render(page))
    _put(files, file)


def add_paper(files: Files, config: MkDocsConfig, paper: Page, content: str) -> None:
    """Add one paper to the site, a file with a frame of its own."""
    _put(files, File.generated(config, f"{paper.path}.html", content=content))


def add_made(files: Files, config: MkDocsConfig, made: Mapping[str, bytes]) -> None:
    """Add files to the site that were made in this build, each by its address."""
    for uri, data in made.items():
        _put(files, File.generated(config, uri, content=data))


def add_files(files: Files, config: MkDocsConfig, sources: Mapping[str, Path]) -> None:
    """Add files on the disk to the site, each by the path that it gets there."""
    for uri, path in sources.items():
        _put(files, File.generated(config, uri, abs_src_path=str(path)))


def lying_in(records: Path, paths: Mapping[str, str]) -> dict[str, Path]:
    """Return files among the records by where they stand in the site; `paths` are below them."""
    return {uri: records / path for uri, path in paths.items()}


# Records whose pictures are of bills and of those who sent them.
_FOR_THE_OWNER = ("purchases/", "suppliers/")

# What a page of a docs folder may show; anything else there could be a price list.
_SHOWN = PHOTO_SUFFIXES | {".svg"}


def for_the_floor(photos: Mapping[str, Path], names: Callable[[str], bool]) -> dict[str, Path]:
    """Return the pictures that the floor edition may show: no bill, and none that names a name."""
    return {
        uri: path
        for uri, path in photos.items()
        if not uri.startswith(_FOR_THE_OWNER) and not names(uri)
    }


def add_lying(files: Files, config: MkDocsConfig, records: Path, paths: Mapping[str, str]) -> None:
    """Add files among the records to the site as they are, each by where it stands there."""
    add_files(files, config, lying_in(records, paths))


def drop_attachments(files: Files, config: MkDocsConfig, names: Callable[[str], bool]) -> None:
    """Take out of the site what no page shows: a table or a letter may hold prices and names.

    A style sheet or a script stays when mkdocs.yml names it, and a picture unless its own name
    tells what may not be told.
    """
    named = {str(uri) for uri in (*config.extra_css, *config.extra_javascript)}
    for file in list(files):
        suffix = Path(file.src_uri).suffix.lower()
        is_shown = suffix in _SHOWN and not names(file.src_uri)
        is_theirs = file.src_uri in named or _is_of(config, file)
        if not (is_shown or is_theirs or file.is_documentation_page()):
            files.remove(file)


def _is_of(config: MkDocsConfig, file: File) -> bool:
    """Return whether a file comes from a theme or a plug-in, and from no folder of guides."""
    if file.src_dir is None:
        return file.abs_src_path is None
    return file.src_dir in config.theme.dirs


def drop_sources(files: Files, folders: Iterable[Path]) -> None:
    """Take records and templates out that lie in MkDocs' docs folder: they are no pages."""
    roots = [folder.resolve() for folder in folders]
    for file in list(files):
        if file.src_dir is None or file.abs_src_path is None:
            continue
        path = Path(file.abs_src_path).resolve()
        if any(path.is_relative_to(root) for root in roots):
            files.remove(file)


def drop_unused(files: Files) -> None:
    """Take the base theme's own search, its source maps and the site map out of the site."""
    for file in list(files):
        if file.src_uri.startswith(_UNUSED) or file.src_uri.endswith(".map"):
            files.remove(file)


def _put(files: Files, file: File) -> None:
    if files.get_file_from_path(file.src_uri) is not None:
        files.remove(file)
    files.append(file)

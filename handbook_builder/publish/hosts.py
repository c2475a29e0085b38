"""Where the owner's edition may go: to no host that others can read."""

from typing import Final

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort

_AT_HOME: Final = frozenset({"build", "serve"})
_PUBLISHERS: Final = frozenset({"mike"})  # plug-ins whose builds are pushed to a host

_MESSAGE: Final = (
    "{what} puts the handbook on a host where others may read it, and this is the owner's edition, "
    "with prices, suppliers and recipients. Nothing was published. Publish the floor edition "
    "instead ('edition: floor' under the plug-in 'handbook' in mkdocs.yml). If nobody but the "
    "owner can read that host, write 'private_host: true' there."
)


def refuse_to_publish(command: str, edition: str, *, private_host: bool) -> None:
    """Stop a command that would put the owner's edition on a host, unless that is private."""
    if command not in _AT_HOME and edition == "owner" and not private_host:
        raise Abort(_MESSAGE.format(what=f"The command '{command}'"))


def refuse_publishers(config: MkDocsConfig, edition: str, *, private_host: bool) -> None:
    """Stop a build for a plug-in that pushes what is built, unless its host is private."""
    found = _PUBLISHERS & set(config.plugins)
    if found and edition == "owner" and not private_host:
        raise Abort(_MESSAGE.format(what=f"The plug-in '{min(found)}'"))

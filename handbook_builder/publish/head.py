"""What stands in the head of every page: keep out of public indexes, ask no other host."""

import re

# `file:` is for a site opened from a folder, where 'self' matches nothing in some browsers.
# The base theme starts itself by scripts inside the page.
_ALLOWED = (
    "default-src 'none'",
    "script-src 'self' file: 'unsafe-inline'",
    "style-src 'self' file: 'unsafe-inline'",
    "img-src 'self' file: data:",
    "font-src 'self' file:",
    "connect-src 'self' file:",
    "base-uri 'none'",
    "form-action 'self'",
)
POLICY = "; ".join(_ALLOWED)
_HEAD = re.compile(r"<head[^>]*>")
# The base theme writes it where HTML does not allow it; handbook.js sets it for the browser that
# would give a ticked box back.
_NO_FIELD = re.compile(r'(<input [^>]*type="checkbox" [^>]*) autocomplete="off">')


def private(output: str) -> str:
    """Return the page `output` with its privacy lines; a page without a head is left as it is."""
    lines = [f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">']
    if 'name="robots"' not in output:
        lines.append('<meta name="robots" content="noindex, nofollow">')
    if 'name="referrer"' not in output:
        lines.append('<meta name="referrer" content="no-referrer">')
    output = _NO_FIELD.sub(r"\1>", output, count=2)
    return _HEAD.sub(lambda head: "\n    ".join([head.group(), *lines]), output, count=1)

"""Who may do what and must read what, as one plain structure for other programs."""

from typing import Any

from handbook_builder.derived.account import Account
from handbook_builder.derived.hands import MustRead, must_read


def hands_report(account: Account) -> dict[str, Any]:
    """Return `helpers` by id and `guides` by name (see `reports.figures`)."""
    studio = account.studio
    due = must_read(studio, account.judged.as_of, account.guides)
    return {
        "guides": dict(account.guides),
        "helpers": {
            ident: {
                "may": list(helper.may),
                "must_read": [_plain(one) for one in due if one.helper == ident],
            }
            for ident, helper in sorted(studio.helpers.items())
        },
    }


def _plain(one: MustRead) -> dict[str, Any]:
    return {
        "page": one.page,
        "why": one.why.value,
        "since": None if one.since is None else one.since.isoformat(),
        "edition": one.edition,
        "now": one.now,
    }

"""Who may do what and must read what, as one plain structure for other programs."""

from handbook_builder.derived.account import Account
from handbook_builder.derived.hands import MustRead, must_read


def hands_report(account: Account) -> dict[str, object]:
    """Return `helpers` by id and `guides` by name (see `reports.figures`)."""
    studio = account.studio
    due = must_read(studio, account.judged.as_of, account.guides)
    return {
        "guides": account.guides,
        "helpers": {
            ident: {
                "may": helper.may,
                "must_read": [_guide(must_read) for must_read in due if must_read.helper == ident],
            }
            for ident, helper in studio.helpers.items()
        },
    }


def _guide(one: MustRead) -> dict[str, object]:
    return {
        "page": one.page,
        "why": one.why,
        "since": one.since,
        "edition": one.edition,
        "now": one.now,
    }

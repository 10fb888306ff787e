"""Which role may call which address? The table of the guide's page on people, from the code."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from slackwater.api.app import create_app
from slackwater.api.least_role import roles_of
from slackwater.desk.showing import Shown
from slackwater.errors import NotHere
from slackwater.people.roles import Caller, Least, Role

HEADING = "## Addresses"
PAGE = Path(__file__).parent.parent / "guide" / "people.md"
YES, NO = "yes", ""
HELD = {Least.MEETING: "with the code", Least.FACILITATOR: "with the key"}
"""What suffices whatever somebody's role is."""


class NothingShown:
    """Stands where a catchment would: which addresses there are does not depend on it."""

    def of(self, case: str = "") -> Shown:
        """Refuse."""
        raise NotHere(f"nothing is shown here, {case or 'no case'} either")


def roles_table(routes: Iterable[tuple[str, str, Least | None]]) -> str:
    """Write the table in Markdown, a line a path and least role, the most open ones first."""
    methods: dict[tuple[Least, str], list[str]] = {}
    for method, path, role in routes:
        if role is not None:
            methods.setdefault((role, path), []).append(method)
    order = list(Least)
    lines = sorted(methods.items(), key=lambda each: (order.index(each[0][0]), each[0][1]))
    head = ["address", "least role", *Role]
    return "\n".join((
        f"| {' | '.join(head)} |",
        f"|{' --- |' * len(head)}",
        *(_line(role, path, sorted(verbs)) for (role, path), verbs in lines),
    ))  # fmt: skip


def _line(role: Least, path: str, methods: list[str]) -> str:
    yes = HELD.get(role, YES)
    may = (yes if Caller("", frozenset({each})).may(role) else NO for each in Role)
    return f"| `{', '.join(methods)} {path}` | {role.value} | {' | '.join(may)} |"


def with_table(page: str) -> str:
    """Give the guide's page with the table as it is now, in place of all below its heading's text.

    The first paragraph below the heading is written by hand and stays.
    """
    before, _, below = page.partition(f"{HEADING}\n")
    words = below.strip().partition("\n|")[0].strip()
    table = roles_table(roles_of(create_app(NothingShown())))
    return f"{before}{HEADING}\n\n{words}\n\n{table}\n"


if __name__ == "__main__":
    PAGE.write_text(with_table(PAGE.read_text(encoding="utf-8")), encoding="utf-8")

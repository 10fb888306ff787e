"""Known vulnerabilities fail the check; where nobody was asked, that is said and not kept quiet.

Source: OWASP ASVS 4.0.3, 14.2.1 (components are checked).
"""

from __future__ import annotations

import json
import runpy
import stat
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
AUDIT: dict[str, Any] = runpy.run_path(str(ROOT / "scripts/audit"), run_name="audit")
SKIPPED = {"name": "reed", "skip_reason": "not found"}
SOUND = {"name": "heron", "version": "1.0", "vulns": []}
KNOWN = {"name": "otter", "version": "2.0", "vulns": [{"id": "X-2026-1", "fix_versions": ["2.1"]}]}


def of_python(*listed: dict[str, Any]) -> tuple[bool, str]:
    failed, line = AUDIT["python_found"]("a lock", json.dumps({"dependencies": listed}))
    return failed, line


def test_a_known_vulnerability_fails_and_is_named() -> None:
    """With the package, what is known of it, and what is better."""
    failed, line = of_python(SOUND, KNOWN, SKIPPED)
    assert failed
    assert "otter 2.0: X-2026-1 (better: 2.1)" in line
    page = {"vulnerabilities": {"reed": {"severity": "high", "range": "<2"}}, "metadata": {}}
    failed, line = AUDIT["page_found"](json.dumps(page))
    assert failed
    assert "reed: high (<2)" in line


@pytest.mark.parametrize("output", ["", "no answer", "[]", '{"dependencies": []}',
                                    '{"error": {"code": "ENOAUDIT"}}',
                                    '{"message": "405"}'])  # fmt: skip
def test_where_nobody_answers_it_says_so_and_goes_on(output: str) -> None:
    """Silence is no clean result."""
    for failed, line in (AUDIT["python_found"]("a lock", output), AUDIT["page_found"](output)):
        assert not failed
        assert "NOTHING WAS AUDITED" in line
    failed, line = of_python(SKIPPED, SKIPPED)
    assert (failed, "NOTHING WAS AUDITED" in line) == (False, True)


def test_what_was_left_out_is_counted() -> None:
    """Some answered for, some not: both numbers are told."""
    failed, line = of_python(SOUND, SKIPPED, SOUND)
    assert (failed, line) == (
        False, "Packages of a lock: 2 audited, no known vulnerability; 1 NOT AUDITED."
    )  # fmt: skip
    page = {"vulnerabilities": {}, "metadata": {"dependencies": {"total": 9}}}
    assert AUDIT["page_found"](json.dumps(page)) == (
        False, "Packages of the page: 9 audited, no known vulnerability."
    )  # fmt: skip


def test_the_check_runs_it() -> None:
    """As its last step, on the lock files with their hashes, resolving nothing."""
    assert "scripts/audit" in (ROOT / "scripts/check").read_text()
    assert (ROOT / "scripts/audit").stat().st_mode & stat.S_IXUSR
    assert {"--require-hashes", "--disable-pip"} <= set(AUDIT["PIP_AUDIT"])


def test_the_built_page_has_no_code_or_style_of_its_own() -> None:
    """The content policy allows none: every script and style sheet is a file of its own."""
    from html.parser import HTMLParser

    found: list[str] = []

    class Page(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            said = dict(attrs)
            if tag == "style" or (tag == "script" and not said.get("src")):
                found.append(tag)
            found.extend(n for n in said if n.startswith("on") or n in ("style", "srcdoc"))
            for name in ("src", "href"):
                value = said.get(name) or "/"
                if not value.startswith("/") or value.startswith("//"):
                    found.append(value)

    pages = sorted((ROOT / "server/slackwater/page").glob("*.html"))
    assert pages, "the page is not built; scripts/setup builds it"
    for each in pages:
        Page().feed(each.read_text())
    assert found == []

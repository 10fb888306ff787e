"""The validation report: values from outside, each with its source, held against the server.

One module a source. Each declares

- ``SOURCE``: who says so;
- ``WHERE``: where in it, or how the value follows;
- ``KNOWN``: one of `WAYS_OF_KNOWING`. Nothing remembered passes for read, nothing the trade merely
  does passes for published, and no planning assumption stands here at all.

A module without them is not collected: the run fails. Running this folder alone
(``pytest tests/published``) prints the report.

Values that the page of outside values lists and that no test here holds, and why: head loss of a
screen (it is an input; no loss coefficient is computed, so the library fluids has nothing to be
compared with), intakes at least 300 mm above the bed,
open area below 40 per cent and diving near intakes (advice shown, nothing computed), loss over a
whole estuary (a caution shown), the price of screens in old dollars (the price list is the user's
own; only that small ones are dearer per unit is held). Values about choosing a set under a budget
and about the worth of a measurement come with that work.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import pytest

HERE = Path(__file__).parent
TEXT_READ = "text read"
FROM_MEMORY = "from memory"
COMPUTED = "computed from the stated formula"
COMMON_PRACTICE = "common practice, no source"
WAYS_OF_KNOWING = (TEXT_READ, FROM_MEMORY, COMPUTED, COMMON_PRACTICE)


@dataclass(frozen=True)
class Line:
    """One line of the report."""

    source: str
    where: str
    known: str
    what: str
    published: str
    ours: str


LINES = pytest.StashKey[list[Line]]()
Agrees = Callable[..., None]


def what_is_missing(module: ModuleType) -> str:
    """Say what a module of this folder fails to declare, "" where nothing."""
    for name in ("SOURCE", "WHERE", "KNOWN"):
        value = getattr(module, name, "")
        if not isinstance(value, str) or not value.strip():
            return f"{name} is not declared: every value here names its source"
    if module.KNOWN not in WAYS_OF_KNOWING:
        return f"KNOWN is {module.KNOWN!r}; it must be one of {', '.join(WAYS_OF_KNOWING)}"
    return ""


class SourcedModule(pytest.Module):
    """A module that is collected only with its source."""

    def collect(self):  # type: ignore[no-untyped-def]
        """Collect the tests, or fail."""
        missing = what_is_missing(self.obj)
        if missing:
            raise self.CollectError(f"{self.path.name}: {missing}")
        return super().collect()


def pytest_pycollect_makemodule(module_path: Path, parent: pytest.Collector) -> pytest.Module:
    """Make every test module of this folder a sourced one."""
    return SourcedModule.from_parent(parent, path=module_path)


@pytest.fixture
def agrees(request: pytest.FixtureRequest) -> Agrees:
    """Give a check of one value, which also writes the report's line.

    ``agrees(what, published, ours, within=tolerance)``; ``within`` is absolute. Without it the two
    must be equal (words, flags).
    """
    lines = request.config.stash.setdefault(LINES, [])
    module = request.module

    def check(what: str, published: object, ours: object, within: float | None = None) -> None:
        if within is None:
            shown = str(published), str(ours)
        else:
            shown = f"{published:.8g} (+-{within:.2g})", f"{ours:.8g}"
        lines.append(Line(module.SOURCE, module.WHERE, module.KNOWN, what, *shown))
        if within is None:
            assert ours == published, what
        else:
            assert ours == pytest.approx(published, rel=0, abs=within), what

    return check


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    """Print the report where this folder alone was run."""
    lines = config.stash.get(LINES, [])
    paths = [Path(str(argument).split("::")[0]).resolve() for argument in config.args]
    if not lines or not all(path == HERE or HERE in path.parents for path in paths):
        return
    terminalreporter.section("values from outside")
    source = ""
    for line in lines:
        if line.source != source:
            source = line.source
            terminalreporter.write_line(f"{source}")
            terminalreporter.write_line(f"  {line.where} [{line.known}]")
        terminalreporter.write_line(
            f"    {line.what:<58} published {line.published:<24} ours {line.ours}"
        )

"""The settings while they are read: what is filled so far, and what is at fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import isnan
from typing import Any

from slackwater.catchment.cells import parse_cells
from slackwater.catchment.fields import Field
from slackwater.catchment.findings import Findings, did_you_mean, shown
from slackwater.errors import Finding


@dataclass
class SettingsReading:
    """The settings while they are read.

    Attributes
    ----------
    values : dotted key -> value of each setting that is filled.
    bad : dotted keys at fault.
    """

    given: Mapping[str, Any]
    lines: Mapping[str, int]
    findings: Findings
    values: dict[str, Any] = field(default_factory=dict)
    bad: set[str] = field(default_factory=set)

    def fault(self, dotted: str, value: Any, code: str, remedy: str) -> None:
        """Add a fault of one setting."""
        self.bad.add(dotted)
        self.findings.fault(self._finding(dotted, value, code, remedy))

    def warn(self, dotted: str, value: Any, code: str, remedy: str) -> None:
        """Add a warning about one setting."""
        self.findings.warn(self._finding(dotted, value, code, remedy))

    def cell(self, dotted: str, described: Field, value: Any) -> Any:
        """Understand one value as its field says; None where it is empty or at fault."""
        if isinstance(value, Mapping) or (
            isinstance(value, Sequence) and not isinstance(value, str)
        ):
            self.fault(dotted, value, "bad_setting", "one value, no list or table")
            return None
        parsed = parse_cells(described, [value])
        for code, remedy in parsed.troubles.values():
            self.fault(dotted, value, code, remedy)
            return None
        result = parsed.values.tolist()[0]
        return None if result == "" or (isinstance(result, float) and isnan(result)) else result

    def table(self, name: str) -> Mapping[str, Any]:
        """Give a table of the settings, empty where there is none."""
        given = self.given.get(name, {})
        if isinstance(given, Mapping):
            return given
        if name not in self.bad:
            self.fault(name, given, "bad_setting", f"a table, [{name}]")
        return {}

    def unknown(self, dotted: str, value: Any, known: Sequence[str]) -> None:
        """Report a key that a known table does not have."""
        own = dotted.rsplit(".", 1)[-1]
        hint = did_you_mean(own, known) or ": " + ", ".join(known)
        self.fault(dotted, value, "unknown_key", f"no such key{hint}")

    def _finding(self, dotted: str, value: Any, code: str, remedy: str) -> Finding:
        parts = dotted.split(".")
        row = next(
            (
                self.lines[near]
                for stop in range(len(parts), 0, -1)
                if (near := ".".join(parts[:stop])) in self.lines
            ),
            None,
        )
        return Finding("catchment", row, "", dotted, shown(value), code, remedy)

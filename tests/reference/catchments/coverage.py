"""How often each feature occurs over many invented catchments."""

from __future__ import annotations

from collections.abc import Iterable

from .features import FEATURES


def coverage_counts(sets: Iterable[frozenset[str]]) -> dict[str, int]:
    """In how many of the catchments each feature occurs, features that never do included."""
    counts = dict.fromkeys(sorted(FEATURES), 0)
    for features in sets:
        for feature in features:
            counts[feature] += 1
    return counts


def print_coverage_table(sets: Iterable[frozenset[str]]) -> dict[str, int]:
    """Prints feature and count, the rarest first, and gives the counts."""
    counts = coverage_counts(sets)
    for feature, count in sorted(counts.items(), key=lambda entry: (entry[1], entry[0])):
        print(f"{feature:20} {count:4}")
    return counts

"""A real browser for paper and files."""

from __future__ import annotations

from tests.journeys.conftest import browser

__all__ = ["browser"]

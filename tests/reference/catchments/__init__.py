"""Invents small catchments, valid under the data contract, in which the model's rules matter."""

from __future__ import annotations

from .coverage import print_coverage_table
from .generate import generate

__all__ = ["generate", "print_coverage_table"]

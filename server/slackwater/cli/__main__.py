"""Runs the command line as ``python -m slackwater.cli``."""

from __future__ import annotations

from slackwater.cli import main

main()

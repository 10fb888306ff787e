"""Ratios against general libraries, in one run, outside the default tests: ``scripts/bench``."""

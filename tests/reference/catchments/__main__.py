"""Prints how often each feature occurs: `python -m tests.reference.catchments
[number of seeds]`.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from .coverage import print_coverage_table
from .generate import generate

seeds = range(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
with TemporaryDirectory() as place:
    print_coverage_table(generate(Path(place) / str(seed), seed) for seed in seeds)

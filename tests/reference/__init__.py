"""An independent reference of the model, loop by loop, written from the model page alone.

Read it beside the model page: each docstring names the section it follows. It imports nothing of
the product; it exists to catch the product's mistakes.
"""

from __future__ import annotations

from .funding import NoSetPossibleError, fund
from .scoring import score

__all__ = ["NoSetPossibleError", "fund", "score"]

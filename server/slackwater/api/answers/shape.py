"""What do all answers have in common? They hold what they name, and show an example."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict


class Answer(BaseModel):
    """An answer holds what it names and nothing else."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def like(example: dict[str, Any]) -> ConfigDict:
    """Give the configuration of an answer that shows an example in the description."""
    return ConfigDict(extra="forbid", frozen=True, json_schema_extra={"examples": [example]})

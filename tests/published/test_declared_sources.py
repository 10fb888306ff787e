"""Does a module without its source really fail?"""

from __future__ import annotations

from types import ModuleType

import pytest

SOURCE = "This folder's own rule"
WHERE = "SOURCE, WHERE and KNOWN stand in every module"
KNOWN = "computed from the stated formula"

WHOLE = {"SOURCE": "someone", "WHERE": "table 1", "KNOWN": "text read"}


@pytest.mark.parametrize("absent", WHOLE)
def test_a_module_that_declares_too_little_is_named(
    absent: str, request: pytest.FixtureRequest
) -> None:
    """Collection fails on a module without one of the three, and says which."""
    made = ModuleType("made")
    for name, value in WHOLE.items():
        if name != absent:
            setattr(made, name, value)
    node = request.node.getparent(pytest.Module)
    made_node = type(node).from_parent(node.parent, path=node.path)
    made_node.obj = made
    with pytest.raises(made_node.CollectError, match=absent):
        made_node.collect()

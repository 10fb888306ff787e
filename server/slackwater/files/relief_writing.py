"""How is the picture of the relief laid beside a catchment?"""

from __future__ import annotations

from pathlib import Path

import tomli_w

from slackwater.files.relief import SIDES
from slackwater.files.unfinished import finished


def write_relief(folder: Path, png: bytes, bounds: tuple[float, float, float, float]) -> bool:
    """Write ``relief.png`` and its bounds, unless a picture is there already.

    Returns
    -------
    Whether it was written.
    """
    picture, sidecar = folder / "relief.png", folder / "relief.toml"
    if picture.exists() or sidecar.exists():
        return False
    with finished(sidecar) as partial:
        partial.write_text(tomli_w.dumps(dict(zip(SIDES, bounds, strict=True))), "utf-8")
    with finished(picture) as partial:
        partial.write_bytes(png)
    return True

"""Make the demo catchment's files: `python scripts/demo_maker` or `scripts/make_demo`."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from demo_maker.catchment import make_landscape, make_layers
from demo_maker.land import lake_shape
from demo_maker.relief import relief_bounds_toml, relief_picture
from demo_maker.settings import settings_text
from demo_maker.write import write_geopackage


def main() -> None:
    """Write everything into the folder given, or into `demo_data`."""
    here = Path(__file__).resolve().parents[2] / "demo_data"
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else here
    folder.mkdir(parents=True, exist_ok=True)
    land = make_landscape()
    write_geopackage(folder / "lantern.gpkg", make_layers(land))
    (folder / "lantern.toml").write_text(settings_text(), encoding="utf-8")
    picture = relief_picture(land.ground, lake_shape(land.country))
    picture.save(folder / "relief.png", optimize=True)
    (folder / "relief.toml").write_text(relief_bounds_toml(), encoding="utf-8")


main()

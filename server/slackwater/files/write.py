"""How is a catchment written down again? As a folder, a GeoPackage or a workbook."""

from __future__ import annotations

from slackwater.files.folder_writing import write_folder
from slackwater.files.geopackage_writing import write_geopackage
from slackwater.files.workbook_writing import write_workbook

__all__ = ["write_folder", "write_geopackage", "write_workbook"]

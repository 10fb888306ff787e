"""Files made to do harm, each with the code of its refusal.

Each function writes one into a folder and gives its path; none holds anything harmful itself.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from tests.contracts.hostile_folders import (
    a_device,
    a_link,
    a_program,
    at_the_root,
    control_in_name,
    countless_files,
    cut_off,
    damaged,
    deep_folders,
    disguised,
    flat_bomb,
    locked,
    lying_bomb,
    many_small_bombs,
    nested_bomb,
    nested_text,
    not_packed,
    other_strokes,
    out_of_the_folder,
    overlapping,
    strange_properties,
    swelling_text,
    wide_text,
)
from tests.contracts.hostile_geopackages import (
    acting_trigger,
    bottomless_place,
    cut_geopackage,
    endless_view,
    foreign_table,
    foreign_view,
    knotted_geopackage,
    other_database,
    shadowed_list,
    swollen_column,
    text_as_geopackage,
)
from tests.contracts.hostile_workbooks import (
    damaged_workbook,
    laughing_workbook,
    packed_as_workbook,
    reaching_workbook,
    styled_workbook,
    text_as_workbook,
    wide_workbook,
    workbook_bomb,
)

Maker = Callable[[Path], Path]

REFUSED: tuple[tuple[Maker, str], ...] = (
    (flat_bomb, "unpacks_too_large"),
    (many_small_bombs, "unpacks_too_large"),
    (nested_bomb, "wrong_type"),
    (lying_bomb, "unreadable"),
    (countless_files, "too_many_files"),
    (overlapping, "unreadable"),
    (out_of_the_folder, "outside_folder"),
    (at_the_root, "outside_folder"),
    (other_strokes, "bad_name"),
    (control_in_name, "bad_name"),
    (a_link, "symbolic_link"),
    (a_device, "symbolic_link"),
    (locked, "locked"),
    (deep_folders, "nested_folders"),
    (a_program, "wrong_type"),
    (disguised, "wrong_type"),
    (cut_off, "unreadable"),
    (damaged, "unreadable"),
    (not_packed, "wrong_type"),
    (wide_text, "too_many_columns"),
    (swelling_text, "unreadable"),
    (strange_properties, "too_many_columns"),
    (nested_text, "unreadable"),
    (workbook_bomb, "unpacks_too_large"),
    (laughing_workbook, "not_plain"),
    (reaching_workbook, "not_plain"),
    (wide_workbook, "too_many_columns"),
    (styled_workbook, "unpacks_too_large"),
    (damaged_workbook, "unreadable"),
    (packed_as_workbook, "wrong_type"),
    (text_as_workbook, "wrong_type"),
    (endless_view, "not_plain"),
    (shadowed_list, "not_plain"),
    (foreign_view, "not_plain"),
    (foreign_table, "not_plain"),
    (acting_trigger, "not_plain"),
    (swollen_column, "not_plain"),
    (cut_geopackage, "unreadable"),
    (knotted_geopackage, "unreadable"),
    (other_database, "unreadable"),
    (text_as_geopackage, "wrong_type"),
    (bottomless_place, "unreadable"),
)
"""Every hostile file with the code of its refusal."""

"""Give the pages of the guide; the data page is written from the contract itself."""

from __future__ import annotations

from importlib import resources

from slackwater.catchment.contract import CRITERION, RANGES, SETTINGS, TABLES
from slackwater.catchment.fields import Field, TableSpec

WRITTEN = ("methods", "glossary", "cautions", "visits", "meeting", "hosting", "people", "gis")
PAGES = (
    "methods", "data", "glossary", "cautions", "visits", "meeting", "hosting", "people", "gis",
)  # fmt: skip


def page(name: str) -> str:
    """Give a page as Markdown.

    Raises
    ------
    KeyError
        For a page that is not in `PAGES`.
    """
    if name == "data":
        return data_page()
    if name not in WRITTEN:
        raise KeyError(name)
    return resources.files(__package__).joinpath(f"{name}.md").read_text(encoding="utf-8")


def data_page() -> str:
    """Write the data contract: every table, column and setting with unit, default and audience."""
    parts = [
        "# Data",
        "A catchment comes as one GeoPackage, a folder of files (`.gpkg`, `.geojson`, `.shp`, "
        "`.csv`) or one workbook, with these names. `slackwater check` says everything that is "
        "wrong, by table, row and column; `slackwater template FILE.xlsx` makes an empty workbook.",
        "In a `.csv` an apostrophe before a cell that begins with `=`, `+`, `-`, `@` or a tab "
        "keeps a spreadsheet from evaluating it; it is written here and taken away when read.",
    ]
    for spec in TABLES.values():
        parts += [_heading(spec), _rows(spec.fields)]
    parts += ["## Settings", _rows(SETTINGS)]
    parts += ["Rows of `[[criterion]]`:", _rows(CRITERION)]
    parts += [f"Keys of `[ranges]`, each [low, high]: {', '.join(f'`{name}`' for name in RANGES)}."]
    return "\n\n".join(parts) + "\n"


def _heading(spec: TableSpec) -> str:
    shape = f" ({spec.shape})" if spec.shape else ""
    need = "" if spec.needed else " May be missing."
    key = f" Key: {', '.join(f'`{name}`' for name in spec.key)}." if spec.key else ""
    return f"## {spec.name}{shape}\n\n{spec.meaning[0].upper()}{spec.meaning[1:]}.{key}{need}"


def _rows(fields: tuple[Field, ...]) -> str:
    lines = ["| column | unit | needed | empty means | seen by | meaning |", "|" + " --- |" * 6]
    for field in fields:
        words = f" ({', '.join(field.words)})" if field.words else ""
        default = field.default_note or ("" if field.default is None else f"{field.default:g}"
                                         if field.is_number else str(field.default))  # fmt: skip
        lines.append(
            f"| `{field.name}` | {field.unit} | {'yes' if field.needed else ''} | {default} | "
            f"{field.visibility} | {field.meaning}{words} |"
        )
    return "\n".join(lines)

"""Commands about the working database: fill it, write it out, back it up, bring it up to date."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from slackwater.cli.command import CatchmentPath, Database, app
from slackwater.desk.exporting import export_database, export_text
from slackwater.desk.importing import import_catchment, import_text
from slackwater.desk.keeping import backup_database, migrate_text, restore_database
from slackwater.desk.opening import few_of_each


@app.command("import")
def import_into(
    catchment: CatchmentPath,
    database: Database,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="only show what would change")] = False,
    why: Annotated[str, typer.Option(help="reason kept in the history")] = "",
    by: Annotated[str, typer.Option(help="who imports")] = "lead",
) -> None:
    """Put a catchment into a database, whole or not at all, and show what changes.

    It takes the place of what is there, edits included; what was there is kept as an edition
    (slackwater export --edition).
    """
    done = import_catchment(catchment, database, why=why, by=by, dry_run=dry_run)
    for line in few_of_each(done.warnings):
        typer.echo(f"warning: {line}", err=True)
    typer.echo(import_text(done, dry_run=dry_run))


@app.command("export")
def export_from(
    out: Annotated[Path, typer.Argument(help="NAME.gpkg, NAME.xlsx, or a new folder")],
    database: Database,
    edition: Annotated[
        str, typer.Option(help="data version of an edition that was kept, not what stands")
    ] = "",
) -> None:
    """Write a database's catchment as a GeoPackage, a workbook or a folder."""
    typer.echo(export_text(export_database(database, out, data_version=edition), out))


@app.command()
def backup(
    file: Annotated[Path, typer.Argument(help="new file to write")], database: Database
) -> None:
    """Write all a database holds into one file, checked; edits go on meanwhile."""
    typer.echo(backup_database(database, file))


@app.command()
def restore(
    file: Annotated[Path, typer.Argument(help="file of slackwater backup")],
    database: Database,
    replace: Annotated[
        bool, typer.Option("--replace", help="also where the database holds data")
    ] = False,
) -> None:
    """Put a backup into a database of either kind, whole or not at all."""
    typer.echo(restore_database(file, database, replace=replace))


@app.command()
def migrate(database: Database) -> None:
    """Bring a database of an older Slackwater to this one's form; back it up before."""
    typer.echo(migrate_text(database))

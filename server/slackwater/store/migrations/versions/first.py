"""The first form: the tables of the contract as of 2026-11-29, and those that keep what was done.

It stands on its own: later changes of the contract are later steps.
"""

from __future__ import annotations

from alembic import op
from sqlalchemy import (
    CheckConstraint,
    Column,
    Date,
    Double,
    ForeignKeyConstraint,
    Integer,
    LargeBinary,
    PrimaryKeyConstraint,
    Text,
    UniqueConstraint,
    text,
)

from slackwater.store.places import Place

revision = "0001"
down_revision = None

# table: its key, and its columns; "!" is not null, a dotted name is the column referred to.
CONTRACT: dict[str, tuple[tuple[str, ...], str]] = {
    "gauges": (
        ("gauge_id",),
        "gauge_id text!, name text, area_km2 number, geometry place",
    ),
    "guilds": (
        ("guild_id",),
        "guild_id text!, name text!, weight number, window_start text!, window_full text!, "
        "window_easing text!, window_end text!, temp_min number, temp_full number, "
        "temp_easing number, temp_max number, flow_trigger number, trigger_days number, "
        "flow_floor number, full_season_days number!, drift_days number!, drift_stages "
        "number, mortality_per_day number!, drift_speed_ratio number, encounter number, "
        "night_drift_share number, outlet_value number!, adult_per_settler number!, "
        "resident_per_ml number, adult_per_resident number, egg_mm number, larva_mm number, "
        "species text, source text",
    ),
    "options": (
        ("option_id",),
        "option_id text!, name text!, approach_velocity_ms number!, opening_mm number!, "
        "open_share number!, cleaning text, needs_power text, min_depth_m number, "
        "unit_area_m2 number!, unit_price number!, unit_price_low number, unit_price_high "
        "number, upkeep_share_year number, life_years number, head_loss_m number, "
        "filter_cut_share number, kinds text, source text",
    ),
    "reaches": (
        ("reach_id",),
        "reach_id text!, to_reach text reaches.reach_id, name text, length_m number, gauge_id "
        "text! gauges.gauge_id, flow_scale number, area_km2 number, velocity_coef number, "
        "velocity_exp number, width_m number, slope number, manning_n number, depth_m number, "
        "nursery number, geometry place",
    ),
    "splits": (
        ("from_reach", "to_reach"),
        "from_reach text! reaches.reach_id, to_reach text! reaches.reach_id, share number!",
    ),
    "weirs": (
        (),
        "reach_id text! reaches.reach_id, name text, guild_id text guilds.guild_id, survival "
        "number!, source text",
    ),
    "daily": (
        ("gauge_id", "date"),
        "gauge_id text! gauges.gauge_id, date date!, flow_m3s number, water_temp_c number",
    ),
    "production": (
        ("reach_id", "guild_id"),
        "reach_id text! reaches.reach_id, guild_id text! guilds.guild_id, production number!, "
        "nursery number, basis text, source text",
    ),
    "offtakes": (
        ("offtake_id",),
        "offtake_id text!, label text, landholder text, licence text, contact text, reach_id "
        "text reaches.reach_id, chainage_m number, kind text!, capacity_m3s number!, use_01 "
        "number, use_02 number, use_03 number, use_04 number, use_05 number, use_06 number, "
        "use_07 number, use_08 number, use_09 number, use_10 number, use_11 number, use_12 "
        "number, cease_flow_m3s number, night_use_share number, position number, "
        "intake_depth_m number, opening_mm number, fitted text, power text, access text, "
        "district text, willing text, quote number, quote_option text options.option_id, "
        "status text, flushes_per_day number, flush_minutes number, flush_litres number, "
        "filter_cleaning_hours_month number, pumping_months number, pump_head_m number, "
        "pump_efficiency number, wear_cost_year number, basis text, observed_on date, source "
        "text, geometry place, further json",
    ),
    "metered": (
        ("offtake_id", "date"),
        "offtake_id text! offtakes.offtake_id, date date!, draw_m3s number!",
    ),
    "efficacy": (
        ("option_id", "guild_id"),
        "option_id text! options.option_id, guild_id text! guilds.guild_id, drifter number!, "
        "resident number, low number, high number, at_approach_ms number, source text",
    ),
    "prices": (
        ("item", "kind"),
        "item text!, kind text, amount number!, low number, high number, source text",
    ),
    "places": (
        (),
        "name text!, size number, geometry place",
    ),
    "roads": (
        ("road_id",),
        "road_id text!, name text, class text, speed_kmh number, geometry place",
    ),
    "depots": (
        (),
        "name text!, geometry place",
    ),
    "land": (
        (),
        "name text, kind text!, geometry place",
    ),
}
TYPES = {"text": Text, "number": Double, "date": Date, "place": Place, "json": Text}


def upgrade() -> None:
    """Make every table, and the one row that says where the database stands."""
    for name, (key, columns) in CONTRACT.items():
        _make_contract_table(name, key, columns.split(", "))
    _make_register()
    _make_history()
    _make_cases()
    op.execute(text("INSERT INTO register VALUES (1, 0, '', '', '', '')"))


def _make_contract_table(name: str, key: tuple[str, ...], columns: list[str]) -> None:
    made: list[Column[object]] = [Column("row_no", Integer, autoincrement=False, nullable=False)]
    links = []
    for column, kind, *target in map(str.split, columns):
        default = "{}" if kind == "json" else None
        needed = kind.endswith("!") or kind == "json"
        made.append(
            Column(column, TYPES[kind.rstrip("!")], nullable=not needed, server_default=default)
        )
        links += [
            ForeignKeyConstraint(
                [column], [to], f"{name}_{column}_fkey", deferrable=True, initially="DEFERRED"
            )
            for to in target
        ]
    keys = [UniqueConstraint(*key, name=f"{name}_key")] if key else []
    op.create_table(name, *made, PrimaryKeyConstraint("row_no", name=f"{name}_pkey"), *keys, *links)


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text, nullable=False) for name in names]


def _integers(*names: str) -> list[Column[int]]:
    return [Column(name, Integer, autoincrement=False, nullable=False) for name in names]


def _make_register() -> None:
    op.create_table(
        "register",
        *_integers("one", "revision"),
        *_texts("data_version", "changed_at", "default_name", "settings"),
        PrimaryKeyConstraint("one", name="register_pkey"),
        CheckConstraint("one = 1", name=op.f("register_one")),
    )
    op.create_table(
        "relief",
        *_integers("one"),
        Column("png", LargeBinary, nullable=False),
        *(Column(side, Double, nullable=False) for side in ("west", "south", "east", "north")),
        PrimaryKeyConstraint("one", name="relief_pkey"),
        CheckConstraint("one = 1", name=op.f("relief_one")),
    )


def _make_history() -> None:
    op.create_table(
        "edits",
        *_integers("seq"),
        *_texts("id", "at", "by", "why", "basis", "source", "observed_on", "kind", "content"),
        Column("undoes", Text),
        *_integers("revision"),
        *_texts("data_version"),
        *_integers("change_count"),
        PrimaryKeyConstraint("seq", name="edits_pkey"),
        UniqueConstraint("id", name="edits_id_key"),
        UniqueConstraint("undoes", name="edits_undoes_key"),
        ForeignKeyConstraint(["undoes"], ["edits.id"], "edits_undoes_fkey"),
    )
    op.create_table(
        "changes",
        *_integers("edit_seq", "number"),
        *_texts("table_name", "row_key", "column_name", "old", "new"),
        PrimaryKeyConstraint("edit_seq", "number", name="changes_pkey"),
        ForeignKeyConstraint(["edit_seq"], ["edits.seq"], "changes_edit_seq_fkey"),
    )
    op.create_index("changes_of_row", "changes", ["table_name", "row_key"])


def _make_cases() -> None:
    op.create_table(
        "editions",
        *_texts("data_version", "kept_at"),
        Column("content", LargeBinary, nullable=False),
        PrimaryKeyConstraint("data_version", name="editions_pkey"),
    )
    op.create_table(
        "cases",
        *_texts("id", "name", "note", "made_at", "by", "data_version"),
        *_texts("model_version", "shared_at", "copied_from", "trial", "result", "result_values"),
        PrimaryKeyConstraint("id", name="cases_pkey"),
        ForeignKeyConstraint(
            ["data_version"], ["editions.data_version"], "cases_data_version_fkey"
        ),
    )
    op.create_table(
        "offer_steps",
        *_integers("number"),
        *_texts("id", "code", "step", "on"),
        Column("committed", Double),
        Column("spent", Double),
        *_texts("works_approval", "heritage", "words", "by", "at"),
        PrimaryKeyConstraint("number", name="offer_steps_pkey"),
        UniqueConstraint("id", name="offer_steps_id_key"),
    )
    op.create_index("offer_steps_of_code", "offer_steps", ["code"])

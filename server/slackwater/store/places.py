"""How is a place stored? One column type: PostGIS geometry, or its bytes in SQLite."""

from __future__ import annotations

from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry
from sqlalchemy import LargeBinary
from sqlalchemy.dialects.postgresql.base import ischema_names
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator, TypeEngine, UserDefinedType

SRID = 4326
"""WGS84, longitude first."""


class PostgisGeometry(UserDefinedType[str]):
    """The column type ``geometry(Geometry,4326)``; values pass as hex EWKB, to the last digit."""

    cache_ok = True

    def __init__(self, geometry_type: str = "Geometry", srid: int | str = SRID) -> None:
        self.geometry_type = geometry_type
        self.srid = int(srid)

    def get_col_spec(self, **_: Any) -> str:
        """Give the type as PostGIS writes it."""
        return f"geometry({self.geometry_type},{self.srid})"


ischema_names["geometry"] = PostgisGeometry  # so that a migration can compare what is there


class Place(TypeDecorator[BaseGeometry]):
    """A shapely geometry in WGS84 longitude and latitude, or None."""

    impl = LargeBinary
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Give the column's type for this kind of database."""
        if dialect.name == "postgresql":
            return dialect.type_descriptor(PostgisGeometry())
        return dialect.type_descriptor(LargeBinary())

    def process_bind_param(self, value: BaseGeometry | None, dialect: Dialect) -> Any:
        """Write a geometry."""
        if value is None:
            return None
        if dialect.name == "postgresql":
            placed = shapely.set_srid(value, SRID)
            return shapely.to_wkb(placed, hex=True, include_srid=True)
        return shapely.to_wkb(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> BaseGeometry | None:  # noqa: ARG002
        """Read a geometry."""
        return None if value is None else shapely.set_srid(shapely.from_wkb(value), 0)

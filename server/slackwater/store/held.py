"""The data of the versions this program saw last, so that it is not read again; and kept ones."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

from sqlalchemy import Connection

from slackwater.errors import NotHere
from slackwater.store.editions import has_edition, keep_edition, kept_edition
from slackwater.store.records import Standing
from slackwater.store.standing import now, read_catchment, read_standing
from slackwater.store.stored import StoredCatchment

MOST = 32
"""Versions held; they share the tables in which they do not differ."""


class Held:
    """Catchments by where the database stood; safe to use from many threads."""

    def __init__(self) -> None:
        self._by_standing: OrderedDict[Standing, StoredCatchment] = OrderedDict()
        self._turn = Lock()

    def put(self, standing: Standing, raw: StoredCatchment) -> None:
        """Hold what stands, once it is written, and let the oldest go."""
        with self._turn:
            self._by_standing[standing] = raw
            self._by_standing.move_to_end(standing)
            while len(self._by_standing) > MOST:
                self._by_standing.popitem(last=False)

    def present(self, connection: Connection) -> tuple[Standing, StoredCatchment]:
        """Give where the database stands, and its data."""
        standing = read_standing(connection)
        with self._turn:
            raw = self._by_standing.get(standing)
        if raw is None:
            raw = read_catchment(connection)
            self.put(standing, raw)
        return standing, raw

    def edition(self, connection: Connection, data_version: str) -> StoredCatchment:
        """Give the data of a version: the present one, one seen lately, or one kept.

        Raises
        ------
        NotHere
            Where it is none of these.
        """
        standing, raw = self.present(connection)
        if standing.data_version == data_version:
            return raw
        with self._turn:
            for seen, raw in self._by_standing.items():
                if seen.data_version == data_version:
                    return raw
        kept = kept_edition(connection, data_version)
        if kept is None:
            raise NotHere(f"the data of version {data_version} was not kept")
        return kept

    def keep(self, connection: Connection, data_version: str) -> None:
        """Keep the data of a version in the database, for good; NotHere where it is gone."""
        if not has_edition(connection, data_version):
            keep_edition(connection, data_version, self.edition(connection, data_version), now())

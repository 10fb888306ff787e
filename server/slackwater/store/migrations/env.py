"""Runs the migrations on the connection it is handed, in the transaction that is open on it."""

from __future__ import annotations

from alembic import context

from slackwater.store.migrating import CONFIGURED
from slackwater.store.schema import METADATA

context.configure(
    connection=context.config.attributes["connection"], target_metadata=METADATA, **CONFIGURED
)
context.run_migrations()

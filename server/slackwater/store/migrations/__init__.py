"""How the database's tables came to be, one step a module; Alembic runs them."""

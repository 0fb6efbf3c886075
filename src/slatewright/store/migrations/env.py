"""What Alembic runs: all steps, inside the transaction that it is handed.

It knows nothing of today's tables: a released step must do tomorrow what it did on its day.
"""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()

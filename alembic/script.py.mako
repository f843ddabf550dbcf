"""${message}

Before you commit this step:
- It changes the schema or moves data, not both; a backfill is its own step.
- It has a downgrade that was run: `pytest tests/catalogue/test_migrations.py`.
- A CHECK that changes gets a new name, written by hand (its text is not compared).
- A table of SQLite that is written anew keeps its strict types:
  `op.batch_alter_table(name, table_kwargs={"sqlite_strict": True})`.
- `catalogue.db.SCHEMA` names this revision.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
${imports if imports else ""}

revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}
branch_labels = ${repr(branch_labels)}
depends_on = ${repr(depends_on)}


def upgrade() -> None:
    ${upgrades if upgrades else "pass"}


def downgrade() -> None:
    ${downgrades if downgrades else "pass"}

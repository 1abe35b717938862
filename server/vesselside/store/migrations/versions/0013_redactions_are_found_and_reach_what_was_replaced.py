"""Redactions are found at once, and reach what rebuild kept of what it replaced"""

import sqlalchemy as sa
from alembic import op

revision = '0013'
down_revision = '0012'
branch_labels = None
depends_on = None

STANDS = "kind = 'event.redacted' AND status = 'stored'"
SAME = ('brewery', 'place', 'at', 'what')
NAMED = (
    "SELECT 1 FROM log r WHERE r.brewery = OLD.brewery AND r.status = 'stored' AND r.source = '/server' "
    "AND r.kind = 'event.redacted' AND {hash} = {first}"
)


def upgrade() -> None:
    only = {'sqlite_where': sa.text(STANDS), 'postgresql_where': sa.text(STANDS)}
    op.create_index('ix_log_redacted', 'log', ['brewery', 'sequence'], unique=False, **only)
    if op.get_bind().dialect.name == 'sqlite':
        named = NAMED.format(
            hash="json_extract(CAST(r.body AS TEXT), '$.data.hash')", first="json_extract(NEW.kept, '$.redacted')"
        )
        same = ' AND '.join(f'NEW.{name} IS OLD.{name}' for name in SAME)
        op.execute("DROP TRIGGER replaced_refuses_update")
        op.execute(
            f"CREATE TRIGGER replaced_refuses_update BEFORE UPDATE ON replaced WHEN NOT ({same} AND EXISTS ({named})) "
            "BEGIN SELECT RAISE(ABORT, 'what was replaced is append-only'); END"
        )
        return
    named = NAMED.format(
        hash="convert_from(r.body, 'UTF8')::jsonb -> 'data' ->> 'hash'", first="NEW.kept::jsonb ->> 'redacted'"
    )
    op.execute(
        "CREATE FUNCTION replaced_refuses_update() RETURNS trigger LANGUAGE plpgsql AS $$ "
        "DECLARE was replaced%ROWTYPE; BEGIN was := OLD; was.kept := NEW.kept; "
        f"IF was IS NOT DISTINCT FROM NEW AND EXISTS ({named}) THEN RETURN NEW; END IF; "
        "RAISE EXCEPTION 'what was replaced is append-only'; END $$"
    )
    op.execute("DROP TRIGGER replaced_refuses_update ON replaced")
    op.execute(
        "CREATE TRIGGER replaced_refuses_update BEFORE UPDATE ON replaced "
        "FOR EACH ROW EXECUTE FUNCTION replaced_refuses_update()"
    )


def downgrade() -> None:
    raise RuntimeError('a record is never taken down; restore a backup')

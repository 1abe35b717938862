"""What is replaced is kept, and the text of a record may go by an administration event that names it"""

import sqlalchemy as sa
from alembic import op

revision = '0012'
down_revision = '0011'
branch_labels = None
depends_on = None

COLUMNS = (
    'brewery', 'sequence', 'status', 'problem', 'event', 'source', 'number', 'run', 'kind', 'hlc', 'hash', 'prevhash',
    'recorded', 'clock_offset', 'carrier',
)
NAMED = (
    "SELECT 1 FROM log r WHERE r.brewery = OLD.brewery AND r.run IS NULL AND r.status = 'stored' "
    "AND r.source = '/server' AND r.kind = 'event.redacted' AND {event} = OLD.event AND {hash} = OLD.hash"
)


def upgrade() -> None:
    op.create_table(
        'replaced',
        sa.Column('brewery', sa.String(length=64), nullable=False),
        sa.Column('place', sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column('at', sa.BigInteger(), nullable=False),
        sa.Column('what', sa.Text(), nullable=False),
        sa.Column('kept', sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_replaced_brewery')),
        sa.PrimaryKeyConstraint('brewery', 'place', name=op.f('pk_replaced')),
    )
    if op.get_bind().dialect.name == 'sqlite':
        _sqlite()
    else:
        _postgresql()


def _sqlite() -> None:
    said = {name: f"json_extract(CAST(r.body AS TEXT), '$.data.{name}')" for name in ('event', 'hash')}
    same = ' AND '.join(f'NEW.{name} IS OLD.{name}' for name in COLUMNS)
    op.execute("DROP TRIGGER log_refuses_update")
    op.execute(
        f"CREATE TRIGGER log_refuses_update BEFORE UPDATE ON log WHEN NOT ({same} AND EXISTS ({NAMED.format(**said)})) "
        "BEGIN SELECT RAISE(ABORT, 'the log is append-only'); END"
    )
    for word in ('UPDATE', 'DELETE'):
        op.execute(
            f"CREATE TRIGGER replaced_refuses_{word.lower()} BEFORE {word} ON replaced "
            "BEGIN SELECT RAISE(ABORT, 'what was replaced is append-only'); END"
        )
    op.execute(
        "CREATE TRIGGER replaced_refuses_replace BEFORE INSERT ON replaced WHEN "
        "EXISTS (SELECT 1 FROM replaced WHERE brewery = NEW.brewery AND place = NEW.place) "
        "BEGIN SELECT RAISE(ABORT, 'what was replaced is append-only'); END"
    )


def _postgresql() -> None:
    said = {name: f"convert_from(r.body, 'UTF8')::jsonb -> 'data' ->> '{name}'" for name in ('event', 'hash')}
    op.execute(
        "CREATE FUNCTION log_refuses_update() RETURNS trigger LANGUAGE plpgsql AS $$ DECLARE was log%ROWTYPE; "
        "BEGIN was := OLD; was.body := NEW.body; "
        f"IF was IS NOT DISTINCT FROM NEW AND EXISTS ({NAMED.format(**said)}) THEN RETURN NEW; END IF; "
        "RAISE EXCEPTION 'the log is append-only'; END $$"
    )
    op.execute("DROP TRIGGER log_refuses_update ON log")
    op.execute(
        "CREATE TRIGGER log_refuses_update BEFORE UPDATE ON log "
        "FOR EACH ROW EXECUTE FUNCTION log_refuses_update()"
    )
    op.execute(
        "CREATE FUNCTION replaced_refuses() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION 'what was replaced is append-only'; END $$"
    )
    for word in ('UPDATE', 'DELETE'):
        op.execute(
            f"CREATE TRIGGER replaced_refuses_{word.lower()} BEFORE {word} ON replaced "
            "FOR EACH ROW EXECUTE FUNCTION replaced_refuses()"
        )
    op.execute(
        "CREATE TRIGGER replaced_refuses_truncate BEFORE TRUNCATE ON replaced "
        "FOR EACH STATEMENT EXECUTE FUNCTION replaced_refuses()"
    )


def downgrade() -> None:
    raise RuntimeError('a record is never taken down; restore a backup')

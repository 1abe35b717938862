"""The log and what stands beside it"""

import sqlalchemy as sa
from alembic import op

revision = '0001'
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('breweries',
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('name', sa.Text(), nullable=False),
    sa.Column('created', sa.BigInteger(), nullable=False),
    sa.Column('revision', sa.BigInteger(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_breweries'))
    )
    op.create_table('readiness',
    sa.Column('id', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('at', sa.BigInteger(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_readiness'))
    )
    op.create_table('tries',
    sa.Column('address', sa.String(length=64), nullable=False),
    sa.Column('at', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('salt', sa.String(length=16), nullable=False),
    sa.PrimaryKeyConstraint('address', 'at', 'salt', name=op.f('pk_tries'))
    )
    op.create_table('attempts',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('person', sa.String(length=64), nullable=False),
    sa.Column('device', sa.String(length=64), nullable=False),
    sa.Column('wrong', sa.BigInteger(), nullable=False),
    sa.Column('until', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_attempts_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'person', 'device', name=op.f('pk_attempts'))
    )
    op.create_table('cautions',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('version', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.Column('published', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_cautions_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', 'version', name=op.f('pk_cautions'))
    )
    op.create_table('codes',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('hash', sa.String(length=64), nullable=False),
    sa.Column('name', sa.Text(), nullable=False),
    sa.Column('expires', sa.BigInteger(), nullable=False),
    sa.Column('used', sa.BigInteger(), nullable=True),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_codes_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'hash', name=op.f('pk_codes'))
    )
    op.create_table('devices',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('name', sa.Text(), nullable=False),
    sa.Column('key', sa.JSON(), nullable=False),
    sa.Column('token', sa.String(length=64), nullable=True),
    sa.Column('enrolled', sa.BigInteger(), nullable=False),
    sa.Column('revoked', sa.BigInteger(), nullable=True),
    sa.Column('heard', sa.BigInteger(), nullable=True),
    sa.Column('number', sa.BigInteger(), nullable=False),
    sa.Column('sequence', sa.BigInteger(), nullable=False),
    sa.Column('clock_offset', sa.BigInteger(), nullable=True),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_devices_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', name=op.f('pk_devices'))
    )
    op.create_table('heads',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('size', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('time', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('root', sa.String(length=64), nullable=False),
    sa.Column('signature', sa.Text(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_heads_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'size', 'time', name=op.f('pk_heads'))
    )
    op.create_table('log',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('sequence', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('status', sa.String(length=16), nullable=False),
    sa.Column('problem', sa.String(length=32), nullable=True),
    sa.Column('event', sa.String(length=64), nullable=False),
    sa.Column('source', sa.String(length=80), nullable=True),
    sa.Column('number', sa.BigInteger(), nullable=True),
    sa.Column('run', sa.String(length=64), nullable=True),
    sa.Column('kind', sa.String(length=64), nullable=True),
    sa.Column('hlc', sa.String(length=17), nullable=True),
    sa.Column('hash', sa.String(length=64), nullable=False),
    sa.Column('prevhash', sa.String(length=64), nullable=True),
    sa.Column('body', sa.LargeBinary(), nullable=False),
    sa.Column('recorded', sa.BigInteger(), nullable=False),
    sa.Column('clock_offset', sa.BigInteger(), nullable=True),
    sa.Column('carrier', sa.String(length=64), nullable=True),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_log_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'sequence', name=op.f('pk_log'))
    )
    op.create_index('ix_log_admin', 'log', ['brewery', 'sequence'], unique=False, sqlite_where=sa.text("run IS NULL AND status = 'stored'"), postgresql_where=sa.text("run IS NULL AND status = 'stored'"))
    op.create_index('ix_log_quarantine', 'log', ['brewery', 'hash'], unique=False, sqlite_where=sa.text("status = 'quarantined'"), postgresql_where=sa.text("status = 'quarantined'"))
    op.create_index('ix_log_run', 'log', ['brewery', 'run', 'sequence'], unique=False, sqlite_where=sa.text('run IS NOT NULL'), postgresql_where=sa.text('run IS NOT NULL'))
    op.create_index('uq_log_event', 'log', ['brewery', 'event'], unique=True, sqlite_where=sa.text("status = 'stored'"), postgresql_where=sa.text("status = 'stored'"))
    op.create_index('uq_log_number', 'log', ['brewery', 'source', 'number'], unique=True, sqlite_where=sa.text("status = 'stored'"), postgresql_where=sa.text("status = 'stored'"))
    op.create_table('nodes',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('level', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('place', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('hash', sa.LargeBinary(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_nodes_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'level', 'place', name=op.f('pk_nodes'))
    )
    op.create_table('people',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('name', sa.Text(), nullable=True),
    sa.Column('role', sa.String(length=16), nullable=False),
    sa.Column('status', sa.String(length=16), nullable=False),
    sa.Column('pin', sa.Text(), nullable=True),
    sa.Column('password', sa.Text(), nullable=True),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_people_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', name=op.f('pk_people'))
    )
    op.create_table('photos',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('sha256', sa.String(length=64), nullable=False),
    sa.Column('mime', sa.String(length=32), nullable=False),
    sa.Column('content', sa.LargeBinary(), nullable=False),
    sa.Column('received', sa.BigInteger(), nullable=False),
    sa.Column('device', sa.String(length=64), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_photos_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'sha256', name=op.f('pk_photos'))
    )
    op.create_table('procedures',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('version', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('sha256', sa.String(length=64), nullable=False),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.Column('published', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_procedures_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', 'version', name=op.f('pk_procedures'))
    )
    op.create_table('recipes',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_recipes_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', name=op.f('pk_recipes'))
    )
    op.create_table('runs',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('stale', sa.Boolean(), nullable=False),
    sa.Column('last', sa.BigInteger(), nullable=False),
    sa.Column('seen', sa.BigInteger(), nullable=False),
    sa.Column('opened', sa.String(length=24), nullable=False),
    sa.Column('closed', sa.BigInteger(), nullable=True),
    sa.Column('procedure', sa.String(length=64), nullable=True),
    sa.Column('version', sa.BigInteger(), nullable=True),
    sa.Column('vessel', sa.String(length=64), nullable=True),
    sa.Column('gyle', sa.String(length=64), nullable=True),
    sa.Column('status', sa.String(length=16), nullable=False),
    sa.Column('core', sa.String(length=16), nullable=True),
    sa.Column('digest', sa.String(length=64), nullable=True),
    sa.Column('state', sa.LargeBinary(), nullable=True),
    sa.Column('summary', sa.JSON(), nullable=True),
    sa.Column('deviations', sa.BigInteger(), nullable=False),
    sa.Column('contested', sa.BigInteger(), nullable=False),
    sa.Column('unreviewed', sa.Boolean(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_runs_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', name=op.f('pk_runs'))
    )
    op.create_index('ix_runs_contested', 'runs', ['brewery', 'opened'], unique=False, sqlite_where=sa.text('contested > 0'), postgresql_where=sa.text('contested > 0'))
    op.create_index('ix_runs_deviations', 'runs', ['brewery', 'opened'], unique=False, sqlite_where=sa.text('deviations > 0'), postgresql_where=sa.text('deviations > 0'))
    op.create_index('ix_runs_opened', 'runs', ['brewery', 'opened', 'id'], unique=False)
    op.create_index('ix_runs_procedure', 'runs', ['brewery', 'procedure', 'opened', 'id'], unique=False)
    op.create_index('ix_runs_stale', 'runs', ['brewery', 'id'], unique=False, sqlite_where=sa.text('stale'), postgresql_where=sa.text('stale'))
    op.create_index('ix_runs_status', 'runs', ['brewery', 'status', 'opened', 'id'], unique=False)
    op.create_index('ix_runs_unreviewed', 'runs', ['brewery', 'opened'], unique=False, sqlite_where=sa.text('unreviewed'), postgresql_where=sa.text('unreviewed'))
    op.create_index('ix_runs_vessel', 'runs', ['brewery', 'vessel', 'opened', 'id'], unique=False)
    op.create_table('settings',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('name', sa.String(length=64), nullable=False),
    sa.Column('value', sa.Text(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_settings_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'name', name=op.f('pk_settings'))
    )
    op.create_table('vessels',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_vessels_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', name=op.f('pk_vessels'))
    )
    op.create_table('sessions',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('token', sa.String(length=64), nullable=False),
    sa.Column('person', sa.String(length=64), nullable=False),
    sa.Column('device', sa.String(length=64), nullable=False),
    sa.Column('way', sa.String(length=16), nullable=False),
    sa.Column('expires', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['brewery', 'device'], ['devices.brewery', 'devices.id'], name=op.f('fk_sessions_brewery_device')),
    sa.ForeignKeyConstraint(['brewery', 'person'], ['people.brewery', 'people.id'], name=op.f('fk_sessions_brewery_person')),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_sessions_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'token', name=op.f('pk_sessions'))
    )
    if op.get_bind().dialect.name == "sqlite":
        for word in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER log_refuses_{word.lower()} BEFORE {word} ON log "
                "BEGIN SELECT RAISE(ABORT, 'the log is append-only'); END"
            )
    else:
        op.execute(
            "CREATE FUNCTION log_refuses() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION 'the log is append-only'; END $$"
        )
        for word in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER log_refuses_{word.lower()} BEFORE {word} ON log "
                "FOR EACH ROW EXECUTE FUNCTION log_refuses()"
            )
        op.execute(
            "CREATE TRIGGER log_refuses_truncate BEFORE TRUNCATE ON log "
            "FOR EACH STATEMENT EXECUTE FUNCTION log_refuses()"
        )


def downgrade() -> None:
    raise RuntimeError("a record is never taken down; restore a backup")

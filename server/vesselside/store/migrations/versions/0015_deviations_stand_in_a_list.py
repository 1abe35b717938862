"""Deviations stand in a list of their own"""

import json
from datetime import UTC, datetime

import sqlalchemy as sa
from alembic import op

revision = '0015'
down_revision = '0014'
branch_labels = None
depends_on = None

PLACE = ['rank', 'time', 'run', 'origin', 'place']


def upgrade() -> None:
    op.create_table('deviations',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('run', sa.String(length=64), nullable=False),
    sa.Column('origin', sa.String(length=8), nullable=False),
    sa.Column('place', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('rank', sa.BigInteger(), nullable=False),
    sa.Column('time', sa.String(length=24), nullable=False),
    sa.Column('vessel', sa.String(length=64), nullable=True),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_deviations_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'run', 'origin', 'place', name=op.f('pk_deviations'))
    )
    op.create_index('ix_deviations_listed', 'deviations', ['brewery', *PLACE], unique=False)
    op.create_index('ix_deviations_vessel', 'deviations', ['brewery', 'vessel', *PLACE], unique=False)
    # What lives and instruments brought to light is judged again only where it has changed, so it is moved here.
    rows = op.get_bind().execute(sa.text('SELECT brewery, id, troubles, doubts FROM runs WHERE troubles IS NOT NULL OR doubts IS NOT NULL')).all()
    for row in rows:
        for origin, held in (('life', row.troubles), ('doubt', row.doubts)):
            told = json.loads(held) if isinstance(held, str) else held
            _move(row, origin, told or [])
    # What a run raised stands in its state alone: every run is folded again.
    op.execute(sa.text('UPDATE runs SET stale = true'))


def _move(row: sa.Row, origin: str, told: list) -> None:
    vessel = next((one['vessel'] for one in told if one['vessel']), None)
    for place, one in enumerate(told):
        names = ('event', 'step', 'text', 'person', 'interlock', 'answered')
        whole, rest = divmod(max(0, one['time']), 1000)
        time = f'{datetime.fromtimestamp(whole, UTC):%Y-%m-%dT%H:%M:%S}.{rest:03d}Z'
        content = {**{name: one[name] for name in names if name in one}, 'time': time, 'trouble': one['code']}
        op.get_bind().execute(
            sa.text(
                'INSERT INTO deviations (brewery, run, origin, place, rank, time, vessel, content) '
                'VALUES (:brewery, :run, :origin, :place, :rank, :time, :vessel, :content)'
            ).bindparams(sa.bindparam('content', type_=sa.JSON())),
            {
                'brewery': row.brewery, 'run': row.id, 'origin': origin, 'place': place,
                'rank': 0 if one['answered'] is None else 2, 'time': time, 'vessel': vessel, 'content': content,
            },
        )


def downgrade() -> None:
    op.drop_table('deviations')

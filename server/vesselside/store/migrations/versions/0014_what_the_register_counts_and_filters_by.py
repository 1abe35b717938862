"""What the register counts and filters by; every run is folded again, since only then is it known"""

import sqlalchemy as sa
from alembic import op

revision = '0014'
down_revision = '0013'
branch_labels = None
depends_on = None

COUNTS = (
    'answered', 'found', 'struck', 'stop', 'advise', 'late', 'clock', 'paper', 'unproved', 'short',
    'trouble_told', 'doubt_told',
)
LISTED = (
    'brewery', 'opened', 'id', 'kind', 'vessel', 'procedure', 'status', 'opener', 'closer', 'review', 'unreviewed',
    'deviations', 'trouble_open', 'doubt_open', *COUNTS,
)


def upgrade() -> None:
    op.add_column('runs', sa.Column('kind', sa.String(length=64), nullable=True))
    op.add_column('runs', sa.Column('opener', sa.String(length=64), nullable=True))
    op.add_column('runs', sa.Column('closer', sa.String(length=64), nullable=True))
    op.add_column('runs', sa.Column('review', sa.String(length=16), nullable=True))
    for name in COUNTS:
        op.add_column('runs', sa.Column(name, sa.BigInteger(), server_default='0', nullable=False))
    op.create_index('ix_runs_register', 'runs', list(LISTED), unique=False)
    length = 'jsonb_array_length({}::jsonb)' if op.get_bind().dialect.name == 'postgresql' else 'json_array_length({})'
    for told, rows in (('trouble_told', 'troubles'), ('doubt_told', 'doubts')):
        op.execute(f"UPDATE runs SET {told} = {length.format(rows)} WHERE {rows} IS NOT NULL AND CAST({rows} AS TEXT) <> 'null'")
    op.execute(sa.table('runs', sa.column('stale', sa.Boolean())).update().values(stale=sa.true()))


def downgrade() -> None:
    raise RuntimeError('a record is never taken down; restore a backup')

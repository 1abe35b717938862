"""Instruments, and what a failed one puts in doubt"""

import sqlalchemy as sa
from alembic import op

revision = '0006'
down_revision = '0005'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('instruments',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_instruments_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', name=op.f('pk_instruments'))
    )
    op.create_table('instrument_runs',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('instrument', sa.Text(), nullable=False),
    sa.Column('run', sa.String(length=64), nullable=False),
    sa.Column('checked', sa.Boolean(), nullable=False),
    sa.Column('checks', sa.JSON(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_instrument_runs_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'instrument', 'run', name=op.f('pk_instrument_runs'))
    )
    op.create_index('ix_instrument_runs_run', 'instrument_runs', ['brewery', 'run'], unique=False)
    op.create_index('ix_instrument_runs_checked', 'instrument_runs', ['brewery', 'instrument'], unique=False,
                    sqlite_where=sa.text('checked'), postgresql_where=sa.text('checked'))
    op.add_column('runs', sa.Column('doubts', sa.JSON(), nullable=True))
    op.add_column('runs', sa.Column('doubted', sa.BigInteger(), nullable=False, server_default='0'))
    op.add_column('runs', sa.Column('doubt_open', sa.BigInteger(), nullable=False, server_default='0'))
    op.create_index('ix_runs_doubted', 'runs', ['brewery', 'opened'], unique=False,
                    sqlite_where=sa.text('doubted > 0'), postgresql_where=sa.text('doubted > 0'))
    # Summaries of an older core do not say what a run read with which instrument: every run is folded again.
    op.execute(sa.text('UPDATE runs SET stale = true'))


def downgrade() -> None:
    op.drop_index('ix_runs_doubted', table_name='runs')
    op.drop_column('runs', 'doubt_open')
    op.drop_column('runs', 'doubted')
    op.drop_column('runs', 'doubts')
    op.drop_table('instrument_runs')
    op.drop_table('instruments')

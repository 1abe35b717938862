"""Cleans stand in a register of their own, with their figures"""

import sqlalchemy as sa
from alembic import op

revision = '0016'
down_revision = '0015'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('cleanings',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('run', sa.String(length=64), nullable=False),
    sa.Column('time', sa.String(length=24), nullable=False),
    sa.Column('vessel', sa.String(length=64), nullable=True),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_cleanings_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'run', name=op.f('pk_cleanings'))
    )
    op.create_index('ix_cleanings_time', 'cleanings', ['brewery', 'time', 'run'], unique=False)
    op.create_index('ix_cleanings_vessel', 'cleanings', ['brewery', 'vessel', 'time', 'run'], unique=False)
    # The figures are read off folded runs: every run is folded again.
    op.execute(sa.text('UPDATE runs SET stale = true'))


def downgrade() -> None:
    op.drop_table('cleanings')

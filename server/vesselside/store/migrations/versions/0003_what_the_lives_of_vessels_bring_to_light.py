"""What the lives of vessels bring to light"""

import sqlalchemy as sa
from alembic import op

revision = '0003'
down_revision = '0002'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column('runs', sa.Column('troubles', sa.JSON(), nullable=True))
    op.add_column('runs', sa.Column('trouble_open', sa.BigInteger(), nullable=False, server_default='0'))
    op.create_index('ix_runs_trouble_open', 'runs', ['brewery', 'opened'], unique=False,
                    sqlite_where=sa.text('trouble_open > 0'), postgresql_where=sa.text('trouble_open > 0'))
    # Summaries of an older core do not say what a run did to its vessel: every run is folded again when next read.
    op.execute(sa.text('UPDATE runs SET stale = true'))


def downgrade() -> None:
    op.drop_index('ix_runs_trouble_open', table_name='runs')
    op.drop_column('runs', 'trouble_open')
    op.drop_column('runs', 'troubles')

"""The fault of a run that cannot be worked out"""

import sqlalchemy as sa
from alembic import op

revision = '0007'
down_revision = '0006'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column('runs', sa.Column('fault_code', sa.String(length=16), nullable=True))
    op.add_column('runs', sa.Column('fault_text', sa.Text(), nullable=True))
    op.add_column('runs', sa.Column('fault_at', sa.BigInteger(), nullable=True))
    op.add_column('runs', sa.Column('fault_core', sa.String(length=16), nullable=True))
    op.create_index('ix_runs_fault', 'runs', ['brewery', 'opened'], unique=False,
                    sqlite_where=sa.text('fault_code IS NOT NULL'),
                    postgresql_where=sa.text('fault_code IS NOT NULL'))
    # What an event claims to have seen counts up to where the log stood when it came: nothing later can touch it.
    op.drop_column('runs', 'seen')


def downgrade() -> None:
    op.add_column('runs', sa.Column('seen', sa.BigInteger(), nullable=False, server_default='0'))
    op.drop_index('ix_runs_fault', table_name='runs')
    op.drop_column('runs', 'fault_core')
    op.drop_column('runs', 'fault_at')
    op.drop_column('runs', 'fault_text')
    op.drop_column('runs', 'fault_code')

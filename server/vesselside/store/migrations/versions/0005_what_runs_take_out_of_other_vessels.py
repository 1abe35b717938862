"""What runs take out of vessels other than their own: the gyle they drew, so that those vessels' lives find them"""

import sqlalchemy as sa
from alembic import op

revision = '0005'
down_revision = '0004'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column('runs', sa.Column('draws', sa.String(length=64), nullable=True))
    op.create_index('ix_runs_draws', 'runs', ['brewery', 'draws'], unique=False,
                    sqlite_where=sa.text('draws IS NOT NULL'), postgresql_where=sa.text('draws IS NOT NULL'))


def downgrade() -> None:
    op.drop_index('ix_runs_draws', table_name='runs')
    op.drop_column('runs', 'draws')

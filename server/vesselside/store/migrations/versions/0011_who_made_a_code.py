"""Who made a code"""

import sqlalchemy as sa
from alembic import op

revision = '0011'
down_revision = '0010'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column('codes', sa.Column('by', sa.String(length=64), nullable=True))


def downgrade() -> None:
    op.drop_column('codes', 'by')

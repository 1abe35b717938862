"""How much each device brought"""

import sqlalchemy as sa
from alembic import op

revision = '0010'
down_revision = '0009'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        'brought',
        sa.Column('brewery', sa.String(length=64), nullable=False),
        sa.Column('device', sa.String(length=64), nullable=False),
        sa.Column('kind', sa.String(length=16), nullable=False),
        sa.Column('level', sa.BigInteger(), nullable=False),
        sa.Column('at', sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_brought_brewery')),
        sa.PrimaryKeyConstraint('brewery', 'device', 'kind', name=op.f('pk_brought')),
    )


def downgrade() -> None:
    op.drop_table('brought')

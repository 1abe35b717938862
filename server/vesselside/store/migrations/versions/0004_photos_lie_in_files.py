"""Photos lie in files, each under its own hash; the table was never written"""

import sqlalchemy as sa
from alembic import op

revision = '0004'
down_revision = '0003'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.drop_table('photos')


def downgrade() -> None:
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

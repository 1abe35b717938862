"""Notices, and which phones take them"""

import sqlalchemy as sa
from alembic import op

revision = '0017'
down_revision = '0016'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('subscriptions',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('device', sa.String(length=64), nullable=False),
    sa.Column('person', sa.String(length=64), nullable=True),
    sa.Column('endpoint', sa.Text(), nullable=False),
    sa.Column('key', sa.Text(), nullable=False),
    sa.Column('auth', sa.Text(), nullable=False),
    sa.Column('kinds', sa.JSON(), nullable=False),
    sa.Column('quiet', sa.JSON(), nullable=True),
    sa.Column('since', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_subscriptions_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'device', name=op.f('pk_subscriptions'))
    )
    op.create_table('notices',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('kind', sa.String(length=16), nullable=False),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.Column('at', sa.BigInteger(), nullable=False),
    sa.Column('until', sa.BigInteger(), nullable=False),
    sa.Column('ended', sa.Boolean(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_notices_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', name=op.f('pk_notices'))
    )
    op.create_table('deliveries',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('notice', sa.String(length=64), nullable=False),
    sa.Column('device', sa.String(length=64), nullable=False),
    sa.Column('due', sa.BigInteger(), nullable=True),
    sa.Column('tries', sa.BigInteger(), nullable=False),
    sa.Column('outcome', sa.String(length=16), nullable=True),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_deliveries_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'notice', 'device', name=op.f('pk_deliveries'))
    )
    op.create_index('ix_deliveries_due', 'deliveries', ['brewery', 'due'], unique=False,
                    sqlite_where=sa.text('due IS NOT NULL'), postgresql_where=sa.text('due IS NOT NULL'))


def downgrade() -> None:
    for table in ('deliveries', 'notices', 'subscriptions'):
        op.drop_table(table)

"""When a session was last used, and by what wrong tries are counted"""

import sqlalchemy as sa
from alembic import op

revision = '0009'
down_revision = '0008'
branch_labels = None
depends_on = None

KEY = sa.String(length=64)


def upgrade() -> None:
    op.add_column('sessions', sa.Column('used', sa.BigInteger(), nullable=False, server_default='0'))
    # Who waits after wrong tries tries again: no more is lost with the table than a quarter of an hour.
    op.drop_table('attempts')
    op.create_table(
        'attempts',
        sa.Column('brewery', KEY, nullable=False),
        sa.Column('person', KEY, nullable=False),
        sa.Column('device', KEY, nullable=False),
        sa.Column('kind', sa.String(length=16), nullable=False),
        sa.Column('wrong', sa.BigInteger(), nullable=False),
        sa.Column('until', sa.BigInteger(), nullable=False),
        sa.Column('last', sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_attempts_brewery')),
        sa.PrimaryKeyConstraint('brewery', 'person', 'device', 'kind', name=op.f('pk_attempts')),
    )


def downgrade() -> None:
    op.drop_table('attempts')
    op.create_table(
        'attempts',
        sa.Column('brewery', KEY, nullable=False),
        sa.Column('person', KEY, nullable=False),
        sa.Column('device', KEY, nullable=False),
        sa.Column('wrong', sa.BigInteger(), nullable=False),
        sa.Column('until', sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_attempts_brewery')),
        sa.PrimaryKeyConstraint('brewery', 'person', 'device', name=op.f('pk_attempts')),
    )
    op.drop_column('sessions', 'used')

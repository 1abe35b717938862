"""A place of the log once taken stays taken; and which of its lives a log is in"""

import sqlalchemy as sa
from alembic import op

revision = '0008'
down_revision = '0007'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column('breweries', sa.Column('epoch', sa.String(length=64), nullable=True))
    if op.get_bind().dialect.name == 'sqlite':
        # INSERT OR REPLACE takes away what is in its way and asks no trigger of deletion.
        op.execute(
            "CREATE TRIGGER log_refuses_replace BEFORE INSERT ON log WHEN "
            "EXISTS (SELECT 1 FROM log WHERE brewery = NEW.brewery AND sequence = NEW.sequence) OR "
            "(NEW.status = 'stored' AND ("
            "EXISTS (SELECT 1 FROM log WHERE brewery = NEW.brewery AND event = NEW.event AND status = 'stored') OR "
            "EXISTS (SELECT 1 FROM log WHERE brewery = NEW.brewery AND source = NEW.source "
            "AND number = NEW.number AND status = 'stored'))) "
            "BEGIN SELECT RAISE(ABORT, 'the log is append-only'); END"
        )


def downgrade() -> None:
    if op.get_bind().dialect.name == 'sqlite':
        op.execute("DROP TRIGGER log_refuses_replace")
    op.drop_column('breweries', 'epoch')

"""Recipes in versions, and the recipe a run was opened by"""

import sqlalchemy as sa
from alembic import op

revision = '0002'
down_revision = '0001'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('recipe_versions',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('version', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('sha256', sa.String(length=64), nullable=False),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_recipe_versions_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', 'version', name=op.f('pk_recipe_versions'))
    )
    op.drop_table('recipes')
    op.add_column('runs', sa.Column('recipe', sa.String(length=64), nullable=True))
    op.add_column('runs', sa.Column('recipe_version', sa.BigInteger(), nullable=True))
    op.create_index('ix_runs_gyle', 'runs', ['brewery', 'gyle', 'opened', 'id'], unique=False,
    sqlite_where=sa.text('gyle IS NOT NULL'), postgresql_where=sa.text('gyle IS NOT NULL'))
    op.create_index('ix_runs_recipe', 'runs', ['brewery', 'recipe', 'opened', 'id'], unique=False,
    sqlite_where=sa.text('recipe IS NOT NULL'), postgresql_where=sa.text('recipe IS NOT NULL'))


def downgrade() -> None:
    op.drop_index('ix_runs_recipe', table_name='runs')
    op.drop_index('ix_runs_gyle', table_name='runs')
    op.drop_column('runs', 'recipe_version')
    op.drop_column('runs', 'recipe')
    op.create_table('recipes',
    sa.Column('brewery', sa.String(length=64), nullable=False),
    sa.Column('id', sa.String(length=64), nullable=False),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.ForeignKeyConstraint(['brewery'], ['breweries.id'], name=op.f('fk_recipes_brewery')),
    sa.PrimaryKeyConstraint('brewery', 'id', name=op.f('pk_recipes'))
    )
    op.drop_table('recipe_versions')

"""A club's pooled results keep each stone's grades with all steels together, so that stones are matched to blades.

Kept results only save computing again, so the earlier ones are let go: the next look pools each purpose anew.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects import postgresql

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forget the results made without it, then ask for it."""
    op.execute("DELETE FROM pool_results")
    with op.batch_alter_table("pool_results", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("posteriors", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False)
        )


def downgrade() -> None:
    """Leave it out again."""
    with op.batch_alter_table("pool_results", schema=None) as batch_op:
        batch_op.drop_column("posteriors")

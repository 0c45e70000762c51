"""A club notes what stones cost and fetch, makes shortlists for buyers, and its members say whether slips name them.

Taken back, the tables go and the journal keeps every state of these records; done again, they are filled from it.
"""

from datetime import date, datetime

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects import postgresql

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables; fill them from the journal, if it holds such records from before a step back."""
    consents = op.create_table(
        "consents",
        sa.Column("names_on_slips", sa.Boolean(), nullable=False),
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("recorded_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("created_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("withdrawn_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("withdrawn_reason", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_consents_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_consents")),
    )
    with op.batch_alter_table("consents", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_consents_club_id_revision"), ["club_id", "revision"], unique=False
        )

    shortlists = op.create_table(
        "shortlists",
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("wish", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("stone_ids", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("made_on", sa.Date(), nullable=False),
        sa.Column("club_name", sa.String(length=120), nullable=False),
        sa.Column("found", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("method_version", sa.String(length=40), nullable=False),
        sa.Column("pool_revision", sa.Integer(), nullable=False),
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("recorded_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("created_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("withdrawn_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("withdrawn_reason", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_shortlists_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_shortlists")),
    )
    with op.batch_alter_table("shortlists", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_shortlists_club_id_revision"), ["club_id", "revision"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_shortlists_code"), ["code"], unique=True)

    offers = op.create_table(
        "offers",
        sa.Column("stone_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("cost", sa.Float(), nullable=True),
        sa.Column("price", sa.Float(), nullable=True),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("recorded_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("created_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("withdrawn_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("withdrawn_reason", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["club_id", "stone_id"], ["stones.club_id", "stones.id"], name=op.f("fk_offers_club_id_stone_id")
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_offers_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_offers")),
    )
    with op.batch_alter_table("offers", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_offers_club_id_revision"), ["club_id", "revision"], unique=False)

    for thing, table in (("consent", consents), ("shortlist", shortlists), ("offer", offers)):
        _fill_from_journal(thing, table)


_journal = sa.table(
    "journal",
    sa.column("club_id", sa.Uuid(as_uuid=False)),
    sa.column("thing", sa.String()),
    sa.column("latest", sa.Boolean()),
    sa.column("digest", sa.String()),
    sa.column("body", sa.JSON().with_variant(postgresql.JSONB(), "postgresql")),
)


def _fill_from_journal(thing: str, table: sa.Table) -> None:
    """Put back the latest state of each record of a kind."""
    bind = op.get_bind()
    kept = bind.execute(
        sa.select(_journal.c.club_id, _journal.c.digest, _journal.c.body).where(
            _journal.c.thing == thing, _journal.c.latest
        )
    ).all()
    for club_id, digest, body in kept:
        withdrawn = body["withdrawn"] or {}
        values = {
            **body,
            "club_id": club_id,
            "digest": digest,
            **{f"withdrawn_{key}": withdrawn.get(key) for key in ("at", "by", "reason")},
        }
        bind.execute(
            table.insert().values(
                {column.name: _typed(column, values[column.name]) for column in table.columns}
            )
        )


def _typed(column: sa.Column, value: object) -> object:
    """A JSON value as its column takes it: moments and dates travel as text."""
    if isinstance(value, str) and isinstance(column.type, sa.DateTime):
        return datetime.fromisoformat(value)
    if isinstance(value, str) and isinstance(column.type, sa.Date):
        return date.fromisoformat(value)
    return value


def downgrade() -> None:
    """Drop the tables. The journal keeps what was in them."""
    with op.batch_alter_table("offers", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_offers_club_id_revision"))

    op.drop_table("offers")
    with op.batch_alter_table("shortlists", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_shortlists_code"))
        batch_op.drop_index(batch_op.f("ix_shortlists_club_id_revision"))

    op.drop_table("shortlists")
    with op.batch_alter_table("consents", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_consents_club_id_revision"))

    op.drop_table("consents")

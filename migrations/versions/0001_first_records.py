"""What a club keeps: members, lots, stones, blades, protocols, rules, inspections, trials, photos.

Every change of a record is also kept in the journal, in the order of the club's revisions.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects import postgresql

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "club_revisions",
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("club_id", name=op.f("pk_club_revisions")),
    )
    op.create_table(
        "wrong_tries",
        sa.Column("id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("name_key", sa.String(length=64), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_wrong_tries")),
    )
    with op.batch_alter_table("wrong_tries", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_wrong_tries_name_key_at"), ["name_key", "at"], unique=False)

    op.create_table(
        "blades",
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("steel", sa.String(length=40), nullable=False),
        sa.Column("steel_name", sa.String(length=80), nullable=False),
        sa.Column("steel_class", sa.String(length=20), nullable=False),
        sa.Column("construction", sa.String(length=20), nullable=False),
        sa.Column("hardness_hrc", sa.Float(), nullable=True),
        sa.Column("form", sa.String(length=20), nullable=False),
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
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_blades_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_blades")),
    )
    with op.batch_alter_table("blades", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_blades_club_id_revision"), ["club_id", "revision"], unique=False)

    op.create_table(
        "clubs",
        sa.Column("slug", sa.String(length=60), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("invented", sa.Boolean(), nullable=False),
        sa.Column("publish_rules", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("confirm_depth_mm", sa.Float(), nullable=False),
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
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_clubs_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_clubs")),
        sa.UniqueConstraint("slug", name=op.f("uq_clubs_slug")),
    )
    with op.batch_alter_table("clubs", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_clubs_club_id_revision"), ["club_id", "revision"], unique=False)

    op.create_table(
        "invitations",
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("display_name", sa.String(length=80), nullable=False),
        sa.Column("roles", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("invited_by", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ends_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("member_id", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["club_id"], ["club_revisions.club_id"], name=op.f("fk_invitations_club_id")),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_invitations")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_invitations_token_hash")),
    )
    op.create_table(
        "journal",
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("thing", sa.String(length=20), nullable=False),
        sa.Column("record_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("base_version", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("latest", sa.Boolean(), nullable=False),
        sa.Column("member_id", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("author_id", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.ForeignKeyConstraint(["club_id"], ["club_revisions.club_id"], name=op.f("fk_journal_club_id")),
        sa.PrimaryKeyConstraint("club_id", "revision", name=op.f("pk_journal")),
    )
    with op.batch_alter_table("journal", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_journal_club_id_thing_record_id_version"),
            ["club_id", "thing", "record_id", "version"],
            unique=False,
        )

    op.create_table(
        "lots",
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("quarry", sa.String(length=120), nullable=False),
        sa.Column("received_on", sa.Date(), nullable=True),
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
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_lots_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_lots")),
    )
    with op.batch_alter_table("lots", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_lots_club_id_revision"), ["club_id", "revision"], unique=False)

    op.create_table(
        "members",
        sa.Column("display_name", sa.String(length=80), nullable=False),
        sa.Column("sign_in_name", sa.String(length=40), nullable=False),
        sa.Column("roles", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("password_hash", sa.String(length=200), nullable=False),
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
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_members_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_members")),
    )
    with op.batch_alter_table("members", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_members_club_id_revision"), ["club_id", "revision"], unique=False
        )

    op.create_table(
        "photo_bytes",
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["club_id"], ["club_revisions.club_id"], name=op.f("fk_photo_bytes_club_id")),
        sa.PrimaryKeyConstraint("club_id", "name", name=op.f("pk_photo_bytes")),
    )
    op.create_table(
        "photo_pieces",
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("first", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("arrived_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_photo_pieces_club_id")
        ),
        sa.PrimaryKeyConstraint("club_id", "sha256", "first", name=op.f("pk_photo_pieces")),
    )
    op.create_table(
        "photos",
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("media_type", sa.String(length=20), nullable=False),
        sa.Column("n_bytes", sa.Integer(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("sent_by", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["club_id"], ["club_revisions.club_id"], name=op.f("fk_photos_club_id")),
        sa.PrimaryKeyConstraint("club_id", "sha256", name=op.f("pk_photos")),
    )
    op.create_table(
        "pool_results",
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("purpose", sa.String(length=20), nullable=False),
        sa.Column("scale", sa.String(length=40), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("method_version", sa.String(length=40), nullable=False),
        sa.Column("computed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("result", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("readings", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("drifts", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_pool_results_club_id")
        ),
        sa.PrimaryKeyConstraint("club_id", "purpose", "scale", "revision", name=op.f("pk_pool_results")),
    )
    op.create_table(
        "protocols",
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("purpose", sa.String(length=20), nullable=False),
        sa.Column("summary", sa.Text(), nullable=False),
        sa.Column(
            "reference_steels", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False
        ),
        sa.Column("cautions", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("steps", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("scales", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("observations", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
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
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_protocols_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_protocols")),
    )
    with op.batch_alter_table("protocols", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_protocols_club_id_revision"), ["club_id", "revision"], unique=False
        )

    op.create_table(
        "rule_sets",
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("rules", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
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
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_rule_sets_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_rule_sets")),
    )
    with op.batch_alter_table("rule_sets", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_rule_sets_club_id_revision"), ["club_id", "revision"], unique=False
        )

    op.create_table(
        "sign_ins",
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("member_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("device", sa.String(length=120), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_used_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ends_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["club_id"], ["club_revisions.club_id"], name=op.f("fk_sign_ins_club_id")),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_sign_ins")),
    )
    with op.batch_alter_table("sign_ins", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sign_ins_member_id"), ["member_id"], unique=False)

    op.create_table(
        "stones",
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("lot_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("form", sa.String(length=20), nullable=False),
        sa.Column("length_mm", sa.Float(), nullable=False),
        sa.Column("width_mm", sa.Float(), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=False),
        sa.Column("mass_g", sa.Float(), nullable=True),
        sa.Column("colour", sa.String(length=120), nullable=False),
        sa.Column("marks", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("sides_sealed", sa.Boolean(), nullable=False),
        sa.Column("photos", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
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
            ["club_id", "lot_id"], ["lots.club_id", "lots.id"], name=op.f("fk_stones_club_id_lot_id")
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_stones_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_stones")),
    )
    with op.batch_alter_table("stones", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_stones_club_id_code"), ["club_id", "code"], unique=False)
        batch_op.create_index(batch_op.f("ix_stones_club_id_revision"), ["club_id", "revision"], unique=False)

    op.create_table(
        "assignments",
        sa.Column("stone_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("tester_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("purpose", sa.String(length=20), nullable=False),
        sa.Column("steel", sa.String(length=40), nullable=True),
        sa.Column("due_on", sa.Date(), nullable=True),
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
            ["club_id", "stone_id"],
            ["stones.club_id", "stones.id"],
            name=op.f("fk_assignments_club_id_stone_id"),
        ),
        sa.ForeignKeyConstraint(
            ["club_id", "tester_id"],
            ["members.club_id", "members.id"],
            name=op.f("fk_assignments_club_id_tester_id"),
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_assignments_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_assignments")),
    )
    with op.batch_alter_table("assignments", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_assignments_club_id_revision"), ["club_id", "revision"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_assignments_club_id_tester_id"), ["club_id", "tester_id"], unique=False
        )

    op.create_table(
        "check_stones",
        sa.Column("stone_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("purpose", sa.String(length=20), nullable=False),
        sa.Column("grades", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("agreed_on", sa.Date(), nullable=False),
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
            ["club_id", "stone_id"],
            ["stones.club_id", "stones.id"],
            name=op.f("fk_check_stones_club_id_stone_id"),
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_check_stones_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_check_stones")),
    )
    with op.batch_alter_table("check_stones", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_check_stones_club_id_revision"), ["club_id", "revision"], unique=False
        )

    op.create_table(
        "hand_overs",
        sa.Column("stone_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("holder_id", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("handed_at", sa.DateTime(timezone=True), nullable=False),
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
            ["club_id", "stone_id"],
            ["stones.club_id", "stones.id"],
            name=op.f("fk_hand_overs_club_id_stone_id"),
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_hand_overs_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_hand_overs")),
    )
    with op.batch_alter_table("hand_overs", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_hand_overs_club_id_revision"), ["club_id", "revision"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_hand_overs_club_id_stone_id"), ["club_id", "stone_id"], unique=False
        )

    op.create_table(
        "inspections",
        sa.Column("stone_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("face", sa.String(length=10), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=True),
        sa.Column("inspected_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("water_uptake_s", sa.Float(), nullable=True),
        sa.Column("drop_state", sa.String(length=20), nullable=True),
        sa.Column("dry_mass_g", sa.Float(), nullable=True),
        sa.Column("wet_mass_g", sa.Float(), nullable=True),
        sa.Column("tap_tone", sa.String(length=20), nullable=True),
        sa.Column("sides_sealed", sa.Boolean(), nullable=True),
        sa.Column("flatness", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=True),
        sa.Column("photos", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("verdicts", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("rule_set_version", sa.Integer(), nullable=False),
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
            ["club_id", "stone_id"],
            ["stones.club_id", "stones.id"],
            name=op.f("fk_inspections_club_id_stone_id"),
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_inspections_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_inspections")),
    )
    with op.batch_alter_table("inspections", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_inspections_club_id_revision"), ["club_id", "revision"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_inspections_club_id_stone_id"), ["club_id", "stone_id"], unique=False
        )

    op.create_table(
        "lappings",
        sa.Column("stone_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("face", sa.String(length=10), nullable=False),
        sa.Column("lapped_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("grit_system", sa.String(length=10), nullable=False),
        sa.Column("grit_number", sa.Integer(), nullable=False),
        sa.Column("strokes", sa.Integer(), nullable=True),
        sa.Column("stroke_mm", sa.Float(), nullable=True),
        sa.Column("force_n", sa.Float(), nullable=True),
        sa.Column("removed_um", sa.Float(), nullable=True),
        sa.Column("thickness_after_mm", sa.Float(), nullable=True),
        sa.Column("marked_face_agreed", sa.Boolean(), nullable=False),
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
            ["club_id", "stone_id"],
            ["stones.club_id", "stones.id"],
            name=op.f("fk_lappings_club_id_stone_id"),
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_lappings_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_lappings")),
    )
    with op.batch_alter_table("lappings", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_lappings_club_id_revision"), ["club_id", "revision"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_lappings_club_id_stone_id"), ["club_id", "stone_id"], unique=False
        )

    op.create_table(
        "slips",
        sa.Column("stone_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("purpose", sa.String(length=20), nullable=False),
        sa.Column("override_reason", sa.Text(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("issued_on", sa.Date(), nullable=False),
        sa.Column("stone", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("grades", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("evidence", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("findings", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("care", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("method_version", sa.String(length=40), nullable=False),
        sa.Column("inputs_digests", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("pool_revision", sa.Integer(), nullable=False),
        sa.Column("club_name", sa.String(length=120), nullable=False),
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
            ["club_id", "stone_id"], ["stones.club_id", "stones.id"], name=op.f("fk_slips_club_id_stone_id")
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_slips_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_slips")),
    )
    with op.batch_alter_table("slips", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_slips_club_id_revision"), ["club_id", "revision"], unique=False)
        batch_op.create_index(batch_op.f("ix_slips_club_id_stone_id"), ["club_id", "stone_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_slips_code"), ["code"], unique=True)

    op.create_table(
        "trials",
        sa.Column("stone_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("blade_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("protocol_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("protocol_version", sa.Integer(), nullable=False),
        sa.Column("face", sa.String(length=10), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=True),
        sa.Column("started_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("finished_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("observations", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("photos", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("excluded_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("excluded_by", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("excluded_reason", sa.Text(), nullable=True),
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
            ["club_id", "blade_id"], ["blades.club_id", "blades.id"], name=op.f("fk_trials_club_id_blade_id")
        ),
        sa.ForeignKeyConstraint(
            ["club_id", "protocol_id"],
            ["protocols.club_id", "protocols.id"],
            name=op.f("fk_trials_club_id_protocol_id"),
        ),
        sa.ForeignKeyConstraint(
            ["club_id", "stone_id"], ["stones.club_id", "stones.id"], name=op.f("fk_trials_club_id_stone_id")
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_trials_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_trials")),
    )
    with op.batch_alter_table("trials", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_trials_club_id_created_by"), ["club_id", "created_by"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_trials_club_id_revision"), ["club_id", "revision"], unique=False)
        batch_op.create_index(batch_op.f("ix_trials_club_id_stone_id"), ["club_id", "stone_id"], unique=False)

    op.create_table(
        "findings",
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("inspection_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("points", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
        sa.Column("size_mm", sa.Float(), nullable=True),
        sa.Column("depth_mm", sa.Float(), nullable=True),
        sa.Column("dip_deg", sa.Float(), nullable=True),
        sa.Column("catches_nail", sa.Boolean(), nullable=True),
        sa.Column("catches_edge", sa.Boolean(), nullable=True),
        sa.Column("scratches_finish", sa.Boolean(), nullable=True),
        sa.Column("stays_dark_wet", sa.Boolean(), nullable=True),
        sa.Column("moves_when_pressed", sa.Boolean(), nullable=True),
        sa.Column("relieved", sa.Boolean(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "inspection_id"],
            ["inspections.club_id", "inspections.id"],
            name=op.f("fk_findings_club_id_inspection_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("club_id", "inspection_id", "id", name=op.f("pk_findings")),
    )
    with op.batch_alter_table("findings", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_findings_club_id_inspection_id"), ["club_id", "inspection_id"], unique=False
        )

    op.create_table(
        "repairs",
        sa.Column("stone_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("inspection_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("finding_id", sa.Uuid(as_uuid=False), nullable=True),
        sa.Column("rule_id", sa.String(length=40), nullable=False),
        sa.Column("verdict", sa.String(length=80), nullable=False),
        sa.Column("outcome", sa.String(length=20), nullable=False),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("with_what", sa.Text(), nullable=False),
        sa.Column("photos", sa.JSON().with_variant(postgresql.JSONB(), "postgresql"), nullable=False),
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
            ["club_id", "inspection_id"],
            ["inspections.club_id", "inspections.id"],
            name=op.f("fk_repairs_club_id_inspection_id"),
        ),
        sa.ForeignKeyConstraint(
            ["club_id", "stone_id"], ["stones.club_id", "stones.id"], name=op.f("fk_repairs_club_id_stone_id")
        ),
        sa.ForeignKeyConstraint(
            ["club_id"], ["club_revisions.club_id"], name=op.f("fk_repairs_club_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_repairs")),
    )
    with op.batch_alter_table("repairs", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_repairs_club_id_revision"), ["club_id", "revision"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_repairs_club_id_stone_id"), ["club_id", "stone_id"], unique=False
        )

    op.create_table(
        "trial_grades",
        sa.Column("club_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("trial_id", sa.Uuid(as_uuid=False), nullable=False),
        sa.Column("scale", sa.String(length=40), nullable=False),
        sa.Column("grade", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "trial_id"],
            ["trials.club_id", "trials.id"],
            name=op.f("fk_trial_grades_club_id_trial_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("club_id", "trial_id", "scale", name=op.f("pk_trial_grades")),
    )


def downgrade() -> None:
    """Drop them; the club's records go with them."""
    op.drop_table("trial_grades")
    with op.batch_alter_table("repairs", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_repairs_club_id_stone_id"))
        batch_op.drop_index(batch_op.f("ix_repairs_club_id_revision"))

    op.drop_table("repairs")
    with op.batch_alter_table("findings", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_findings_club_id_inspection_id"))

    op.drop_table("findings")
    with op.batch_alter_table("trials", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_trials_club_id_stone_id"))
        batch_op.drop_index(batch_op.f("ix_trials_club_id_revision"))
        batch_op.drop_index(batch_op.f("ix_trials_club_id_created_by"))

    op.drop_table("trials")
    with op.batch_alter_table("slips", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_slips_code"))
        batch_op.drop_index(batch_op.f("ix_slips_club_id_stone_id"))
        batch_op.drop_index(batch_op.f("ix_slips_club_id_revision"))

    op.drop_table("slips")
    with op.batch_alter_table("lappings", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_lappings_club_id_stone_id"))
        batch_op.drop_index(batch_op.f("ix_lappings_club_id_revision"))

    op.drop_table("lappings")
    with op.batch_alter_table("inspections", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_inspections_club_id_stone_id"))
        batch_op.drop_index(batch_op.f("ix_inspections_club_id_revision"))

    op.drop_table("inspections")
    with op.batch_alter_table("hand_overs", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_hand_overs_club_id_stone_id"))
        batch_op.drop_index(batch_op.f("ix_hand_overs_club_id_revision"))

    op.drop_table("hand_overs")
    with op.batch_alter_table("check_stones", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_check_stones_club_id_revision"))

    op.drop_table("check_stones")
    with op.batch_alter_table("assignments", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_assignments_club_id_tester_id"))
        batch_op.drop_index(batch_op.f("ix_assignments_club_id_revision"))

    op.drop_table("assignments")
    with op.batch_alter_table("stones", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_stones_club_id_revision"))
        batch_op.drop_index(batch_op.f("ix_stones_club_id_code"))

    op.drop_table("stones")
    with op.batch_alter_table("sign_ins", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_sign_ins_member_id"))

    op.drop_table("sign_ins")
    with op.batch_alter_table("rule_sets", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_rule_sets_club_id_revision"))

    op.drop_table("rule_sets")
    with op.batch_alter_table("protocols", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_protocols_club_id_revision"))

    op.drop_table("protocols")
    op.drop_table("pool_results")
    op.drop_table("photos")
    op.drop_table("photo_pieces")
    op.drop_table("photo_bytes")
    with op.batch_alter_table("members", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_members_club_id_revision"))

    op.drop_table("members")
    with op.batch_alter_table("lots", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_lots_club_id_revision"))

    op.drop_table("lots")
    with op.batch_alter_table("journal", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_journal_club_id_thing_record_id_version"))

    op.drop_table("journal")
    op.drop_table("invitations")
    with op.batch_alter_table("clubs", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_clubs_club_id_revision"))

    op.drop_table("clubs")
    with op.batch_alter_table("blades", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_blades_club_id_revision"))

    op.drop_table("blades")
    with op.batch_alter_table("wrong_tries", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_wrong_tries_name_key_at"))

    op.drop_table("wrong_tries")
    op.drop_table("club_revisions")

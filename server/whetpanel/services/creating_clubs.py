"""Starting a club: its first steward, the default protocols and the default soundness rules."""

import re
from dataclasses import dataclass

import uuid_utils
from sqlalchemy import select

from ..clock import Clock
from ..core.protocols import default_protocols
from ..errors import Conflict, Invalid
from ..settings import Settings
from ..storage.base import Database
from ..storage.record import RecordMixin, content_digest
from ..storage.schema import Club, ClubRevision, Member, Protocol, RuleSet
from . import signing_in
from .caller import STEWARD
from .inspecting import default_rules
from .writing import note_in_journal, take_revision

DEFAULT_PUBLISH_RULES = {"min_testers": 3, "min_steels": 2, "max_half_width": 0.5}
DEFAULT_CONFIRM_DEPTH_MM = 2.0


@dataclass(frozen=True)
class NewClub:
    """The ids of what was made."""

    club_id: str
    steward_id: str


def create_club(
    database: Database,
    clock: Clock,
    settings: Settings,
    *,
    slug: str,
    name: str,
    steward_name: str,
    steward_display_name: str,
    password: str,
    invented: bool = False,
) -> NewClub:
    """Make a club that is ready to use. Raises Conflict if the slug is taken, Invalid for a poor slug or password."""
    if not re.fullmatch(r"[a-z0-9](?:[a-z0-9-]{0,58}[a-z0-9])?", slug):
        raise Invalid("Give the club a short name of small letters, digits and hyphens, such as hill-club.")
    signing_in.check_password(password)
    now = clock()
    club_id, steward_id = str(uuid_utils.uuid7()), str(uuid_utils.uuid7())
    rows: list[RecordMixin] = []
    club = Club(club_id=club_id, id=club_id, slug=slug)
    club.assign(
        {
            "name": name,
            "invented": invented,
            "publish_rules": dict(DEFAULT_PUBLISH_RULES),
            "confirm_depth_mm": DEFAULT_CONFIRM_DEPTH_MM,
        }
    )
    rows.append(club)
    steward = Member(
        club_id=club_id, id=steward_id, password_hash=signing_in.password_hasher(settings).hash(password)
    )
    steward.assign(
        {
            "display_name": steward_display_name,
            "sign_in_name": steward_name,
            "roles": [STEWARD],
            "active": True,
        }
    )
    rows.append(steward)
    for content in default_protocols().values():
        protocol = Protocol(club_id=club_id, id=str(uuid_utils.uuid7()))
        protocol.assign(dict(content))
        rows.append(protocol)
    rule_set = RuleSet(club_id=club_id, id=str(uuid_utils.uuid7()))
    rule_set.assign({"name": "Soundness rules", "rules": default_rules()})
    rows.append(rule_set)
    with database.write() as session:
        if session.execute(select(Club.id).where(Club.slug == slug)).first() is not None:
            raise Conflict(f"There is a club with the short name {slug} already. Choose another.")
        session.add(ClubRevision(club_id=club_id, revision=0))
        session.flush()
        for row in rows:
            row.version, row.revision = 1, take_revision(session, club_id)
            row.digest = content_digest(row.own_fields())
            row.created_by = row.updated_by = steward_id
            row.created_at = row.updated_at = now
            session.add(row)
            note_in_journal(session, row, base_version=0, member_id=steward_id, at=now)
    return NewClub(club_id, steward_id)

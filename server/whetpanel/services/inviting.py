"""Inviting members: a link that works once, for a while."""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import uuid_utils
from sqlalchemy import select, update
from sqlalchemy.orm import Session

from ..clock import Clock
from ..errors import NotFound
from ..settings import Settings
from ..storage.base import Database
from ..storage.record import content_digest, wire_time
from ..storage.schema import Club, Invitation, Member
from . import signing_in
from .caller import STEWARD, Caller
from .things import THINGS, WriteContext
from .writing import note_in_journal, take_revision

LASTS = timedelta(days=14)


@dataclass(frozen=True)
class Invited:
    """A new invitation and its token, which is told once."""

    body: dict[str, Any]
    token: str


def _body(row: Invitation) -> dict[str, Any]:
    return {
        "id": row.id,
        "display_name": row.display_name,
        "roles": row.roles,
        "created_at": wire_time(row.created_at),
        "ends_at": wire_time(row.ends_at),
        "used_at": wire_time(row.used_at),
        "withdrawn": row.withdrawn_at is not None,
    }


def invite(database: Database, clock: Clock, caller: Caller, display_name: str, roles: list[str]) -> Invited:
    """Make an invitation for one person."""
    caller.require(STEWARD)
    now, token = clock(), secrets.token_urlsafe(18)
    row = Invitation(
        club_id=caller.club_id, id=str(uuid_utils.uuid7()), token_hash=signing_in.token_hash(token),
        display_name=display_name, roles=roles, invited_by=caller.member_id, created_at=now, ends_at=now + LASTS,
    )  # fmt: skip
    with database.write() as session:
        session.add(row)
    return Invited(_body(row), token)


def list_invitations(database: Database, caller: Caller) -> list[dict[str, Any]]:
    """The club's invitations, the newest first."""
    caller.require(STEWARD)
    with database.read() as session:
        rows = session.execute(
            select(Invitation).where(Invitation.club_id == caller.club_id).order_by(Invitation.id.desc())
        ).scalars()
        return [_body(row) for row in rows]


def withdraw_invitation(database: Database, clock: Clock, caller: Caller, invitation_id: str) -> None:
    """Take an invitation back; again is harmless. Raises NotFound."""
    caller.require(STEWARD)
    with database.write() as session:
        row = session.get(Invitation, (caller.club_id, invitation_id))
        if row is None:
            raise NotFound("There is no such invitation in your club.")
        row.withdrawn_at = row.withdrawn_at or clock()


def _open_invitation(session: Session, token: str, now: datetime) -> Invitation:
    row = session.execute(
        select(Invitation).where(Invitation.token_hash == signing_in.token_hash(token))
    ).scalar_one_or_none()
    if row is None or row.withdrawn_at is not None or row.used_at is not None or row.ends_at <= now:
        raise NotFound("This invitation is used, over or not known. Ask your steward for a new one.")
    return row


def look_at_invitation(database: Database, clock: Clock, token: str) -> dict[str, Any]:
    """Who is invited to which club, for somebody who holds the link."""
    with database.read() as session:
        row = _open_invitation(session, token, clock())
        club = session.get_one(Club, (row.club_id, row.club_id))
        return {
            "club_name": club.name,
            "invented": club.invented,
            "display_name": row.display_name,
            "roles": row.roles,
        }


def join(
    database: Database,
    clock: Clock,
    settings: Settings,
    token: str,
    *,
    sign_in_name: str,
    password: str,
    display_name: str | None,
    device: str | None,
) -> signing_in.SignedIn:
    """Become a member by an invitation and sign in. The link works once, however often and fast it is used."""
    signing_in.check_password(password)
    hash_ = signing_in.password_hasher(settings).hash(password)
    now, member_id = clock(), str(uuid_utils.uuid7())
    with database.read() as session:
        club_id = _open_invitation(session, token, now).club_id
    with database.write() as session:
        # Under the club's lock the invitation is looked at again: two taps on one link must not make two members.
        revision = take_revision(session, club_id)
        invitation = _open_invitation(session, token, now)
        fields = {
            "display_name": display_name or invitation.display_name,
            "sign_in_name": sign_in_name,
            "roles": invitation.roles,
            "active": True,
        }
        steward = Caller(club_id, invitation.invited_by, frozenset({STEWARD}))
        THINGS["member"].check(WriteContext(session, steward, now, member_id, None), fields)
        row = Member(
            club_id=club_id, id=member_id, version=1, revision=revision, created_by=invitation.invited_by,
            created_at=now, updated_by=member_id, updated_at=now, password_hash=hash_,
            digest=content_digest(fields),
        )  # fmt: skip
        row.assign(fields)
        session.add(row)
        note_in_journal(session, row, base_version=0, member_id=invitation.invited_by, at=now)
        session.execute(
            update(Invitation)
            .where(Invitation.club_id == club_id, Invitation.id == invitation.id)
            .values(used_at=now, member_id=member_id)
        )
        slug = session.get_one(Club, (club_id, club_id)).slug
    return signing_in.sign_in(
        database, clock, settings, club_slug=slug, name=sign_in_name, password=password, kind="cookie",
        device=device,
    )  # fmt: skip

"""Signing in and out, and telling from a token who is asking."""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, Literal

import uuid_utils
from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerifyMismatchError
from sqlalchemy import delete, func, select, update
from sqlalchemy.orm import Session

from ..clock import Clock
from ..errors import Invalid, NotAllowed, NotFound, NotSignedIn, TooManyTries, WrongSignIn
from ..settings import Settings
from ..storage.base import Database
from ..storage.schema import Club, Member, SignIn, WrongTry
from .caller import Caller

MIN_PASSWORD = 12
MAX_PASSWORD = 200
_USE_NOTED_EVERY = timedelta(hours=1)

Kind = Literal["cookie", "bearer"]


def password_hasher(settings: Settings) -> PasswordHasher:
    """Argon2id with the service's settings."""
    return PasswordHasher(
        time_cost=settings.argon2_rounds, memory_cost=settings.argon2_memory_kib, parallelism=1
    )


def token_hash(token: str) -> str:
    """What is kept of a token. The token is random and long, so a plain hash cannot be reversed by guessing."""
    return hashlib.sha256(token.encode()).hexdigest()


@dataclass(frozen=True)
class SignedIn:
    """A fresh sign-in: the token (told once), who it is, and the club."""

    token: str
    caller: Caller
    member: dict[str, Any]
    club: dict[str, Any]


def _the_club(session: Session, slug: str | None) -> Club | None:
    if slug:
        return session.execute(select(Club).where(Club.slug == slug)).scalar_one_or_none()
    clubs = session.execute(select(Club).limit(2)).scalars().all()
    return clubs[0] if len(clubs) == 1 else None


def _verifies(hasher: PasswordHasher, hash_: str, password: str) -> bool:
    try:
        return hasher.verify(hash_, password)
    except (VerifyMismatchError, InvalidHashError):
        return False


def sign_in(
    database: Database,
    clock: Clock,
    settings: Settings,
    *,
    club_slug: str | None,
    name: str,
    password: str,
    kind: Kind,
    device: str | None,
) -> SignedIn:
    """Check a password and open a session. Raises WrongSignIn, TooManyTries."""
    now = clock()
    hasher = password_hasher(settings)
    key = hashlib.sha256(f"{club_slug or ''}\n{name.casefold()}".encode()).hexdigest()
    with database.read() as session:
        since = now - timedelta(seconds=settings.sign_in_window_s)
        wrong = session.execute(
            select(func.count()).select_from(WrongTry).where(WrongTry.name_key == key, WrongTry.at > since)
        ).scalar_one()
        club = _the_club(session, club_slug)
        member = None
        if club is not None:
            member = session.execute(
                select(Member).where(
                    Member.club_id == club.id,
                    func.lower(Member.sign_in_name) == name.lower(),
                    Member.withdrawn_at.is_(None),
                )
            ).scalar_one_or_none()
    if wrong >= settings.sign_in_tries:
        raise TooManyTries(
            "Too many wrong sign-ins for this name. Wait a while, then try again.", settings.sign_in_window_s
        )
    # A name that is not there costs the same time as a wrong password, so the clock does not tell who is a member.
    hash_ = member.password_hash if member is not None else hasher.hash("nobody's password")
    right = _verifies(hasher, hash_, password)
    if member is None or club is None or not right or not member.active:
        with database.write() as session:
            session.add(WrongTry(id=str(uuid_utils.uuid7()), name_key=key, at=now))
            session.execute(delete(WrongTry).where(WrongTry.at <= since))
        raise WrongSignIn("The club, the name or the password is not right. Check all three and try again.")
    token = secrets.token_urlsafe(32)
    with database.write() as session:
        session.execute(delete(WrongTry).where(WrongTry.name_key == key))
        session.add(
            SignIn(
                token_hash=token_hash(token),
                club_id=club.id,
                member_id=member.id,
                kind=kind,
                device=device,
                created_at=now,
                last_used_at=now,
                ends_at=now + timedelta(days=settings.session_days),
            )
        )
    caller = Caller(club.id, member.id, frozenset(member.roles))
    return SignedIn(token, caller, member.body(), club.body())


@dataclass(frozen=True)
class Identity:
    """Who a token stands for, and by which kind of sign-in."""

    caller: Caller
    kind: Kind


def identify(database: Database, clock: Clock, settings: Settings, token: str) -> Identity:
    """The caller behind a token. Raises NotSignedIn."""
    now = clock()
    hash_ = token_hash(token)
    with database.read() as session:
        found = session.execute(
            select(SignIn, Member)
            .join(Member, (Member.club_id == SignIn.club_id) & (Member.id == SignIn.member_id))
            .where(SignIn.token_hash == hash_)
        ).one_or_none()
    if found is None:
        raise NotSignedIn("You are not signed in. Sign in; what is waiting on this phone stays.")
    entry, member = found
    if (
        entry.ended_at is not None
        or entry.ends_at <= now
        or not member.active
        or member.withdrawn_at is not None
    ):
        raise NotSignedIn("Your sign-in has ended. Sign in again; what is waiting on this phone stays.")
    if now - entry.last_used_at > _USE_NOTED_EVERY:
        # Noted once an hour at the most: a write for every read would make readers wait for writers.
        with database.write() as session:
            session.execute(
                update(SignIn)
                .where(SignIn.token_hash == hash_)
                .values(last_used_at=now, ends_at=now + timedelta(days=settings.session_days))
            )
    return Identity(Caller(entry.club_id, entry.member_id, frozenset(member.roles)), entry.kind)  # type: ignore[arg-type]


def sign_out(database: Database, clock: Clock, token: str) -> None:
    """End the session of a token; ending it again is harmless."""
    with database.write() as session:
        session.execute(
            update(SignIn)
            .where(SignIn.token_hash == token_hash(token), SignIn.ended_at.is_(None))
            .values(ended_at=clock())
        )


def whoami(database: Database, caller: Caller) -> tuple[dict[str, Any], dict[str, Any]]:
    """The caller's member and club records."""
    with database.read() as session:
        member = session.get_one(Member, (caller.club_id, caller.member_id))
        club = session.get_one(Club, (caller.club_id, caller.club_id))
        return member.body(), club.body()


def check_password(password: str) -> None:
    """Raise Invalid if a new password is too short or too long to be one."""
    if not MIN_PASSWORD <= len(password) <= MAX_PASSWORD:
        raise Invalid(f"Choose a password of {MIN_PASSWORD} to {MAX_PASSWORD} characters.")


def confirm_password(database: Database, settings: Settings, caller: Caller, password: str) -> None:
    """Raise NotAllowed unless this is the caller's own password: a borrowed phone does not open everything."""
    with database.read() as session:
        member = session.get_one(Member, (caller.club_id, caller.member_id))
    if not _verifies(password_hasher(settings), member.password_hash, password):
        raise NotAllowed("Your password is not right.")


def change_password(
    database: Database,
    clock: Clock,
    settings: Settings,
    caller: Caller,
    member_id: str,
    *,
    password: str,
    current_password: str | None,
    keep_token: str | None = None,
) -> None:
    """Set a new password: a member's own, with the present one in hand, or, for the steward, anybody's.

    Every other session of that member ends.
    """
    check_password(password)
    hasher = password_hasher(settings)
    own = member_id == caller.member_id
    if not own:
        caller.require("steward")
    with database.read() as session:
        member = session.get(Member, (caller.club_id, member_id))
    if member is None:
        raise NotFound("There is no such member in your club.")
    if own and not _verifies(hasher, member.password_hash, current_password or ""):
        raise NotAllowed("Your present password is not right.")
    hash_ = hasher.hash(password)
    with database.write() as session:
        session.execute(
            update(Member)
            .where(Member.club_id == caller.club_id, Member.id == member_id)
            .values(password_hash=hash_)
        )
        ended = update(SignIn).where(
            SignIn.club_id == caller.club_id, SignIn.member_id == member_id, SignIn.ended_at.is_(None)
        )
        if own and keep_token is not None:
            ended = ended.where(SignIn.token_hash != token_hash(keep_token))
        session.execute(ended.values(ended_at=clock()))

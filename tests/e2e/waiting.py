"""Records that wait on a phone, put there by the file in which a phone keeps what it has not sent."""

import json
from base64 import b64encode
from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any

from tests.conftest import new_id
from tests.e2e.club import Club, Member, Record
from tests.e2e.phone import Phone
from tests.e2e.pictures import sha256


def some_trials(club: Club, n: int) -> dict[str, Record]:
    """Trials of one stone, told apart by their notes; by the ids that a phone would have made."""
    stone = club.stone()
    return {new_id(): club.trial_body(stone, notes=f"evening {number}") for number in range(n)}


def wait_on(
    phone: Phone,
    member: Member,
    trials: dict[str, Record],
    *,
    base: int | None = None,
    photos: Iterable[bytes] = (),
) -> None:
    """Let these trials and photos wait on the phone, which loses its signal first."""
    club_id = phone.club_id()
    phone.page.goto("/me")
    phone.go_offline()
    phone.read_queue_file(queue_file(member, club_id, trials, base=base, photos=photos))
    phone.bench()


def queue_file(
    member: Member,
    club_id: str,
    trials: dict[str, Record],
    *,
    base: int | None = None,
    photos: Iterable[bytes] = (),
) -> bytes:
    """The file that a phone saves when these wait on it (pwa/src/sync/queue_file.ts)."""
    saved_at = datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    pictures = {sha256(content): content for content in photos}

    def entry(thing: str, record_id: str, **own: Any) -> Record:
        return {
            "member_id": member.id,
            "member_name": member.display_name,
            "club_id": club_id,
            "thing": thing,
            "record_id": record_id,
            "path": f"/{thing}s/{record_id}",
            "edition": 1,
            "recorded_at": saved_at,
            "tried": [],
            "state": "waiting",
            "attempts": 0,
            "tried_at": None,
            "next_try_at": None,
            "problem": None,
            "theirs": None,
            **own,
        }

    records = [entry("trial", one, act="put", body=body, base=base) for one, body in trials.items()]
    records += [entry("photo", name, act="photo", body=None, base=None) for name in pictures]
    file = {
        "format": "whetpanel-queue",
        "edition": 1,
        "saved_at": saved_at,
        "records": [{"sequence": number, **one} for number, one in enumerate(records, start=1)],
        "photos": [
            {"sha256": name, "media_type": "image/jpeg", "base64": b64encode(content).decode()}
            for name, content in pictures.items()
        ],
        "drafts": [],
    }
    return json.dumps(file).encode()

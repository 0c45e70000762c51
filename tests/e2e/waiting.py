"""Records that wait on a phone, put there by the file in which a phone keeps what it has not sent."""

import json
from datetime import UTC, datetime

from tests.conftest import new_id
from tests.e2e.club import Club, Member, Record
from tests.e2e.phone import Phone


def some_trials(club: Club, n: int) -> dict[str, Record]:
    """Trials of one stone, told apart by their notes; by the ids that a phone would have made."""
    stone = club.stone()
    return {new_id(): club.trial_body(stone, notes=f"evening {number}") for number in range(n)}


def wait_on(phone: Phone, member: Member, trials: dict[str, Record], base: int | None = None) -> None:
    """Let these trials wait on the phone, which loses its signal first."""
    club_id = phone.club_id()
    phone.page.goto("/me")
    phone.go_offline()
    phone.read_queue_file(queue_file(member, club_id, trials, base))
    phone.bench()
    phone.expect_waiting(len(trials))


def queue_file(member: Member, club_id: str, trials: dict[str, Record], base: int | None = None) -> bytes:
    """The file that a phone saves when these trials of this member wait on it (pwa/src/sync/queue_file.ts)."""
    saved_at = datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    records = [
        {
            "member_id": member.id,
            "member_name": member.display_name,
            "club_id": club_id,
            "sequence": number,
            "thing": "trial",
            "record_id": trial_id,
            "act": "put",
            "path": f"/trials/{trial_id}",
            "body": body,
            "base": base,
            "edition": 1,
            "recorded_at": saved_at,
            "tried": [],
            "state": "waiting",
            "attempts": 0,
            "tried_at": None,
            "next_try_at": None,
            "problem": None,
            "theirs": None,
        }
        for number, (trial_id, body) in enumerate(trials.items(), start=1)
    ]
    file = {
        "format": "whetpanel-queue",
        "edition": 1,
        "saved_at": saved_at,
        "records": records,
        "photos": [],
        "drafts": [],
    }
    return json.dumps(file).encode()

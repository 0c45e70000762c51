"""The kinds of record a club keeps: who may write each, and what must hold before one is taken."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, cast

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..core.protocols import Protocol as ProtocolShape
from ..core.protocols import protocol_faults
from ..core.soundness.grit import grain
from ..errors import Conflict, FieldError, Invalid, NotAllowed
from ..storage.record import RecordMixin
from ..storage.schema import (
    Assignment,
    Blade,
    CheckStone,
    Club,
    Consent,
    HandOver,
    Inspection,
    JournalEntry,
    Lapping,
    Lot,
    Member,
    Offer,
    Protocol,
    Repair,
    RuleSet,
    Shortlist,
    Slip,
    Stone,
    Trial,
)  # fmt: skip
from . import inspecting, trial_checks
from .caller import DEALER, STEWARD, TESTER, Caller


@dataclass(frozen=True)
class WriteContext:
    """What a check may look at: the open transaction, the writer, the moment, and the record if it exists."""

    session: Session
    caller: Caller
    now: datetime
    record_id: str
    row: RecordMixin | None

    def find(self, model: type[Any], record_id: str) -> Any:
        """Another record of the same club, or None."""
        return self.session.get(model, (self.caller.club_id, record_id))


Check = Callable[[WriteContext, dict[str, Any]], None]
Derive = Callable[[WriteContext, Any, dict[str, Any]], None]


def _nothing(*_args: Any) -> None:
    return


@dataclass(frozen=True)
class Thing:
    """One kind of record. ``words`` names it in a sentence; ``author_only`` lets only its maker change it;
    an ``immutable`` one can only be withdrawn.
    """

    name: str
    words: str
    model: type[Any]
    writers: tuple[str, ...]
    author_only: bool = False
    immutable: bool = False
    withdrawers: tuple[str, ...] = (DEALER, STEWARD)
    check: Check = field(default=_nothing)
    derive: Derive = field(default=_nothing)

    def with_derived(self, derive: Derive) -> "Thing":
        """The same thing, whose new records are filled in by this."""
        return replace(self, derive=derive)

    def with_password(self, password_hash: str) -> "Thing":
        """The same thing, whose new records get this password hash; a record that exists keeps its own."""

        def derive(context: WriteContext, row: Any, fields: dict[str, Any]) -> None:
            if context.row is None:
                row.password_hash = password_hash

        return replace(self, derive=derive)


def need(context: WriteContext, model: type[Any], name: str, record_id: str, words: str) -> Any:
    """The record a field points to; a Conflict names the field if it is not here (yet)."""
    found = context.find(model, record_id)
    if found is None:
        raise Conflict(f"The {words} named in {name} is not in this club. Send that record first.")
    return found


def _unique(model: type[Any], name: str, words: str) -> Check:
    def check(context: WriteContext, fields: dict[str, Any]) -> None:
        taken = context.session.execute(
            select(model.id).where(
                model.club_id == context.caller.club_id,
                getattr(model, name) == fields[name],
                model.withdrawn_at.is_(None),
                model.id != context.record_id,
            )
        ).first()
        if taken is not None:
            raise Conflict(
                f"{fields[name]} is taken by another {words}. Choose another {name.replace('_', ' ')}."
            )

    return check


def _check_stone(context: WriteContext, fields: dict[str, Any]) -> None:
    _unique(Stone, "code", "stone")(context, fields)
    need(context, Lot, "lot_id", fields["lot_id"], "lot")


def _check_protocol(context: WriteContext, fields: dict[str, Any]) -> None:
    faults = protocol_faults(cast(ProtocolShape, fields))
    if faults:
        raise Invalid("The protocol cannot be followed as it is.", faults)


def _check_rule_set(context: WriteContext, fields: dict[str, Any]) -> None:
    other = context.session.execute(
        select(RuleSet.id).where(RuleSet.club_id == context.caller.club_id, RuleSet.id != context.record_id)
    ).first()
    if other is not None:
        raise Conflict("Your club has a rule set already. Change that one.")
    inspecting.usable_rules(fields["rules"])


def _check_inspection(context: WriteContext, fields: dict[str, Any]) -> None:
    need(context, Stone, "stone_id", fields["stone_id"], "stone")
    ids = [finding["id"] for finding in fields["findings"]]
    if len(set(ids)) != len(ids):
        raise Invalid(
            "Two findings have the same id.", [FieldError("findings", "Give each finding its own id.")]
        )


def _derive_verdicts(context: WriteContext, row: Inspection, fields: dict[str, Any]) -> None:
    stone = context.find(Stone, fields["stone_id"])
    rules = context.session.execute(
        select(RuleSet).where(RuleSet.club_id == context.caller.club_id)
    ).scalar_one()
    history = inspecting.history_of(context.session, context.caller.club_id, fields)
    row.verdicts = inspecting.verdicts_of(
        stone.own_fields(), fields, inspecting.usable_rules(rules.rules), history
    )
    row.rule_set_version = rules.version


def _check_repair(context: WriteContext, fields: dict[str, Any]) -> None:
    need(context, Stone, "stone_id", fields["stone_id"], "stone")
    inspection = need(context, Inspection, "inspection_id", fields["inspection_id"], "inspection")
    if inspection.stone_id != fields["stone_id"]:
        raise Invalid(
            "The inspection is of another stone.",
            [FieldError("inspection_id", "Name an inspection of this stone.")],
        )
    if fields["outcome"] == "not_needed":
        context.caller.require(DEALER, STEWARD)


def _check_lapping(context: WriteContext, fields: dict[str, Any]) -> None:
    stone = need(context, Stone, "stone_id", fields["stone_id"], "stone")
    marked = [mark for mark in stone.marks if mark["face"] == fields["face"]]
    if marked and not fields["marked_face_agreed"]:
        raise Invalid(
            "This face bears a stamp or natural skin, which is part of the stone's value.",
            [
                FieldError(
                    "marked_face_agreed",
                    "Ask the dealer; say true once it is agreed that this face is lapped.",
                )
            ],
        )
    grain(fields["grit_system"], fields["grit_number"])


def _protocol_version(context: WriteContext, protocol: Protocol, version: int) -> dict[str, Any]:
    if version == protocol.version:
        return protocol.own_fields()
    body = context.session.execute(
        select(JournalEntry.body)
        .where(
            JournalEntry.club_id == context.caller.club_id,
            JournalEntry.thing == "protocol",
            JournalEntry.record_id == protocol.id,
            JournalEntry.version == version,
        )
        .limit(1)
    ).scalar_one_or_none()
    if body is None:
        raise Conflict(f"This protocol has no version {version}. Its present version is {protocol.version}.")
    earlier: dict[str, Any] = body
    return earlier


def _check_trial(context: WriteContext, fields: dict[str, Any]) -> None:
    need(context, Stone, "stone_id", fields["stone_id"], "stone")
    need(context, Blade, "blade_id", fields["blade_id"], "blade")
    protocol = need(context, Protocol, "protocol_id", fields["protocol_id"], "protocol")
    trial_checks.check_trial(fields, _protocol_version(context, protocol, fields["protocol_version"]))


def _check_check_stone(context: WriteContext, fields: dict[str, Any]) -> None:
    need(context, Stone, "stone_id", fields["stone_id"], "stone")


def _check_assignment(context: WriteContext, fields: dict[str, Any]) -> None:
    need(context, Stone, "stone_id", fields["stone_id"], "stone")
    member = need(context, Member, "tester_id", fields["tester_id"], "member")
    if not member.active or TESTER not in member.roles:
        raise Conflict(
            f"{member.display_name} is no active tester. Ask somebody else, or change the roles first."
        )


def _check_hand_over(context: WriteContext, fields: dict[str, Any]) -> None:
    need(context, Stone, "stone_id", fields["stone_id"], "stone")
    if fields["holder_id"] is not None:
        need(context, Member, "holder_id", fields["holder_id"], "member")
    elif not context.caller.has(DEALER, STEWARD):
        raise Invalid(
            "Only the dealer takes a stone back.",
            [FieldError("holder_id", "Name who has the stone now.")],
        )


def _check_offer(context: WriteContext, fields: dict[str, Any]) -> None:
    need(context, Stone, "stone_id", fields["stone_id"], "stone")
    if context.record_id != fields["stone_id"]:
        raise Invalid(
            "An offer has the id of its stone.",
            [FieldError("stone_id", "Write the offer under the id of this stone.")],
        )
    if fields["state"] == "kept_back" and not fields["notes"].strip():
        raise Invalid(
            "Say why the stone is kept back.",
            [FieldError("notes", "Write the reason, for whoever finds the stone set aside.")],
        )


def _check_consent(context: WriteContext, _fields: dict[str, Any]) -> None:
    if context.record_id != context.caller.member_id:
        raise NotAllowed("Only you can agree for yourself. Write your consent under your own member id.")


def _check_member(context: WriteContext, fields: dict[str, Any]) -> None:
    _unique(Member, "sign_in_name", "member")(context, fields)
    stewards = context.session.execute(
        select(Member).where(Member.club_id == context.caller.club_id, Member.id != context.record_id)
    ).scalars()
    others = any(STEWARD in m.roles and m.active and m.withdrawn_at is None for m in stewards)
    if not others and not (STEWARD in fields["roles"] and fields["active"]):
        raise Conflict("A club needs one active steward. Make another member a steward first.")


THINGS: dict[str, Thing] = {
    thing.name: thing
    for thing in (
        Thing("club", "club", Club, (STEWARD,), withdrawers=()),
        Thing("member", "member", Member, (STEWARD,), withdrawers=(STEWARD,), check=_check_member),
        Thing("lot", "lot", Lot, (DEALER, STEWARD), check=_unique(Lot, "code", "lot")),
        Thing("stone", "stone", Stone, (DEALER, STEWARD), check=_check_stone),
        Thing("blade", "blade", Blade, (DEALER, STEWARD)),
        Thing("protocol", "protocol", Protocol, (STEWARD,), withdrawers=(STEWARD,), check=_check_protocol),
        Thing("rule_set", "rule set", RuleSet, (STEWARD,), withdrawers=(), check=_check_rule_set),
        Thing(
            "inspection", "inspection", Inspection, (TESTER, DEALER, STEWARD), author_only=True,
            check=_check_inspection, derive=_derive_verdicts,
        ),
        Thing(
            "repair", "repair", Repair, (TESTER, DEALER, STEWARD), author_only=True, check=_check_repair
        ),
        Thing(
            "lapping", "lapping", Lapping, (TESTER, DEALER, STEWARD), author_only=True, check=_check_lapping
        ),
        Thing("trial", "trial", Trial, (TESTER, DEALER, STEWARD), author_only=True, check=_check_trial),
        Thing("check_stone", "check stone", CheckStone, (DEALER, STEWARD), check=_check_check_stone),
        Thing("assignment", "assignment", Assignment, (DEALER, STEWARD), check=_check_assignment),
        Thing("hand_over", "hand-over", HandOver, (TESTER, DEALER, STEWARD), author_only=True, check=_check_hand_over),
        Thing("slip", "slip", Slip, (DEALER, STEWARD), immutable=True),
        Thing("offer", "offer", Offer, (DEALER, STEWARD), check=_check_offer),
        # Taken back by writing it anew: its id is the member's, so a withdrawn one could never be given again.
        Thing(
            "consent", "consent", Consent, (TESTER, DEALER, STEWARD), author_only=True, withdrawers=(),
            check=_check_consent,
        ),
        Thing("shortlist", "shortlist", Shortlist, (DEALER, STEWARD), immutable=True),
    )
}  # fmt: skip

"""Which trials would teach most, given who is there, which blades the club has and who can take how many."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from ..core.plan import PlannedTrial, Who, linking_trials, plan_trials, which_of_them_link
from ..core.plan_board import Aim, missing_counts, wide_stones
from ..core.plan_words import reasons
from ..core.pooling import PoolResult
from ..core.readiness import PublishRules
from ..core.soundness import open_work
from ..core.soundness.work import BLOCKS_PUBLICATION
from ..errors import FieldError, Invalid
from ..storage.base import Database
from ..storage.schema import Blade, Club, Inspection, Member, Offer, Protocol, Repair, Stone
from .asking import holders_now, open_assignments
from .caller import DEALER, STEWARD, TESTER, Caller
from .pool_desk import PoolDesk
from .pool_inputs import scales_of


@dataclass(frozen=True)
class Wish:
    """What the dealer asks of a plan.

    n          trials in all, the settled ones among them
    scale      plan for this scale alone; None: for all, beginning with the one that holds most stones up
    load       tester id → most trials in this plan
    holders    stone id → testers who can try it now; others can go to anyone
    blades     tester id → steels that tester has; others have every steel of the club's blades
    stone_ids  these stones alone, also those that need a hand first
    settled    (tester, stone, steel) that the dealer has chosen: they come first, against every limit
    """

    n: int
    scale: str | None = None
    load: dict[str, int] = field(default_factory=dict)
    holders: dict[str, list[str]] = field(default_factory=dict)
    blades: dict[str, list[str]] = field(default_factory=dict)
    stone_ids: list[str] | None = None
    settled: Sequence[Who] = ()


@dataclass(frozen=True)
class _Here:
    """What the club has, read in one look."""

    rules: PublishRules
    scale_names: dict[str, str]
    testers: list[str]
    stones: set[str]
    usable: list[str]
    underway: list[tuple[str, str, str | None]]
    in_hands: dict[str, str]
    needs_a_hand: dict[str, str]


def _needs_a_hand(session: Session, club_id: str) -> dict[str, str]:
    """Stone → why it is not to be tried now."""
    inspections = session.execute(
        select(Inspection).where(Inspection.club_id == club_id, Inspection.withdrawn_at.is_(None))
    ).scalars()
    repairs = session.execute(select(Repair).where(Repair.club_id == club_id)).scalars()
    found: dict[str, str] = {}
    for item in open_work([row.body() for row in inspections], [row.body() for row in repairs]):
        if item.urgency in BLOCKS_PUBLICATION:
            found.setdefault(item.stone_id, f"{item.verdict.capitalize()} ({item.face}): {item.because}")
    offers = session.execute(
        select(Offer).where(Offer.club_id == club_id, Offer.withdrawn_at.is_(None))
    ).scalars()
    for offer in offers:
        if offer.state == "sold":
            found[offer.stone_id] = "It is sold."
        elif offer.state == "kept_back":
            found[offer.stone_id] = f"You keep it back: {offer.notes}"
    return found


def _look(session: Session, club_id: str, purpose: str) -> _Here:
    club = session.get_one(Club, (club_id, club_id))
    members = session.execute(
        select(Member).where(Member.club_id == club_id, Member.withdrawn_at.is_(None))
    ).scalars()
    blades = session.execute(
        select(Blade.steel).where(Blade.club_id == club_id, Blade.withdrawn_at.is_(None))
    ).scalars()
    stones = session.execute(
        select(Stone.id).where(Stone.club_id == club_id, Stone.withdrawn_at.is_(None))
    ).scalars()
    protocols = session.execute(
        select(Protocol).where(
            Protocol.club_id == club_id, Protocol.purpose == purpose, Protocol.withdrawn_at.is_(None)
        )
    ).scalars()
    scales = scales_of(protocols)
    reference = {steel for _, steels in scales.values() for steel in steels}
    here = set(blades)
    rules = PublishRules(**club.publish_rules)
    return _Here(
        rules=rules,
        scale_names={scale_id: scale["name"] for scale_id, (scale, _) in scales.items()},
        testers=[member.id for member in members if member.active and TESTER in member.roles],
        stones=set(stones),
        usable=_usable(here, reference, rules.min_steels),
        underway=[
            (one.tester_id, one.stone_id, one.steel) for one in open_assignments(session, club_id, purpose)
        ],
        in_hands=holders_now(session, club_id),
        needs_a_hand=_needs_a_hand(session, club_id),
    )


def _usable(here: set[str], reference: set[str], min_steels: int) -> list[str]:
    """Steels to plan with: the reference steels that the club has a blade of, since the printed grade is theirs.

    Where they are fewer than a slip needs, every steel of the club's blades.
    """
    usable = here & reference
    return sorted(usable if len(usable) >= max(min_steels, 1) else here)


def _least(results: dict[str, PoolResult]) -> tuple[dict[str, set[str]], dict[str, set[str]]]:
    """Stone → testers and steels on the scale where it has the fewest: that scale holds its slip up."""
    testers: dict[str, set[str]] = {}
    steels: dict[str, set[str]] = {}
    for result in results.values():
        d = result.arrays.problem.design
        by: dict[str, set[str]] = {name: set() for name in result.stone_names}
        with_: dict[str, set[str]] = {name: set() for name in result.stone_names}
        stone_of = d.stone_of[d.stone].tolist()
        for i, r, k in zip(stone_of, d.tester.tolist(), d.steel.tolist(), strict=True):
            by[result.stone_names[i]].add(result.tester_names[r])
            with_[result.stone_names[i]].add(result.steel_names[k])
        for least, found in ((testers, by), (steels, with_)):
            for name, some in found.items():
                if name not in least or len(some) < len(least[name]):
                    least[name] = some
    return testers, steels


def _check_settled(wish: Wish, here: _Here, results: dict[str, PoolResult]) -> None:
    """Raises Invalid for a trial that nobody could do or weigh."""
    steels = set.intersection(*(set(result.steel_names) for result in results.values()))
    wrong = []
    for n, (tester, stone, steel) in enumerate(wish.settled):
        if tester not in here.testers:
            wrong.append(FieldError(f"settled.{n}.tester_id", "Choose an active tester of your club."))
        if stone not in here.stones:
            wrong.append(FieldError(f"settled.{n}.stone_id", "Choose a stone of your club."))
        if steel not in steels:
            wrong.append(
                FieldError(
                    f"settled.{n}.steel",
                    "The panel has no measure for this steel: no trial, no reference steel.",
                )
            )
    if wrong:
        raise Invalid("A trial that you chose cannot be weighed.", wrong)


def _wanting(result: PoolResult, aim: Aim) -> set[str]:
    """Stones that something stands in the way of."""
    testers, steels = missing_counts(result, aim)
    at = np.flatnonzero(wide_stones(result, aim.half_width) | (testers > 0) | (steels > 0))
    return {result.stone_names[i] for i in at.tolist()}


def plan(database: Database, desk: PoolDesk, caller: Caller, purpose: str, wish: Wish) -> dict[str, Any]:
    """Up to ``n`` trials, best first, each with what it is expected to bring; nothing is stored.

    What is asked of testers already counts as done. Trials that link groups of stones come first, since no grade of
    one group means what another group's does. A stone that needs a hand first, is kept back or sold is left out,
    unless the dealer names it.
    """
    caller.require(DEALER, STEWARD)
    with database.read() as session:
        here = _look(session, caller.club_id, purpose)
    target = here.rules.max_half_width
    answer: dict[str, Any] = {
        "purpose": purpose, "scale": None, "target_half_width": target, "groups": 0,
        "underway": len(here.underway), "trials": [], "left_out": [],
    }  # fmt: skip
    results = desk.results(caller.club_id, purpose, stones=sorted(here.stones))
    if not results or not here.testers:
        return answer
    if wish.scale is not None and wish.scale not in results:
        raise Invalid(
            "This purpose has no such scale.",
            [FieldError("scale", "Choose one of " + ", ".join(sorted(results)))],
        )
    _check_settled(wish, here, results)
    tried_by, tried_with = _least(results)
    aim = Aim(target, here.rules.min_testers, here.rules.min_steels, tried_by, tried_with)
    # First the scale on which most stones are too wide: it is what holds them up.
    by_need = sorted(results, key=lambda scale: (-int(wide_stones(results[scale], target).sum()), scale))
    scales = [wish.scale] if wish.scale is not None else by_need
    wanted = {stone for stone in (wish.stone_ids or here.stones) if stone in results[scales[0]].stone_names}
    wanting = set().union(*(_wanting(results[scale], aim) for scale in scales))
    out: dict[str, str] = {} if wish.stone_ids is not None else here.needs_a_hand
    planned = _planned(results, scales, here, aim, wish, wanted - set(out))
    return {
        **answer,
        "scale": scales[0],
        "groups": max(result.arrays.n_groups for result in results.values()),
        "trials": [_told(one, scale, here) for scale, one in planned],
        "left_out": [
            {"stone_id": stone, "because": because}
            for stone, because in sorted(out.items())
            if stone in wanted & wanting
        ],
    }


def _planned(
    results: dict[str, PoolResult],
    scales: list[str],
    here: _Here,
    aim: Aim,
    wish: Wish,
    stones: set[str],
) -> list[tuple[str, PlannedTrial]]:
    """Scale after scale, each with what the ones before it have planned counted as done."""
    blades = {tester: wish.blades.get(tester, here.usable) for tester in here.testers}
    # A tester who has left is known to the panel and must not be planned for.
    known = {tester.tester for result in results.values() for tester in result.testers} | set(here.testers)
    left = {tester: (wish.load.get(tester, wish.n) if tester in here.testers else 0) for tester in known}
    # What is asked already and chosen besides is one trial, not two.
    chosen = {(tester, stone, steel) for tester, stone, steel in wish.settled}
    chosen_of_any = {(tester, stone) for tester, stone, _ in wish.settled}
    underway = [
        (tester, stone, steel)
        for tester, stone, steel in here.underway
        if (tester, stone, steel) not in chosen
        and (steel is not None or (tester, stone) not in chosen_of_any)
    ]
    can_go = {tester: steels for tester, steels in blades.items() if left[tester] > 0}
    most_split = max(scales, key=lambda scale: results[scale].arrays.n_groups)
    links = linking_trials(
        results[most_split], stones=stones, blades_by_tester=can_go, holders=wish.holders,
        underway=[*underway, *wish.settled],
    )  # fmt: skip
    link = which_of_them_link(results[most_split], wish.settled, underway)
    links = (*(one for one, does in zip(wish.settled, link, strict=True) if does), *links)
    settled = wish.settled
    planned: list[tuple[str, PlannedTrial]] = []
    for scale in scales:
        more = plan_trials(
            results[scale],
            n=wish.n - len(planned),
            target_half_width=aim.half_width,
            min_testers=aim.min_testers,
            min_steels=aim.min_steels,
            tried_by=aim.tried_by,
            tried_with=aim.tried_with,
            stones=stones,
            holders=wish.holders,
            in_hands=here.in_hands,
            blades_by_tester=blades,
            load=left,
            underway=underway,
            settled=settled,
            links=links,
        )
        planned += [(scale, one) for one in more]
        if len(planned) >= wish.n:
            break
        settled, links = (), ()
        underway += [(one.tester, one.stone, one.steel) for one in more]
        for one in more:
            left[one.tester] -= 1
    return planned


def _told(one: PlannedTrial, scale: str, here: _Here) -> dict[str, Any]:
    return {
        "tester_id": one.tester,
        "stone_id": one.stone,
        "steel": one.steel,
        "scale": scale,
        "expected_gain": one.expected_gain,
        "half_width_before": one.half_width_before,
        "half_width_after": one.half_width_after,
        "links": one.links,
        "settled": one.settled,
        "in_hands": one.in_hands,
        "why": list(
            reasons(
                one,
                scale_name=here.scale_names.get(scale, scale),
                target_half_width=here.rules.max_half_width,
                min_testers=here.rules.min_testers,
                min_steels=here.rules.min_steels,
            )
        ),
    }

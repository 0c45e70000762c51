"""Where one stone stands for one purpose, worked out from its records and never typed in.

A stone is in one state at a time: the first of these that holds.

1. ``set_aside``: the dealer keeps it back, or a verdict rejects it, or a rejected stone was put aside. First,
   because nothing below is worth anybody's time while the stone is not to be used.
2. ``to_repair``: a last inspection asks for work that holds up publication. Lesser work (urgency "soon") is told
   in words but moves no stone: sealing the sides can wait for the trials, and a board that sent every stone to the
   bench would send none. It goes before inspecting, as the repair asks for a fresh look anyway.
3. ``to_inspect``: a fresh look is asked for, by a repair or by a rule, or a tried face was never inspected, or no
   face was. Before ``published``: a slip must not hide that nobody knows how the stone is now.
4. ``published``: a slip stands, its grades have not moved since, and the face it speaks of is still there.
5. ``ready``: nothing stands in the way of a slip. A slip whose grades later trials have moved counts here when the
   club's rule for publishing is met; its block says to issue it anew.
6. ``in_trial``: everything else; that nobody has tried it yet, or that a face has worn past the club's depth since,
   is said in words.

Common practice, no source.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from .depth import FACES, FaceGone
from .readiness import Readiness, confirm_words
from .soundness.work import BLOCKS_PUBLICATION, INSPECT_AGAIN, SET_ASIDE, WorkItem

TO_INSPECT, TO_REPAIR, IN_TRIAL = "to_inspect", "to_repair", "in_trial"
READY, PUBLISHED, ASIDE = "ready", "published", "set_aside"

STATES = (TO_INSPECT, TO_REPAIR, IN_TRIAL, READY, PUBLISHED, ASIDE)
"""In the order in which a stone goes through them."""


@dataclass(frozen=True)
class MovedGrade:
    """A published grade and what it is now, on one scale."""

    scale: str
    name: str
    published: float
    now: float


@dataclass(frozen=True)
class StandingSlip:
    """The latest slip of a stone and purpose that is not withdrawn; ``moved``: its grades that have moved since."""

    moved: tuple[MovedGrade, ...] = ()


@dataclass(frozen=True)
class StoneFacts:
    """What the records say of one stone, for one purpose.

    readiness   of its grades alone: what the open work and the wear say stands below
    work        its open work, and ``put_aside`` the verdicts "set aside" that were carried out
    inspected, marked, tried
                faces with an inspection; with a stamp or natural skin, which is not worked on; with a trial that counts
    to_confirm  faces that have worn past the club's depth since their last trial
    kept_back   the dealer's reason for keeping it back, None while it is not
    """

    readiness: Readiness
    work: Sequence[WorkItem] = ()
    put_aside: Sequence[WorkItem] = ()
    inspected: frozenset[str] = frozenset()
    marked: frozenset[str] = frozenset()
    tried: frozenset[str] = frozenset()
    to_confirm: Sequence[FaceGone] = ()
    slip: StandingSlip | None = None
    kept_back: str | None = None


@dataclass(frozen=True)
class Standing:
    """The state, what stands between the stone and a valid slip, and what else there is to know, in sentences."""

    state: str
    blocks: tuple[str, ...]
    remarks: tuple[str, ...]


def moved_grades(
    slip_grades: Sequence[Mapping[str, Any]], now: Mapping[str, float]
) -> tuple[MovedGrade, ...]:
    """The published grades that have moved by a step (half a grade on a scale by halves) or more.

    slip_grades   as a slip holds them: scale, name, grade, step.   now   scale → the pooled grade
    """
    return tuple(
        MovedGrade(grade["scale"], grade["name"], grade["grade"], now[grade["scale"]])
        for grade in slip_grades
        if grade["scale"] in now and abs(now[grade["scale"]] - grade["grade"]) >= grade["step"] - 1e-9
    )


def standing(facts: StoneFacts) -> Standing:
    """The one state that a stone is in, and why."""
    aside, repairs, looks, lesser = _sorted_work(facts)
    looks = [*looks, *_faces_to_inspect(facts)]
    moved = _moved(facts.slip)
    confirm = [confirm_words(gone) for gone in facts.to_confirm]
    trials = list(facts.readiness.blocks)
    stands = facts.slip is not None and not moved and not confirm
    if aside:
        state = ASIDE
    elif repairs:
        state = TO_REPAIR
    elif looks:
        state = TO_INSPECT
    elif stands:
        state = PUBLISHED
    elif not confirm and not trials:
        state = READY
    else:
        state = IN_TRIAL
    # A slip stands by what was known when it was issued; what its grades lack today is worth knowing, no more.
    wanting = [] if stands else [*moved, *confirm, *trials]
    remarks = [*lesser, *(trials if stands else [])]
    return Standing(state, (*aside, *repairs, *looks, *wanting), tuple(remarks))


def _sorted_work(facts: StoneFacts) -> tuple[list[str], list[str], list[str], list[str]]:
    """What sets the stone aside, what is to be repaired, looked at again, and what may wait, in sentences."""
    aside: list[str] = []
    repairs: list[str] = []
    looks: list[str] = []
    lesser: list[str] = []
    if facts.kept_back is not None:
        aside.append(f"Kept back: {_closed(facts.kept_back)} Take it back into sale once that is settled.")
    for item in facts.put_aside:
        aside.append(
            f"Set aside ({item.face}): {_closed(item.because)} It lies aside; inspect the face anew to bring it back."
        )
    for item in facts.work:
        said = f"{item.verdict.capitalize()} ({item.face}): {_closed(item.because)}"
        if item.verdict == INSPECT_AGAIN:
            looks.append(said)
        elif item.verdict == SET_ASIDE or item.urgency == "reject":
            aside.append(f"{said} Settle it on the work list.")
        elif item.urgency in BLOCKS_PUBLICATION:
            repairs.append(f"{said} Settle it on the work list.")
        else:
            lesser.append(f"{said} Publishing need not wait for it.")
    # Who looks again at a stone that lies aside is told above already.
    return aside, repairs, [] if facts.put_aside else looks, lesser


def _faces_to_inspect(facts: StoneFacts) -> list[str]:
    unseen = [face for face in FACES if face in facts.tried - facts.inspected]
    if unseen:
        return [f"The {face} was tried but never inspected: inspect it." for face in unseen]
    free = [face for face in FACES if face not in facts.marked] or list(FACES)
    if facts.tried or facts.inspected.intersection(free):
        return []
    return [f"Nobody has inspected the {free[0]} yet: inspect it before it is tried."]


def _moved(slip: StandingSlip | None) -> list[str]:
    return [
        f"Later trials moved {one.name.lower()} from {one.published:.1f} to {one.now:.1f}: issue the slip anew."
        for one in (slip.moved if slip is not None else ())
    ]


def _closed(sentence: str) -> str:
    """A sentence with its full stop, whoever wrote it."""
    plain = sentence.strip()
    return plain if plain.endswith((".", "!", "?")) else f"{plain}."

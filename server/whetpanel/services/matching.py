"""Matching stones to a buyer's blades: what the club knows, handed to core.matching, and its answer as JSON values."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from ..core import matching, pooling
from ..core.matching import BuyerBlade, GrainEvidence, Matched, StoneFacts, StoneLaws, Wish
from ..core.matching.needs import blade_hardness, finer_has_no_size
from ..core.pooling.explain import clipped_mean
from ..core.pooling.result import Z90
from ..core.soundness import open_work
from ..core.soundness.grit import SYSTEMS, grain
from ..core.soundness.work import BLOCKS_PUBLICATION, put_aside
from ..core.steels import BY_KEY, CLASSES, STEELS, ClubSteel, SteelMap, class_hardness, map_steel
from ..errors import FieldError, Invalid
from ..storage.base import Database
from ..storage.record import wire, wire_time
from ..storage.schema import Blade, Club, Inspection, Offer, Protocol, Repair, Slip, Stone, Trial
from .caller import DEALER, STEWARD, Caller
from .pool_desk import PoolDesk, Pooled

METHOD_VERSION = "whetpanel-match-1"
"""Changes whenever the same records may give another probability."""

RULED_OUT = 0.005
"""Stones less likely than this to serve are counted, not listed."""

LEFT_OUT: dict[str, str] = {
    "sold": "Sold.",
    "kept_back": "Kept back.",
    "set_aside": "Set aside.",
    "work": "Open work before anybody may use it.",
    "untried": "Nobody graded it on every scale for this purpose.",
    "budget": "Over the budget.",
    "size": "Not of the size wanted.",
    "ruled_out": "All but ruled out by its grades.",
}
"""Why a stone is not in the list, in the order in which reasons are looked for."""


def steel_list(database: Database, caller: Caller) -> dict[str, Any]:
    """The club's own steels, then common ones, and the words a wish is made of."""
    with database.read() as session:
        club = _club_steels(session, caller.club_id)
    return {
        "classes": [
            {"steel_class": key, "name": name, **_hrc(class_hardness(key))} for key, name in CLASSES.items()
        ],
        "club": [
            {"steel": one.key, "name": one.name, "steel_class": one.steel_class} for one in club
        ],
        "common": [
            {
                "steel": one.key,
                "name": one.name,
                "steel_class": one.steel_class,
                **_hrc((one.hrc_low, one.hrc_high)),
            }
            for one in STEELS
        ],
        "bevels": [{"bevel": key, "words": words} for key, words in matching.BEVELS.items()],
        "finishes": [
            {
                "finish": one.key, "purpose": one.purpose, "words": one.words, "means": one.means,
                "low": one.band.low, "high": one.band.high, "because": one.band.reason,
                "grit_low": one.grits[0], "grit_high": one.grits[1],
            }
            for one in matching.FINISHES
        ],
        "skills": [
            {"skill": one.key, "words": one.words, "least_ease": one.band.low, "because": one.band.reason}
            for one in matching.SKILLS
        ],
        "step": matching.STEP_REASON,
    }  # fmt: skip


def _hrc(ends: tuple[float, float]) -> dict[str, float]:
    return {"hrc_low": ends[0], "hrc_high": ends[1]}


def _club_steels(session: Session, club_id: str) -> list[ClubSteel]:
    rows = session.execute(
        select(Blade.steel, Blade.steel_name, Blade.steel_class)
        .where(Blade.club_id == club_id, Blade.withdrawn_at.is_(None))
        .order_by(Blade.steel, Blade.id)
    )
    return list({row.steel: ClubSteel(row.steel, row.steel_name, row.steel_class) for row in rows}.values())


@dataclass(frozen=True)
class _Stock:
    """Every stone of the club with what was noted of it beside grades."""

    rules: dict[str, Any]
    stones: dict[str, Any]
    offers: dict[str, Any]
    slips: dict[str, Any]
    left_out: dict[str, str]
    """Stone id → key of LEFT_OUT, for what no wish can change."""
    bands: dict[str, list[dict[str, Any]]]
    """Stone id → the grit bands noted in its trials."""


def _stock(session: Session, club_id: str, purpose: str) -> _Stock:
    def rows_of(model: Any, *columns: Any) -> Select[Any]:
        return select(*columns).where(model.club_id == club_id, model.withdrawn_at.is_(None))

    stones = session.execute(
        rows_of(
            Stone, Stone.id, Stone.code, Stone.kind, Stone.form, Stone.length_mm, Stone.width_mm,
            Stone.thickness_mm, Stone.mass_g, Stone.colour,
        ).order_by(Stone.code, Stone.id)
    ).all()  # fmt: skip
    offers = {
        row.stone_id: row
        for row in session.execute(rows_of(Offer, Offer.stone_id, Offer.state, Offer.price, Offer.currency))
    }
    looked = session.execute(
        rows_of(
            Inspection, Inspection.id, Inspection.stone_id, Inspection.face, Inspection.inspected_at,
            Inspection.verdicts,
        )
    )  # fmt: skip
    inspections = [{**row._mapping, "withdrawn": None} for row in looked]
    done = session.execute(
        rows_of(
            Repair, Repair.id, Repair.inspection_id, Repair.finding_id, Repair.rule_id, Repair.outcome,
            Repair.done_at,
        )
    )  # fmt: skip
    repairs = [{**row._mapping, "withdrawn": None} for row in done]
    left_out: dict[str, str] = {}
    for stone_id, offer in offers.items():
        if offer.state in ("sold", "kept_back"):
            left_out[stone_id] = offer.state
    for item in put_aside(inspections, repairs):
        left_out.setdefault(item.stone_id, "set_aside")
    for item in open_work(inspections, repairs):
        if item.urgency in BLOCKS_PUBLICATION:
            left_out.setdefault(item.stone_id, "work")
    slips = session.execute(
        rows_of(Slip, Slip.stone_id, Slip.code, Slip.issued_on)
        .where(Slip.purpose == purpose)
        .order_by(Slip.id)
    )
    noted = session.execute(
        rows_of(Trial, Trial.stone_id, Trial.observations["finish_band"])
        .join(Protocol, (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id))
        .where(Protocol.purpose == purpose, Trial.excluded_at.is_(None))
        .order_by(Trial.id)
    )
    bands: dict[str, list[dict[str, Any]]] = {}
    for stone_id, band in noted:
        if isinstance(band, dict):
            bands.setdefault(stone_id, []).append(band)
    return _Stock(
        rules=session.get_one(Club, (club_id, club_id)).publish_rules,
        stones={row.id: row for row in stones},
        offers=offers,
        slips={row.stone_id: row for row in slips},
        left_out=left_out,
        bands=bands,
    )


def _size(system: str, number: float) -> float | None:
    """A grit number's size in µm; None past the fine end of its standard, where a number is its maker's claim."""
    try:
        return grain(system, round(number)).um
    except Invalid:
        return None


def _grains(stones: Sequence[str], bands: Mapping[str, list[dict[str, Any]]]) -> list[GrainEvidence]:
    mids: list[list[float]] = []
    beyond = []
    sizes: dict[tuple[str, float], float | None] = {}
    for stone_id in stones:
        noted, past = [], 0
        for band in bands.get(stone_id, ()):
            ends = []
            for end in (band["low"], band["high"]):
                key = (band["system"], end)
                if key not in sizes:
                    sizes[key] = _size(*key)
                ends.append(sizes[key])
            known = [np.log2(one) for one in ends if one is not None]
            if len(known) == 2:
                noted.append(float(np.mean(known)))
            else:
                past += 1
        mids.append(noted)
        beyond.append(past)
    return matching.grain_evidence(mids, beyond)


def _laws(scale: Mapping[str, Any], posterior: Mapping[str, Any], stones: Sequence[str]) -> StoneLaws:
    n = len(posterior["steels"]) + 1
    rows, columns = np.tril_indices(n)
    kept = [posterior["stones"][stone_id] for stone_id in stones]
    cov = np.zeros((len(stones), n, n))
    if kept:
        cov[:, rows, columns] = np.array([one[1] for one in kept])
        cov[:, columns, rows] = cov[:, rows, columns]
    return StoneLaws(
        scale["scale"], scale["name"], scale["low"], scale["high"], scale["step"],
        tuple(posterior["steels"]), tuple(stones),
        np.array([one[0] for one in kept]).reshape(len(stones), n), cov, posterior["new_steel_var"],
    )  # fmt: skip


def wish_of(fields: Mapping[str, Any]) -> Wish:
    """A wish as core knows it. Raises Invalid, naming the field, for what cannot be asked of this purpose."""
    faults = []
    finish = matching.FINISH[fields["finish"]]
    if finish.purpose != fields["purpose"]:
        fitting = [one.key for one in matching.FINISHES if one.purpose == fields["purpose"]]
        faults.append(FieldError("finish", "For this purpose choose one of " + ", ".join(fitting) + "."))
    owned_um = None
    owned = fields.get("owned")
    if owned is not None:
        try:
            um = grain(owned["system"], owned["number"]).um
            owned_um = None if finer_has_no_size(um) else um
        except Invalid as refusal:
            faults.append(FieldError("owned.number", str(refusal.detail)))
    if faults:
        raise Invalid("This wish cannot be matched as it is.", faults)
    budget, size = fields.get("budget"), fields.get("size") or {}
    return Wish(
        purpose=fields["purpose"],
        blades=tuple(
            BuyerBlade(one["name"], one["steel"], one["steel_class"], one["hrc"], one["bevel"])
            for one in fields["blades"]
        ),
        finish=fields["finish"],
        skill=fields["skill"],
        owned_um=owned_um,
        budget=None if budget is None else budget["amount"],
        currency="" if budget is None else budget["currency"],
        min_length_mm=size.get("min_length_mm"),
        min_width_mm=size.get("min_width_mm"),
        max_mass_g=size.get("max_mass_g"),
        waived=frozenset(fields["waived"]),
    )


def match_stones(
    database: Database,
    desk: PoolDesk,
    caller: Caller,
    fields: Mapping[str, Any],
    *,
    limit: int = 20,
    chosen: Sequence[str] = (),
) -> dict[str, Any]:
    """The stones in stock in the order of the probability that they meet a buyer's wish. Nothing is stored.

    ``chosen``: list these stones, however they rank, instead of the best ones.
    """
    caller.require(DEALER, STEWARD)
    wish = wish_of(fields)
    pooled = desk.pooled(caller.club_id, wish.purpose, wait=bool(chosen))
    posteriors = desk.posteriors(caller.club_id, wish.purpose)
    with database.read() as session:
        stock = _stock(session, caller.club_id, wish.purpose)
        steels = _club_steels(session, caller.club_id)
    scales = {
        scale["scale"]: scale
        for scale in pooled.scales
        if scale["scale"] in ("fineness", "ease", "hardness") and posteriors.get(scale["scale"])
    }
    left_out = {stone_id: why for stone_id, why in stock.left_out.items() if stone_id in stock.stones}
    graded = _graded(scales, posteriors)
    for stone_id in stock.stones:
        if not graded.get(stone_id):
            left_out.setdefault(stone_id, "untried")
    stones = [stone_id for stone_id in stock.stones if stone_id not in left_out]
    laws = {name: _laws(scale, posteriors[name], stones) for name, scale in scales.items()}
    names = {one.key: one for one in steels}
    tried = sorted({steel for grades in graded.values() for steel in _tried(grades)})
    maps = [
        map_steel(
            blade.steel,
            blade.steel_class,
            [names.get(key, ClubSteel(key, key, "")) for key in tried],
            known=steels,
        )
        for blade in wish.blades
    ]
    facts = _facts(stones, stock)
    matched = matching.match(
        wish, maps, laws, facts, limit=len(stones) if chosen else limit
    ) if stones else None  # fmt: skip
    blades = [_blade_name(blade, names) for blade in wish.blades]
    ranked: list[dict[str, Any]] = []
    if matched is not None:
        best = zip(matched.order.tolist(), matched.probability.tolist(), strict=True)
        for stone, p in best:
            if (facts[stone].stone_id in chosen) if chosen else p >= RULED_OUT:
                ranked.append(_row(stone, p, wish, matched, facts, stock, graded, scales, maps, blades))
        _sort_out(matched, facts, left_out)
    return {
        **_head(pooled, wish, fields),
        "needs": _needs(wish, maps, blades, names, matched),
        "missing_scales": [name for name in ("fineness", "ease", "hardness") if name not in scales],
        "n_stones": len(stock.stones),
        "n_considered": len(stones),
        "left_out": [
            {
                "reason": reason,
                "words": words,
                "stone_ids": [stone_id for stone_id, why in left_out.items() if why == reason],
            }
            for reason, words in LEFT_OUT.items()
            if reason in left_out.values()
        ],
        **_verdict(matched, ranked),
        "relax": _relax(wish, matched, facts, stock, blades),
        "ranked": ranked,
    }


def _head(pooled: Pooled, wish: Wish, fields: Mapping[str, Any]) -> dict[str, Any]:
    finish, skill = matching.FINISH[wish.finish], matching.SKILL[wish.skill]
    owned = fields.get("owned")
    return {
        "purpose": wish.purpose,
        "method_version": METHOD_VERSION,
        "pool_method_version": pooling.METHOD_VERSION,
        "revision": pooled.revision,
        "computed_at": wire_time(pooled.computed_at),
        "behind": pooled.behind,
        "finish_words": finish.words,
        "finish_means": finish.means,
        "skill_words": skill.words,
        "owned_words": None if owned is None else _owned_words(owned["system"], owned["number"]),
    }


def _owned_words(system: str, number: int) -> str:
    um = grain(system, number).um
    words = f"{SYSTEMS[system].name(number)} ({SYSTEMS[system].standard}), {um:.1f} µm"
    return (
        f"{words}; finer has no size in any standard, so the fineness alone decides"
        if finer_has_no_size(um)
        else words
    )


def _graded(
    scales: Mapping[str, Mapping[str, Any]], posteriors: Mapping[str, Mapping[str, Any]]
) -> dict[str, dict[str, dict[str, Any]]]:
    """Stone → scale → its pooled grade, for stones tried on every scale."""
    found: dict[str, dict[str, dict[str, Any]]] = {}
    for name, scale in scales.items():
        for stone in scale["stones"]:
            if stone["n_trials"] and stone["stone_id"] in posteriors[name]["stones"]:
                found.setdefault(stone["stone_id"], {})[name] = stone
    return {stone_id: grades for stone_id, grades in found.items() if len(grades) == len(scales)}


def _tried(grades: Mapping[str, Mapping[str, Any]]) -> Iterable[str]:
    for grade in grades.values():
        for cell in grade["by_steel"]:
            if cell["n_trials"]:
                yield cell["steel"]


def _facts(stones: Sequence[str], stock: _Stock) -> list[StoneFacts]:
    grains = _grains(stones, stock.bands)
    facts = []
    for stone_id, evidence in zip(stones, grains, strict=True):
        row, offer = stock.stones[stone_id], stock.offers.get(stone_id)
        facts.append(
            StoneFacts(
                stone_id, row.length_mm, row.width_mm, row.mass_g,
                None if offer is None else offer.price, "" if offer is None else offer.currency, evidence,
            )
        )  # fmt: skip
    return facts


def _sort_out(matched: Matched, facts: Sequence[StoneFacts], left_out: dict[str, str]) -> None:
    """Count the stones that a wish rules out, by what of it does. Likely ones past the list's end stay uncounted."""
    worked_out = dict(zip(matched.order.tolist(), matched.probability.tolist(), strict=True))
    bound = matched.by_blade.min(1)
    for stone, one in enumerate(facts):
        if worked_out.get(stone, float(bound[stone])) >= RULED_OUT:
            continue
        if not matched.affordable[stone] and bound[stone] == 0.0:
            left_out[one.stone_id] = "budget"
        elif not matched.fitting[stone] and bound[stone] == 0.0:
            left_out[one.stone_id] = "size"
        else:
            left_out[one.stone_id] = "ruled_out"


def _blade_name(blade: BuyerBlade, names: Mapping[str, ClubSteel]) -> str:
    steel = _steel_words(blade, names)
    return f"{blade.name} ({steel})" if blade.name else steel


def _steel_words(blade: BuyerBlade, names: Mapping[str, ClubSteel]) -> str:
    listed = BY_KEY.get(blade.steel or "")
    if listed is not None:
        return listed.designations[0]
    if blade.steel is not None and blade.steel in names:
        return names[blade.steel].name
    if blade.steel_class in CLASSES:
        return f"{CLASSES[blade.steel_class].lower()}, type not known"
    return "steel not known"


def _needs(
    wish: Wish,
    maps: Sequence[SteelMap],
    blades: Sequence[str],
    names: Mapping[str, ClubSteel],
    matched: Matched | None,
) -> list[dict[str, Any]]:
    """For each blade, what is asked of a stone, and whose trials speak for the steel."""
    out = []
    for j, (blade, one) in enumerate(zip(wish.blades, maps, strict=True)):
        leaning = [names[key].name if key in names else key for key in one.steels]
        hrc = blade_hardness(blade, one.steel_class)
        out.append(
            {
                "blade": blades[j],
                "mapped": one.how,
                "steels": list(one.steels),
                "steel_words": _map_words(one, leaning, _steel_words(blade, names)),
                "hrc_words": None
                if hrc is None
                else f"{hrc[0]:g} HRC, {hrc[2]}"
                if hrc[0] == hrc[1]
                else f"{hrc[0]:g} to {hrc[1]:g} HRC, {hrc[2]}",
                "bands": [
                    {
                        "wish": need.wish,
                        "scale": need.scale,
                        "low": None if np.isinf(need.low) else need.low,
                        "high": None if np.isinf(need.high) else need.high,
                        "words": matching.band_words(need.low, need.high),
                        "reasons": list(need.reasons),
                    }
                    for need in (matched.needs if matched is not None else ())
                    if need.blade == j
                ],
            }
        )
    return out


def _map_words(one: SteelMap, leaning: Sequence[str], steel: str) -> str:
    if one.how == "same":
        return f"The club tries its stones with this steel ({leaning[0]})."
    if one.how == "class":
        blades = " and ".join(leaning)
        return f"The club has not tried {steel}. Its blades of the same class ({blades}) speak for it, less surely."
    return (
        f"The club has no blade like this one ({steel}). All its blades speak for it, and least is certain."
    )


def _verdict(matched: Matched | None, ranked: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    best = float(matched.probability[0]) if matched is not None and matched.probability.size else 0.0
    fits = best >= matching.EVEN
    likely = sum(row["probability"] >= matching.LIKELY for row in ranked)
    even = sum(row["probability"] >= matching.EVEN for row in ranked)
    if matched is None:
        words = "There is no stone to match: none that could be sold has been tried for this purpose."
    elif likely:
        words = "One stone is likely to serve." if likely == 1 else f"{likely} stones are likely to serve."
    elif fits:
        words = (
            "One stone is likelier than not to serve, but none is sure."
            if even == 1
            else f"{even} stones are likelier than not to serve, but none is sure."
        )
    else:
        words = "No stone here is likelier than not to serve."
    serving = [row for row in ranked if row["probability"] >= matching.EVEN]
    if serving and all(row["evidence"]["thin"] for row in serving):
        words += " What is known of " + ("it" if len(serving) == 1 else "them") + " is thin."
    return {"best": best, "fits": fits, "verdict": words}


_RELAX = {
    "finish": "Another finish",
    "skill": "A stone that asks more of the hand",
    "hardness": "A stone harder or softer than such blades like",
    "step": "Another step from the stone owned",
    "budget": "A higher budget",
    "size": "Another size or weight",
}


def _relax(
    wish: Wish,
    matched: Matched | None,
    facts: Sequence[StoneFacts],
    stock: _Stock,
    blades: Sequence[str],
) -> list[dict[str, Any]]:
    """What each single wish less would bring at best, the most helpful first."""
    out = []
    for one in matched.relaxed if matched is not None else ():
        stone_id = facts[one.stone].stone_id
        name, _, which = one.wish.partition(":")
        what = f"A stone of its own for {blades[int(which)]}" if which else _RELAX[name]
        code = stock.stones[stone_id].code
        out.append(
            {
                "wish": one.wish,
                "words": f"{what}: {code} would then serve, {matching.odds(one.probability)}.",
                "probability": one.probability,
                "stone_id": stone_id,
            }
        )
    return out


def _row(
    stone: int,
    p: float,
    wish: Wish,
    matched: Matched,
    facts: Sequence[StoneFacts],
    stock: _Stock,
    graded: Mapping[str, dict[str, dict[str, Any]]],
    scales: Mapping[str, Mapping[str, Any]],
    maps: Sequence[SteelMap],
    blades: Sequence[str],
) -> dict[str, Any]:
    fact = facts[stone]
    row, offer, slip = (
        stock.stones[fact.stone_id], stock.offers.get(fact.stone_id), stock.slips.get(fact.stone_id)
    )  # fmt: skip
    grades = graded[fact.stone_id]
    cells = {
        name: {cell["steel"]: cell["n_trials"] for cell in grade["by_steel"]}
        for name, grade in grades.items()
    }
    evidence = matching.Evidence(
        n_trials=min(grade["n_trials"] for grade in grades.values()),
        n_testers=min(grade["n_testers"] for grade in grades.values()),
        half_width=max((grade["high90"] - grade["low90"]) / 2 for grade in grades.values()),
        min_testers=stock.rules["min_testers"],
        max_half_width=stock.rules["max_half_width"],
        published=slip is not None,
        tried_with=tuple(
            any(of.get(one.steels[0]) for of in cells.values()) if one.how == "same" else None for one in maps
        ),
        reserved=offer is not None and offer.state == "reserved",
        offered=offer is not None,
    )
    scale_names = {name: scale["name"] for name, scale in scales.items()}
    told = matching.reasons(
        wish, fact, matched, stone, scale_names, blades if len(blades) > 1 else [""], evidence
    )
    return {
        "stone_id": fact.stone_id,
        **{key: wire(getattr(row, key)) for key in (
            "code", "kind", "form", "length_mm", "width_mm", "thickness_mm", "mass_g", "colour",
        )},
        "price": fact.price,
        "currency": fact.currency or None,
        "offer_state": None if offer is None else offer.state,
        "probability": p,
        "odds": matching.odds(p),
        "by_blade": [
            {"blade": name, "probability": float(q), "odds": matching.odds(float(q))}
            for name, q in zip(blades, matched.by_blade[stone], strict=True)
        ],
        "grades": [
            _grade(stone, j, scales[name], matched, cells[name], maps[j])
            for j in range(len(blades))
            for name in ("fineness", "ease", "hardness")
            if name in scales
        ],
        "finish_bands": _bands(stock.bands.get(fact.stone_id, ())),
        "speaks_for": list(told.speaks_for),
        "against": list(told.against),
        "uncertain": list(told.uncertain),
        "evidence": {
            "n_trials": evidence.n_trials, "n_testers": evidence.n_testers, "thin": bool(evidence.thin),
        },
        "slip_code": None if slip is None else slip.code,
        "slip_issued_on": None if slip is None else slip.issued_on.isoformat(),
    }  # fmt: skip


def _grade(
    stone: int, j: int, scale: Mapping[str, Any], matched: Matched, cells: Mapping[str, int], one: SteelMap
) -> dict[str, Any]:
    """The stone's grade with one blade, held inside the scale's ends, and the band wanted there."""
    name, low, high, half = scale["scale"], scale["low"], scale["high"], scale["step"] / 2
    mean, sd = float(matched.mean[name][stone, j]), float(matched.sd[name][stone, j])
    need = next(
        (
            (need, float(p[stone]))
            for need, p in zip(matched.needs, matched.by_need, strict=True)
            if need.scale == name and need.blade == j
        ),
        None,
    )
    return {
        "blade": j, "scale": name, "name": scale["name"], "low": low, "high": high, "step": scale["step"],
        "grade": float(clipped_mean(np.array(mean), np.array(sd), low, high)),
        "low90": min(max(mean - Z90 * sd, low), high - half),
        "high90": max(min(mean + Z90 * sd, high), low + half),
        "want_low": None if need is None else max(need[0].low, low),
        "want_high": None if need is None else min(need[0].high, high),
        "probability": None if need is None else need[1],
        "n_trials": sum(cells.get(steel, 0) for steel in one.steels) if one.steels else sum(cells.values()),
    }  # fmt: skip


def _bands(bands: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The finish as trials noted it, by grading system: coarsest to finest number, and how often."""
    out = []
    for system in SYSTEMS:
        of_it = [band for band in bands if band["system"] == system]
        if of_it:
            low, high = round(min(band["low"] for band in of_it)), round(max(band["high"] for band in of_it))
            out.append({"system": system, "low": low, "high": high, "n": len(of_it)})
    return out

"""What a buyer wishes, the stones found for it, and shortlists."""

import marshmallow as ma

from ...core import matching, steels
from ...core.soundness.grit import SYSTEMS
from ..fields import (
    JsonBool,
    JsonNumber,
    Moment,
    listed,
    maybe_number,
    needed_words,
    notes,
    number,
    one_of,
    record_id,
    whole,
)
from ..fields import words as text
from .common import PURPOSES, Read, Write
from .offers import CURRENCY
from .slips import PublishedWithdrawn

MANY = 1_000_000
CLASSES = tuple(steels.CLASSES)
BEVELS = tuple(matching.BEVELS)
FINISHES = tuple(matching.FINISH)
SKILLS = tuple(matching.SKILL)
WISHES = matching.WISHES
GRIT_SYSTEMS = tuple(SYSTEMS)


class WishBlade(ma.Schema):
    """One blade of the buyer. ``steel`` is a key of GET /steels; null with a class, or with neither: not known."""

    name = text(80, load_default="")
    steel = text(40, load_default=None, allow_none=True)
    steel_class = ma.fields.String(
        validate=ma.validate.OneOf([*CLASSES, None]), load_default=None, allow_none=True
    )
    hrc = maybe_number(30, 75)
    bevel = one_of(*BEVELS, load_default="ordinary")


class WishOwned(ma.Schema):
    """The finest stone owned, by its grit number and the system that makes the number mean something."""

    system = one_of(*GRIT_SYSTEMS, required=True)
    number = whole(1, 100_000, required=True)


class WishBudget(ma.Schema):
    """The most that may be spent."""

    amount = number(0, 1e8, required=True)
    currency = ma.fields.String(required=True, validate=CURRENCY)


class WishSize(ma.Schema):
    """The least face, mm, and the most a stone in the hand may weigh, g."""

    min_length_mm = maybe_number(0, 2000)
    min_width_mm = maybe_number(0, 2000)
    max_mass_g = maybe_number(0, 50_000)


class WishFields(ma.Schema):
    """What a buyer wishes. ``waived``: wishes that shall not count this time."""

    purpose = one_of(*PURPOSES, required=True)
    blades = listed(ma.fields.Nested(WishBlade), 6, least=1, required=True)
    finish = one_of(*FINISHES, required=True)
    skill = one_of(*SKILLS, required=True)
    owned = ma.fields.Nested(WishOwned, load_default=None, allow_none=True)
    budget = ma.fields.Nested(WishBudget, load_default=None, allow_none=True)
    size = ma.fields.Nested(WishSize, load_default=None, allow_none=True)
    waived = listed(one_of(*WISHES), len(WISHES), load_default=list)


class MatchAsk(WishFields):
    """A wish, and how many stones to list at most."""

    limit = whole(1, 100, load_default=20)


class ClassRead(ma.Schema):
    """A composition class and the usual hardness of its blades."""

    steel_class = one_of(*CLASSES, required=True)
    name = text(60, required=True)
    hrc_low = JsonNumber(required=True)
    hrc_high = JsonNumber(required=True)


class ClubSteelRead(ma.Schema):
    """A steel of the club's reference blades."""

    steel = text(40, required=True)
    name = text(80, required=True)
    steel_class = one_of(*CLASSES, required=True)


class SteelRead(ClubSteelRead):
    """A common steel with its designations in open standards and the usual hardness of its blades."""

    name = text(200, required=True)
    hrc_low = JsonNumber(required=True)
    hrc_high = JsonNumber(required=True)


class BevelRead(ma.Schema):
    """A width of bevel."""

    bevel = one_of(*BEVELS, required=True)
    words = text(60, required=True)


class FinishRead(ma.Schema):
    """A finish in a buyer's words, and the band of fineness (scale 1 to 5; null: open) it asks for."""

    finish = one_of(*FINISHES, required=True)
    purpose = one_of(*PURPOSES, required=True)
    words = text(80, required=True)
    means = text(200, required=True)
    low = JsonNumber(required=True, allow_none=True)
    high = JsonNumber(required=True, allow_none=True)
    because = text(200, required=True)
    grit_low = whole(1, 100_000, required=True)
    grit_high = whole(1, 100_000, required=True)


class SkillRead(ma.Schema):
    """A hand, and the least ease of use (scale 1 to 5) that suits it."""

    skill = one_of(*SKILLS, required=True)
    words = text(1000, required=True)
    least_ease = JsonNumber(required=True)
    because = text(200, required=True)


class SteelsRead(ma.Schema):
    """Everything a wish is made of."""

    classes = listed(ma.fields.Nested(ClassRead), MANY, required=True)
    club = listed(ma.fields.Nested(ClubSteelRead), MANY, required=True)
    common = listed(ma.fields.Nested(SteelRead), MANY, required=True)
    bevels = listed(ma.fields.Nested(BevelRead), MANY, required=True)
    finishes = listed(ma.fields.Nested(FinishRead), MANY, required=True)
    skills = listed(ma.fields.Nested(SkillRead), MANY, required=True)
    step = text(400, required=True)


class NeedBand(ma.Schema):
    """A band wanted on one scale; null: open."""

    wish = one_of(*WISHES, required=True)
    scale = text(40, required=True)
    low = JsonNumber(required=True, allow_none=True)
    high = JsonNumber(required=True, allow_none=True)
    words = text(1000, required=True)
    reasons = listed(text(1000), 10, required=True)


class NeedRead(ma.Schema):
    """What one blade asks of a stone, and whose trials speak for its steel."""

    blade = text(200, required=True)
    mapped = one_of("same", "class", "any", required=True)
    steels = listed(text(40), MANY, required=True)
    steel_words = text(1000, required=True)
    hrc_words = text(120, required=True, allow_none=True)
    bands = listed(ma.fields.Nested(NeedBand), 10, required=True)


class MatchHead(ma.Schema):
    """How a wish was read, and what came of it."""

    purpose = one_of(*PURPOSES, required=True)
    pool_method_version = needed_words(40)
    computed_at = Moment(required=True)
    finish_words = text(80, required=True)
    finish_means = text(200, required=True)
    skill_words = text(80, required=True)
    owned_words = text(200, required=True, allow_none=True)
    needs = listed(ma.fields.Nested(NeedRead), 6, required=True)
    missing_scales = listed(text(40), 3, required=True)
    n_considered = whole(0, MANY, required=True)
    verdict = text(400, required=True)
    fits = JsonBool(required=True)


class BladeOdds(ma.Schema):
    """The probability that a stone serves one blade alone."""

    blade = text(200, required=True)
    probability = JsonNumber(required=True)
    odds = text(60, required=True)


class MatchGrade(ma.Schema):
    """A stone's grade with one blade on one scale, held inside its ends, and the band wanted there."""

    blade = whole(0, 5, required=True)
    scale = text(40, required=True)
    name = text(60, required=True)
    low = JsonNumber(required=True)
    high = JsonNumber(required=True)
    step = JsonNumber(required=True)
    grade = JsonNumber(required=True)
    low90 = JsonNumber(required=True)
    high90 = JsonNumber(required=True)
    want_low = JsonNumber(required=True, allow_none=True)
    want_high = JsonNumber(required=True, allow_none=True)
    probability = JsonNumber(required=True, allow_none=True)
    n_trials = whole(0, MANY, required=True)


class MatchBand(ma.Schema):
    """The finish as trials noted it in one grading system: coarsest and finest number, and how often."""

    system = one_of(*GRIT_SYSTEMS, required=True)
    low = whole(0, 100_000, required=True)
    high = whole(0, 100_000, required=True)
    n = whole(1, MANY, required=True)


class MatchEvidence(ma.Schema):
    """What the grades rest on; ``thin``: less than the club asks before it publishes."""

    n_trials = whole(0, MANY, required=True)
    n_testers = whole(0, MANY, required=True)
    thin = JsonBool(required=True)


class ShownStone(ma.Schema):
    """A stone found, for whoever may see it: what it is, what it asks for, how likely it serves and why."""

    code = text(20, required=True)
    kind = text(20, required=True)
    form = text(20, required=True)
    length_mm = JsonNumber(required=True)
    width_mm = JsonNumber(required=True)
    thickness_mm = JsonNumber(required=True)
    mass_g = JsonNumber(required=True, allow_none=True)
    colour = text(120, required=True)
    price = JsonNumber(required=True, allow_none=True)
    currency = text(3, required=True, allow_none=True)
    probability = JsonNumber(required=True)
    odds = text(60, required=True)
    by_blade = listed(ma.fields.Nested(BladeOdds), 6, required=True)
    grades = listed(ma.fields.Nested(MatchGrade), 18, required=True)
    finish_bands = listed(ma.fields.Nested(MatchBand), 3, required=True)
    speaks_for = listed(text(1000), 100, required=True)
    against = listed(text(1000), 100, required=True)
    uncertain = listed(text(1000), 100, required=True)
    evidence = ma.fields.Nested(MatchEvidence, required=True)
    slip_code = text(20, required=True, allow_none=True)


class RankedStone(ShownStone):
    """A stone found, for the dealer. What it cost is not in it."""

    stone_id = record_id(required=True)
    offer_state = one_of("for_sale", "reserved", "sold", "kept_back", required=True, allow_none=True)
    slip_issued_on = ma.fields.Date(required=True, allow_none=True)


class LeftOut(ma.Schema):
    """Stones that are not in the list, and why."""

    reason = text(20, required=True)
    words = text(1000, required=True)
    stone_ids = listed(record_id(), MANY, required=True)


class Relax(ma.Schema):
    """What one wish less would bring at best. ``wish``: a wish's name, or "blade:" and its number from 0."""

    wish = text(20, required=True)
    words = text(1000, required=True)
    probability = JsonNumber(required=True)
    stone_id = record_id(required=True)


class MatchRead(MatchHead):
    """The stones in stock in the order of the probability that they meet a wish."""

    method_version = needed_words(40)
    revision = whole(0, 2**31 - 1, required=True)
    behind = JsonBool(required=True)
    n_stones = whole(0, MANY, required=True)
    left_out = listed(ma.fields.Nested(LeftOut), 20, required=True)
    best = JsonNumber(required=True)
    relax = listed(ma.fields.Nested(Relax), 20, required=True)
    ranked = listed(ma.fields.Nested(RankedStone), 100, required=True)


class ShortlistWrite(Write):
    """What the list is called, the wish, the stones chosen for it, and a word to the buyer."""

    name = needed_words(120)
    wish = ma.fields.Nested(WishFields, required=True)
    stone_ids = listed(record_id(), 20, least=1, required=True)
    notes = notes(1000)


class ShortlistFound(MatchHead):
    """What the service fixed of the answer."""

    revision = whole(0, 2**31 - 1, required=True)
    stones = listed(ma.fields.Nested(RankedStone), 20, required=True)


class ShortlistRead(Read, ShortlistWrite):
    """A shortlist."""

    code = needed_words(20)
    made_on = ma.fields.Date(required=True)
    club_name = needed_words(120)
    found = ma.fields.Nested(ShortlistFound, required=True)
    method_version = needed_words(40)
    pool_revision = whole(0, 2**31 - 1, required=True)


class ShownShortlist(MatchHead):
    """A shortlist for whoever holds its code."""

    name = needed_words(120)
    code = needed_words(20)
    made_on = ma.fields.Date(required=True)
    club_name = needed_words(120)
    method_version = needed_words(40)
    notes = text(1000, required=True)
    stones = listed(ma.fields.Nested(ShownStone), 20, required=True)
    withdrawn = ma.fields.Nested(PublishedWithdrawn, required=True, allow_none=True)
    invented = JsonBool(required=True)

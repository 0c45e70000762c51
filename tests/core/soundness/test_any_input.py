"""Whatever JSON arrives, the answer is an assessment or a refusal with field paths, never a crash."""

import copy
import json

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from tests.vectors.soundness_cases import CASES

from whetpanel.core.soundness import DEFAULT_RULES, Rule, assess_stone_json, read_rules
from whetpanel.errors import Invalid

anything = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**30), 10**30)
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from(["\ud800", "front", "fissure", "grid", "$param", "bench"]),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["x_mm", "y_mm", "points", "id", "kind", "findings", "readings", "method", "a"]),
            inner,
            max_size=4,
        )
    ),
    max_leaves=12,
)


def places(value, path=()):
    """Every place in a JSON value."""
    yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield from places(inner, (*path, key))


def put(value, path, new):
    """The value with something else in one place."""
    if not path:
        return new
    value = copy.deepcopy(value)
    at = value
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = new
    return value


def refusal_of(call, *args):
    """The fields and sentences of a refusal, each with both; None if the call answers, with plain JSON."""
    try:
        answer = call(*args)
    except Invalid as refused:
        faults = [(e.field, e.message) for e in refused.errors]
    else:
        json.dumps(answer, allow_nan=False, default=Rule.to_record).encode("utf-8")
        return None
    assert faults
    assert all(field and message for field, message in faults)
    return faults


def answers_or_refuses(body):
    refusal_of(assess_stone_json, body)


@given(anything)
@settings(deadline=None)
@example({"stone": {}, "inspection": {}})
def test_any_json(body):
    answers_or_refuses(body)


@st.composite
def spoilt_bodies(draw):
    """A good body with one place changed into anything."""
    case = draw(st.sampled_from(CASES))
    body = {name: case[name] for name in ("stone", "inspection", "history")}
    return put(body, draw(st.sampled_from(list(places(body)))), draw(anything))


@given(spoilt_bodies())
@settings(deadline=None, max_examples=400, suppress_health_check=[HealthCheck.too_slow])
def test_a_good_body_with_one_place_spoilt(body):
    answers_or_refuses(body)


RULES = [rule.to_record() for rule in DEFAULT_RULES[:12]]
SPOILERS = anything | st.sampled_from(
    [
        {"$param": 3},
        {"$param": "near_corner_mm"},
        ["number", "number"],
        {"enum": [[]]},
        {"const": {}},
        {"not": 3},
    ]
)


@given(st.sampled_from(list(places(RULES))), SPOILERS)
@settings(deadline=None, max_examples=400)
def test_rules_with_one_place_spoilt(path, new):
    """What read_rules lets through can be applied."""
    spoilt = put(RULES, path, new)
    if refusal_of(read_rules, spoilt) is None:
        case = CASES[8]
        assess_stone_json({"stone": case["stone"], "inspection": case["inspection"], "rules": spoilt})


def test_a_condition_nested_without_end_is_refused():
    when: dict = {}
    for _ in range(400):
        when = {"not": when}

    faults = refusal_of(read_rules, [{**RULES[0], "when": when}])
    assert faults is not None
    assert "nested too deeply" in faults[0][1]

"""Stones that nothing links to the rest are held up, and hold up nobody else. House rule: no source."""

from typing import Any

from whetpanel.core.readiness import PublishRules, main_groups, readiness, stands_apart

RULES = PublishRules(min_testers=1, min_steels=1, max_half_width=1.0)


def grade(stone_id: str, group: int, n_trials: int = 3) -> dict[str, Any]:
    """One stone's grade on a scale, narrow enough to publish."""
    return {
        "stone_id": stone_id, "scale": "hardness", "name": "Hardness", "group": group, "n_trials": n_trials,
        "n_testers": 2, "n_steels": 2, "low90": 3.0, "high90": 3.4,
    }  # fmt: skip


def blocks(one: dict[str, Any], main: dict[str, int]) -> tuple[str, ...]:
    return readiness([one], (), RULES, stands_apart([one], main)).blocks


def test_only_stones_outside_the_main_group_wait_for_a_link() -> None:
    """Two stones stand together, one apart: the one waits, the two do not."""
    stones = [grade("a", 1), grade("b", 1), grade("c", 2)]
    main = main_groups([{"scale": "hardness", "stones": stones}])

    assert {"hardness": 1} == main
    assert [(), (), 1] == [blocks(stones[0], main), blocks(stones[1], main), len(blocks(stones[2], main))]
    assert "linking trial" in blocks(stones[2], main)[0]


def test_stones_nobody_tried_do_not_make_a_group_the_main_one() -> None:
    """They belong to a group only by what the model assumes of them."""
    stones = [grade("a", 2), grade("b", 1, n_trials=0), grade("c", 1, n_trials=0)]

    assert {"hardness": 2} == main_groups([{"scale": "hardness", "stones": stones}])


def test_of_two_equal_groups_one_is_the_main_one() -> None:
    """Otherwise a club that begins with two groups could publish nothing, and not say why of each stone alike."""
    stones = [grade("a", 2), grade("b", 1)]

    assert {"hardness": 1} == main_groups([{"scale": "hardness", "stones": stones}])

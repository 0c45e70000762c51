"""Tables become values, and a bad table is refused by line and column."""

import contextlib
import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from whetpanel.core.panel_tables import parse_check_stones, parse_ratings, parse_scale, parse_trials
from whetpanel.core.pooling import GradeScale
from whetpanel.core.tables import MOST_FAULTS, Faults, read_table, write_table
from whetpanel.errors import Invalid

GOOD = "stone,tester,steel,hardness,fineness\nK1,ash,white,3.5,4\nK2,birch,blue,,4.5\n"


def refusal(text: str, **options) -> Invalid:  # type: ignore[no-untyped-def]
    with pytest.raises(Invalid) as caught:
        parse_trials(text, name="T.csv", **options)
    return caught.value


class TestTrials:
    def test_a_good_table(self) -> None:
        t = parse_trials(GOOD)

        assert t.stones == ("K1", "K2")
        assert t.testers == ("ash", "birch")
        assert t.steels == ("white", "blue")
        assert t.lines == (2, 3)
        assert [s.id for s in t.scales] == ["hardness", "fineness"]
        np.testing.assert_array_equal(t.grades["hardness"], [3.5, np.nan])
        assert t.purposes is None

    @pytest.mark.parametrize(
        ("text", "place", "why"),
        [
            ("stone,tester,steel,hardness\nK1,ash,white,6\n", "line 2, column hardness", "not on the scale"),
            (
                "stone,tester,steel,hardness\nK1,a,w,3\nK1,a,w,3.3\n",
                "line 3, column hardness",
                "steps of 0.5",
            ),
            (
                "stone,tester,steel,hardness\nK1,a,w,3\nK1,a,w,hard\n",
                "line 3, column hardness",
                "not a number",
            ),
            (
                'stone,tester,steel,hardness\nK1,a,w,3\nK1,a,w,"3,5"\n',
                "line 3, column hardness",
                "decimal comma",
            ),
            (
                "stone,tester,steel,hardness\nK1,a,w,3\nK1,a,w,nan\n",
                "line 3, column hardness",
                "not a number",
            ),
            ("stone,tester,steel,hardness\nK1,a,w,3\nK1,a,w,1e999\n", "line 3, column hardness", "too large"),
            ("stone,tester,steel,hardness\n,a,w,3\n", "line 2, column stone", "empty"),
            ("stone,tester,steel,hardness\nK1,,w,3\n", "line 2, column tester", "empty"),
            ("stone,tester,hardness\nK1,a,3\n", "line 1, column steel", "missing"),
            ("Stone,tester,steel,hardness\nK1,a,w,3\n", "line 1, column stone", "you have Stone"),
            ("stone,tester,steel,hardness\nK1,a,w\n", "line 2, column hardness", "3 cells, the header 4"),
            ("stone,tester,steel,hardness\nK1,a,w,3,9\n", "line 2, column 5", "5 cells, the header 4"),
            ("stone,tester,steel,ease,ease\nK1,a,w,3,3\n", "line 1, column ease", "two columns"),
            ("stone,tester,steel,,ease\nK1,a,w,3,3\n", "line 1, column 4", "no name"),
            ("stone,tester,steel\nK1,a,w\n", "line 1", "no graded column"),
            ('stone,tester,steel,ease\nK1,a,"w,3\n', "line 2", "lone quotation mark"),
            ("stone;tester;steel;ease\nK1;a;w;3\n", "line 1", "not separated by commas"),
            ("", "line 1", "empty"),
            ("stone,tester,steel,ease\n", "line 2", "no trial"),
        ],
    )
    def test_a_fault_names_line_and_column(self, text: str, place: str, why: str) -> None:
        detail = refusal(text).detail

        assert f"T.csv, {place}" in detail
        assert why in detail

    def test_lines_are_counted_as_an_editor_counts_them(self) -> None:
        """Blank lines and quoted line breaks take up lines too."""
        text = 'stone,tester,steel,notes,ease\n\nK1,a,w,"two\nlines",3\nK1,a,w,,99\nK1,a,w,,2\n'

        assert "T.csv, line 5, column ease" in refusal(text).detail

    def test_all_faults_are_told_up_to_a_limit(self) -> None:
        text = "stone,tester,steel,ease\nK0,a,w,3\n" + "K1,a,w,9\n" * 50
        error = refusal(text)

        assert len(error.errors) == MOST_FAULTS
        assert "49 more" in error.detail

    def test_a_column_of_something_else_is_one_fault_with_advice(self) -> None:
        error = refusal("stone,tester,steel,ease,weather\nK1,a,w,3,sunny\nK1,b,w,3,rain\n")

        assert len(error.errors) == 1
        assert "--ignore weather" in error.detail
        assert parse_trials(
            "stone,tester,steel,ease,weather\nK1,a,w,3,sunny\n", ignore=["weather"]
        ).ignored == ("weather",)

    def test_a_column_on_another_scale_is_one_fault_with_advice(self) -> None:
        error = refusal("stone,tester,steel,ease\nK1,a,w,8\nK1,b,w,7\n")

        assert len(error.errors) == 1
        assert "--scale ease=low:high:step" in error.detail

    def test_a_scale_may_have_other_ends_and_steps(self) -> None:
        t = parse_trials(
            "stone,tester,steel,ease\nK1,a,w,8\nK1,b,w,0\n", scales={"ease": GradeScale("ease", 0, 10, 1)}
        )

        assert t.scales[0].high == 10
        assert t.grades["ease"].tolist() == [8, 0]

    def test_known_columns_are_carried_along(self) -> None:
        t = parse_trials("trial,date,stone,tester,steel,ease,notes\nt1,2026-05-01,K1,a,w,3,slow\n")

        assert [s.id for s in t.scales] == ["ease"]
        assert t.ids == ("t1",)
        assert t.ignored == ("date", "notes")

    def test_the_same_trial_twice_counts_once(self) -> None:
        t = parse_trials("trial,stone,tester,steel,ease\nt1,K1,a,w,3\nt2,K1,b,w,3\nt1,K1,a,w,3\n")

        assert t.ids == ("t1", "t2")
        assert t.n_duplicates == 1

    def test_one_trial_told_in_two_ways_is_refused(self) -> None:
        error = refusal("trial,stone,tester,steel,ease\nt1,K1,a,w,3\nt1,K1,a,w,4\n")

        assert "line 3, column trial" in error.detail
        assert "line 2" in error.detail

    def test_an_unknown_column_to_ignore_or_scale_is_a_fault(self) -> None:
        assert "no such column" in refusal(GOOD, ignore=["wether"]).detail
        assert "no such column" in refusal(GOOD, ignore=["stone"]).detail
        assert "the column is missing" in refusal(GOOD, scales={"ease": GradeScale("ease")}).detail

    def test_a_byte_order_mark_and_spaces_do_no_harm(self) -> None:
        t = parse_trials("\ufeffstone, tester ,steel,ease\r\n K1 ,a,w, 3 \r\n")

        assert (t.stones, t.testers) == (("K1",), ("a",))

    def test_without_names_trials_are_ranked_by_content_not_by_line(self) -> None:
        """Every order of the lines gives each trial the same id."""
        lines = ["K1,a,w,3", "K2,a,w,4", "K1,b,w,3", "K1,a,w,3"]
        seen = set()
        for order in itertools.permutations(lines):
            t = parse_trials("stone,tester,steel,ease\n" + "\n".join(order))
            seen.add(tuple(sorted(zip(t.ids, t.stones, t.testers, t.grades["ease"].tolist(), strict=True))))
        assert len(seen) == 1

    def test_purposes_are_read_and_may_not_be_empty(self) -> None:
        t = parse_trials("stone,tester,steel,purpose,ease\nK1,a,w,razor,3\n")
        assert t.purposes == ("razor",)

        assert "line 2, column purpose" in refusal("stone,tester,steel,purpose,ease\nK1,a,w,,3\n").detail


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_never_a_crash(text: str) -> None:
    for parse in (
        lambda: parse_trials(text),
        lambda: parse_trials("stone,tester,steel,ease\n" + text),
        lambda: parse_check_stones("stone,ease,sd\n" + text, scales=[GradeScale("ease")]),
        lambda: parse_ratings("unit,rater,value\n" + text, level="ordinal"),
    ):
        with contextlib.suppress(Invalid):
            parse()


class TestCheckStones:
    SCALES = (GradeScale("hardness"), GradeScale("fineness"))

    def test_a_good_table(self) -> None:
        a, b = parse_check_stones(
            "stone,hardness,fineness,sd\nK1,3.25,,0.2\nK2,4,2,0.1\n", scales=self.SCALES
        )

        assert (a.stone, dict(a.grades), a.sd) == ("K1", {"hardness": 3.25}, 0.2)
        assert dict(b.grades) == {"hardness": 4.0, "fineness": 2.0}

    @pytest.mark.parametrize(
        ("text", "place", "why"),
        [
            ("stone,hardness,sd\nK1,3,0\n", "line 2, column sd", "above zero"),
            ("stone,hardness,sd\nK1,3,\n", "line 2, column sd", "empty"),
            ("stone,hardness,sd\nK1,5.5,0.1\n", "line 2, column hardness", "not on the scale"),
            ("stone,ease,sd\nK1,5,0.1\n", "line 1, column ease", "no such scale"),
            ("stone,sd\nK1,0.1\n", "line 1", "none of the scales"),
            ("stone,hardness\nK1,3\n", "line 1, column sd", "missing"),
            ("stone,hardness,sd\nK1,3,1\nK1,3,1\n", "line 3, column stone", "already stands on line 2"),
        ],
    )
    def test_a_fault_names_line_and_column(self, text: str, place: str, why: str) -> None:
        with pytest.raises(Invalid) as caught:
            parse_check_stones(text, scales=self.SCALES, name="C.csv")

        assert f"C.csv, {place}" in caught.value.detail
        assert why in caught.value.detail


class TestRatings:
    def test_numbers_and_words(self) -> None:
        numbers = parse_ratings("unit,rater,value\na,x,1\na,y,\nb,x,2.5\n", level="interval")
        words = parse_ratings("unit,rater,value\na,x,silky\na,y,3\n", level="nominal")

        assert numbers.value.tolist() == [1, 2.5]
        assert words.categories == ("3", "silky")

    @pytest.mark.parametrize(
        ("text", "level", "place", "why"),
        [
            ("unit,rater,value\na,x,silky\n", "ordinal", "line 2, column value", "--level nominal"),
            ("unit,rater,value\na,x,1\na,y,-1\n", "ratio", "line 3, column value", "zero and above"),
            ("unit,rater,value,day\na,x,1,2\n", "ordinal", "line 1, column day", "--ignore day"),
            ("unit,rater\na,x\n", "ordinal", "line 1, column value", "missing"),
            ("unit,rater,value\n", "ordinal", "line 2, column value", "no rating"),
            ("unit,rater,value\n,x,1\n", "ordinal", "line 2, column unit", "empty"),
        ],
    )
    def test_a_fault_names_line_and_column(self, text: str, level, place: str, why: str) -> None:  # type: ignore[no-untyped-def]
        with pytest.raises(Invalid) as caught:
            parse_ratings(text, level=level, name="R.csv")

        assert f"R.csv, {place}" in caught.value.detail
        assert why in caught.value.detail


class TestScaleOption:
    def test_it_reads(self) -> None:
        assert parse_scale("fineness=0:10:1") == GradeScale("fineness", 0.0, 10.0, 1.0)

    @pytest.mark.parametrize(
        "text", ["fineness", "fineness=0:10", "=0:10:1", "f=a:b:c", "f=5:1:1", "f=0:10:3", "f=0:10:0"]
    )
    def test_anything_else_is_refused(self, text: str) -> None:
        with pytest.raises(Invalid):
            parse_scale(text)


class TestWriting:
    def test_the_same_bytes_everywhere(self) -> None:
        text = write_table(["a", "b", "c"], [[1.00004, None, "x,y"], [-0.00001, 3, ""]])

        assert text == 'a,b,c\n1.0000,,"x,y"\n0.0000,3,\n'

    def test_a_figure_that_is_not_finite_is_our_mistake(self) -> None:
        with pytest.raises(ValueError, match="not finite"):
            write_table(["a"], [[float("nan")]])

    @given(
        st.lists(
            st.lists(
                st.text(st.characters(codec="utf-8", exclude_characters="\x00\r\n"), min_size=1),
                min_size=2,
                max_size=2,
            ),
            min_size=1,
            max_size=5,
        )
    )
    def test_what_is_written_reads_back(self, rows: list[list[str]]) -> None:
        kept = [[cell.strip() for cell in row] for row in rows if any(cell.strip() for cell in row)]
        back = read_table(write_table(["a", "b"], rows), "t", Faults("t"))

        assert [list(cells) for _, cells in back.rows] == kept

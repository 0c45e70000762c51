"""The two commands from end to end, on published tables and on tables made here."""

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result
from statsmodels.miscmodels.ordinal_model import OrderedModel

from tests.core.published import DATA, rows
from whetpanel.errors import Invalid
from whetpanel.files import agreement_file, commands, pool_files

COMMANDS = {command.name: command for command in commands}
FILES = ("grades.csv", "grades_by_steel.csv", "result.json", "testers.csv", "trials.csv")


def run(name: str, *arguments: str | Path) -> Result:
    return CliRunner().invoke(COMMANDS[name], [str(a) for a in arguments])


def read(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def panel_csv(folder: Path, seed: int = 1, n_stones: int = 30, purposes: bool = False) -> Path:
    """An invented club: 5 testers, 2 steels, 3 trials a stone; hardness by halves, ease 0 to 10."""
    rng = np.random.default_rng(seed)
    lean = rng.normal(0, 0.4, 5)
    head = "trial,stone,tester,steel,hardness,ease" + (",purpose" if purposes else "")
    lines = [head]
    for i in range(n_stones):
        true = rng.normal(3, 0.8)
        for r in rng.permutation(5)[:3]:
            seen = true - lean[r] + rng.normal(0, 0.3)
            hardness = np.clip(np.round(seen * 2) / 2, 1, 5)
            ease = f"{np.clip(round(seen * 2), 0, 10):g}" if rng.random() > 0.2 else ""
            steel = "white" if rng.random() < 0.5 else "blue"
            line = f"t{len(lines):04},S{i:02},T{r},{steel},{hardness:g},{ease}"
            lines.append(line + (f",{'razor' if i % 2 else 'knife'}" if purposes else ""))
    path = folder / "TRIALS.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


class TestWineBitterness:
    """A real panel that no one here wrote: Randall (1989), 9 judges, 8 bottles, whole steps 1 to 5."""

    @pytest.fixture(scope="class")
    @classmethod
    def folder(cls, tmp_path_factory: pytest.TempPathFactory) -> Path:
        folder = tmp_path_factory.mktemp("wine")
        lines = ["stone,tester,steel,bitterness"]
        lines += [f"{r['bottle']},{r['judge']},none,{r['rating']}" for r in rows("wine_bitterness")]
        (folder / "wine.csv").write_text("\n".join(lines), encoding="utf-8")
        result = run("pool", folder / "wine.csv", "--out", folder / "out", "--scale", "bitterness=1:5:1")
        assert result.exit_code == 0, result.output
        return folder / "out"

    # Conditional modes of the judges and effects on the logit scale, cumulative-link mixed model
    # (Laplace), from the vignettes of the R package ordinal. A judge with a high mode rates high.
    MODES = (1.69618, -0.56578, 0.96881, -0.05955, 0.23051, 0.47704, -1.91097, -0.27294, -0.55468)
    TEMPERATURE, CONTACT = 3.06299, 1.83488
    STEP = (6.08877 + 1.62367) / 3  # logits from one threshold to the next, on average

    def test_the_judges_come_out_in_the_published_order_of_severity(self, folder: Path) -> None:
        """Judges 2 and 9 are published 0.011 logit apart, a hundredth of the step, and count as equal."""
        severity = [float(r["severity"]) for r in read(folder / "testers.csv")]
        judges = range(9)
        wrong = [
            (a + 1, b + 1)
            for a in judges
            for b in judges
            if self.MODES[a] - self.MODES[b] > 0.02 * self.STEP and severity[a] >= severity[b]
        ]

        assert [r["tester"] for r in read(folder / "testers.csv")] == [str(j + 1) for j in judges]
        assert wrong == []
        assert int(np.argmin(severity)) + 1 == 1
        assert int(np.argmax(severity)) + 1 == 7
        assert np.corrcoef(severity, self.MODES)[0, 1] < -0.98

    def test_warmth_and_skin_contact_have_their_published_effects(self, folder: Path) -> None:
        """Published effects over published step; within one published standard error (0.5951, 0.5122)."""
        grade = {r["stone"]: float(r["grade"]) for r in read(folder / "grades.csv")}
        bottles = {r["bottle"]: r for r in rows("wine_bitterness")}

        def effect(factor: str, high: str) -> float:
            up = [grade[b] for b, r in bottles.items() if r[factor] == high]
            down = [grade[b] for b, r in bottles.items() if r[factor] != high]
            return float(np.mean(up) - np.mean(down))

        temperature, contact = effect("temp", "warm"), effect("contact", "yes")
        assert temperature == pytest.approx(self.TEMPERATURE / self.STEP, abs=0.5951 / self.STEP)
        assert contact == pytest.approx(self.CONTACT / self.STEP, abs=0.5122 / self.STEP)
        assert temperature / contact == pytest.approx(self.TEMPERATURE / self.CONTACT, rel=0.05)

    def test_the_table_is_the_published_one(self) -> None:
        """Proportional odds without judges, by statsmodels; printed values from the vignette."""
        data = rows("wine_bitterness")
        y = np.array([int(r["rating"]) for r in data])
        x = np.array([[r["temp"] == "warm", r["contact"] == "yes"] for r in data], dtype=float)
        model = OrderedModel(y, x, distr="logit")
        fit = model.fit(method="bfgs", disp=False, gtol=1e-8)
        thresholds = model.transform_threshold_params(fit.params)[1:-1]

        np.testing.assert_allclose(fit.params[:2], [2.5031, 1.5278], atol=2e-4)
        np.testing.assert_allclose(thresholds, [-1.3444, 1.2508, 3.4669, 5.0064], atol=2e-4)
        assert round(float(fit.llf), 4) == -86.4919


class TestPool:
    @pytest.fixture
    def out(self, tmp_path: Path) -> Path:
        result = run("pool", panel_csv(tmp_path), "--out", tmp_path / "out", "--scale", "ease=0:10:1")
        assert result.exit_code == 0, result.output
        return tmp_path / "out"

    def test_the_files_and_their_columns(self, out: Path) -> None:
        assert tuple(sorted(p.name for p in out.iterdir())) == FILES
        assert (
            ",".join(read(out / "grades.csv")[0])
            == "scale,stone,grade,lo90,hi90,sd,trials,testers,group,note"
        )
        assert ",".join(read(out / "grades_by_steel.csv")[0]) == "scale,stone,steel,grade,lo90,hi90,sd,trials"
        assert (
            ",".join(read(out / "testers.csv")[0])
            == "scale,tester,severity,severity_sd,sigma,weight,trials,note"
        )
        assert (
            ",".join(read(out / "trials.csv")[0])
            == "scale,line,trial,stone,tester,steel,grade,residual,pull,flag"
        )

    def test_every_grade_lies_in_its_interval_and_every_stone_is_there(self, out: Path) -> None:
        grades = read(out / "grades.csv")

        assert len(grades) == 60
        for g in grades:
            high = 10 if g["scale"] == "ease" else 5
            assert float(g["lo90"]) <= float(g["grade"]) <= float(g["hi90"]) <= high
            assert float(g["sd"]) > 0
        assert {g["trials"] for g in grades if g["scale"] == "hardness"} == {"3"}

    def test_each_trial_is_told_with_its_line(self, out: Path) -> None:
        source = (out.parent / "TRIALS.csv").read_text().splitlines()
        told = [r for r in read(out / "trials.csv") if r["scale"] == "hardness"]

        assert len(told) == len(source) - 1
        for r in told:
            expected = [r["trial"], r["stone"], r["tester"], r["steel"], r["grade"]]
            assert source[int(r["line"]) - 1].split(",")[:5] == expected

    def test_result_json_says_what_it_rests_on(self, out: Path) -> None:
        facts = json.loads((out / "result.json").read_text())
        hardness, ease = facts["fits"]

        assert facts["method_version"]
        assert len(facts["input_sha256"]["trials"]) == 64
        assert hardness["convergence"]["converged"]
        assert hardness["counts"]["trials"] == 90
        assert ease["counts"]["trials"] < 90
        assert (ease["low"], ease["high"], ease["step"]) == (0, 10, 1)
        assert len(hardness["groups"]) == 1
        assert hardness["proposed_links"] == []
        assert len(hardness["inputs_digest"]) == 64
        assert "tau" in hardness["settings"] or hardness["settings"]

    def test_again_gives_the_same_bytes_and_so_does_another_order(self, out: Path, tmp_path: Path) -> None:
        source = (tmp_path / "TRIALS.csv").read_text().splitlines()
        order = np.random.default_rng(3).permutation(len(source) - 1)
        (tmp_path / "other.csv").write_text("\n".join([source[0], *(source[1 + j] for j in order)]) + "\n")
        pool_files(tmp_path / "TRIALS.csv", tmp_path / "again", scales=[_ease()])
        pool_files(tmp_path / "other.csv", tmp_path / "shuffled", scales=[_ease()])

        for name in FILES:
            assert (tmp_path / "again" / name).read_bytes() == (out / name).read_bytes()
        for name in ("grades.csv", "grades_by_steel.csv", "testers.csv"):
            assert (tmp_path / "shuffled" / name).read_bytes() == (out / name).read_bytes()
        there = json.loads((tmp_path / "shuffled" / "result.json").read_text())
        here = json.loads((out / "result.json").read_text())
        assert there["fits"] == here["fits"]

    def test_a_bad_file_names_the_place_and_writes_nothing(self, tmp_path: Path) -> None:
        path = panel_csv(tmp_path)
        path.write_text(path.read_text().replace(",3.5,", ",3.7,", 1))
        line = next(j for j, text in enumerate(path.read_text().splitlines(), start=1) if ",3.7," in text)
        result = run("pool", path, "--out", tmp_path / "out", "--scale", "ease=0:10:1")

        assert result.exit_code == 1
        assert f"TRIALS.csv, line {line}, column hardness: 3.7 is not on the scale" in result.output
        assert "Traceback" not in result.output
        assert sorted(p.name for p in tmp_path.iterdir()) == ["TRIALS.csv"]

    def test_an_earlier_answer_stays_when_the_next_file_is_bad(self, out: Path, tmp_path: Path) -> None:
        before = {p.name: p.read_bytes() for p in out.iterdir()}
        (tmp_path / "bad.csv").write_text("stone,tester,steel,hardness\nK1,a,w,9\n")
        assert run("pool", tmp_path / "bad.csv", "--out", out).exit_code == 1

        assert {p.name: p.read_bytes() for p in out.iterdir()} == before

    def test_other_files_in_the_folder_stay(self, out: Path, tmp_path: Path) -> None:
        (out / "my notes.txt").write_text("keep me")
        (out / "grades.csv").write_text("old")
        pool_files(tmp_path / "TRIALS.csv", out, scales=[_ease()])

        assert (out / "my notes.txt").read_text() == "keep me"
        assert len(read(out / "grades.csv")) == 60
        assert sorted(p.name for p in tmp_path.iterdir()) == ["TRIALS.csv", "out"]

    def test_check_stones_hold_the_level(self, tmp_path: Path) -> None:
        """Anchored a whole step up, every grade follows; an anchored stone without a trial is listed."""
        path = panel_csv(tmp_path)
        free = pool_files(path, tmp_path / "free", scales=[_ease()])[0]
        lifted = [f"{s.stone},{min(s.grade + 0.6, 5):.2f},,0.05" for s in free.stones if s.grade < 4][:6]
        check = tmp_path / "CHECK.csv"
        check.write_text("stone,hardness,ease,sd\n" + "\n".join(lifted) + "\nX9,3,5,0.1\n")
        result = run(
            "pool", path, "--out", tmp_path / "out", "--scale", "ease=0:10:1", "--check-stones", check
        )
        assert result.exit_code == 0, result.output
        held = {r["stone"]: r for r in read(tmp_path / "out" / "grades.csv") if r["scale"] == "hardness"}
        others = [s for s in free.stones if s.stone not in {line.split(",")[0] for line in lifted}]
        moved = np.mean([float(held[s.stone]["grade"]) - s.grade for s in others if s.grade < 4])

        assert moved == pytest.approx(0.6, abs=0.15)
        assert held["X9"]["trials"] == "0"
        assert float(held["X9"]["grade"]) == pytest.approx(3.0, abs=0.1)
        assert "check_stones" in json.loads((tmp_path / "out" / "result.json").read_text())["input_sha256"]

    def test_purposes_are_pooled_apart(self, tmp_path: Path) -> None:
        path = panel_csv(tmp_path, purposes=True)
        assert run("pool", path, "--out", tmp_path / "both", "--scale", "ease=0:10:1").exit_code == 0
        assert (
            run(
                "pool", path, "--out", tmp_path / "one", "--scale", "ease=0:10:1", "--purpose", "razor"
            ).exit_code
            == 0
        )
        both, one = read(tmp_path / "both" / "grades.csv"), read(tmp_path / "one" / "grades.csv")

        assert next(iter(both[0])) == "purpose"
        assert "purpose" not in one[0]
        razor = [{k: v for k, v in r.items() if k != "purpose"} for r in both if r["purpose"] == "razor"]
        assert razor == one

    def test_groups_without_a_link_are_named(self, tmp_path: Path) -> None:
        lines = ["stone,tester,steel,hardness"]
        for block in "AB":
            for i in range(6):
                lines += [f"{block}{i},{block}{r},white,{2 + (i + r) % 5 / 2:g}" for r in range(3)]
        (tmp_path / "t.csv").write_text("\n".join(lines))
        result = run("pool", tmp_path / "t.csv", "--out", tmp_path / "out")
        fit = json.loads((tmp_path / "out" / "result.json").read_text())["fits"][0]

        assert "2 groups that cannot be compared" in result.output
        assert [len(g["stones"]) for g in fit["groups"]] == [6, 6]
        assert len(fit["proposed_links"]) == 1
        assert {r["group"] for r in read(tmp_path / "out" / "grades.csv")} == {"1", "2"}

    def test_a_scale_nobody_graded_gives_no_stone_and_no_crash(self, tmp_path: Path) -> None:
        (tmp_path / "t.csv").write_text("stone,tester,steel,hardness,ease\nK1,a,w,3,\nK1,b,w,3.5,\n")
        result = run("pool", tmp_path / "t.csv", "--out", tmp_path / "out")

        assert result.exit_code == 0, result.output
        assert {r["scale"] for r in read(tmp_path / "out" / "grades.csv")} == {"hardness"}
        assert json.loads((tmp_path / "out" / "result.json").read_text())["scales_without_grades"] == ["ease"]

    def test_a_table_without_any_grade_is_refused(self, tmp_path: Path) -> None:
        (tmp_path / "t.csv").write_text("stone,tester,steel,hardness\nK1,a,w,\n")
        result = run("pool", tmp_path / "t.csv", "--out", tmp_path / "out")

        assert result.exit_code == 1
        assert "no grade at all" in result.output

    @pytest.mark.parametrize(
        "lines",
        [
            ["K1,a,w,3"],
            ["K1,a,w,3", "K1,a,w,3"],
            ["K1,a,w,1", "K1,b,w,5"],
            [f"K{i},a,w,{1 + i % 5}" for i in range(8)],
            [f"K{i},{t},w,5" for i in range(5) for t in "abc"],
            [f"K{i},{t},w,3" for i in range(5) for t in "abc"],
            [f"K{i},{t},w,{5 - i % 5 if t == 'c' else 1 + i % 5}" for i in range(15) for t in "abc"],
            [f"K{i},a,w{i},3" for i in range(4)],
        ],
        ids=[
            "one trial",
            "said twice",
            "two in conflict",
            "one tester",
            "all at an end",
            "all equal",
            "a reversed scale",
            "nothing shared",
        ],
    )
    def test_thin_and_odd_tables_give_wide_finite_answers(self, tmp_path: Path, lines: list[str]) -> None:
        (tmp_path / "t.csv").write_text("\n".join(["stone,tester,steel,hardness", *lines]))
        result = run("pool", tmp_path / "t.csv", "--out", tmp_path / "out")
        assert result.exit_code == 0, result.output
        for r in read(tmp_path / "out" / "grades.csv"):
            low, grade, high = float(r["lo90"]), float(r["grade"]), float(r["hi90"])
            assert 1 <= low <= grade <= high <= 5
            assert high - low >= 0.25
        for r in read(tmp_path / "out" / "testers.csv"):
            assert all(np.isfinite(float(r[k])) for k in ("severity", "severity_sd", "sigma", "weight"))

    @pytest.mark.parametrize(
        ("arguments", "why"),
        [
            (["--scale", "ease=0:10:1", "--purpose", "razor"], "no column purpose"),
            (["--scale", "ease=0:10:1", "--scale", "ease=0:5:1"], "given twice"),
            (["--scale", "ease=0-10"], "low:high:step"),
            (["--scale", "ease=0:10:1", "--reference-steel", "brass"], "reference steel brass"),
        ],
    )
    def test_an_option_that_does_not_fit_is_refused(
        self, tmp_path: Path, arguments: list[str], why: str
    ) -> None:
        result = run("pool", panel_csv(tmp_path), "--out", tmp_path / "out", *arguments)

        assert result.exit_code == 1
        assert why in result.output
        assert not (tmp_path / "out").exists()

    def test_a_file_in_the_way_is_not_overwritten(self, tmp_path: Path) -> None:
        (tmp_path / "out").write_text("mine")
        result = run("pool", panel_csv(tmp_path), "--out", tmp_path / "out", "--scale", "ease=0:10:1")

        assert result.exit_code == 1
        assert (tmp_path / "out").read_text() == "mine"

    def test_text_that_is_not_utf_8_is_refused_by_line(self, tmp_path: Path) -> None:
        (tmp_path / "t.csv").write_bytes(b"stone,tester,steel,ease\nK1,J\xf6rg,w,3\n")

        with pytest.raises(Invalid, match=r"t.csv, line 2: this is not UTF-8"):
            pool_files(tmp_path / "t.csv", tmp_path / "out")

    def test_a_long_fit_tells_the_terminal(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        said: list[str] = []
        monkeypatch.setattr("whetpanel.files.trial_tables.QUIET_S", 0.001)
        pool_files(panel_csv(tmp_path), tmp_path / "out", scales=[_ease()], say=said.append)

        assert any("Pooling hardness" in words for words in said)
        assert said[-1].endswith("\n")


def _ease():  # type: ignore[no-untyped-def]
    from whetpanel.core.panel_tables import parse_scale

    return parse_scale("ease=0:10:1")


class TestAgreement:
    def test_krippendorffs_example_from_a_file(self, tmp_path: Path) -> None:
        """Krippendorff (2011): ordinal 0.815, eleven units, forty values."""
        lines = ["unit,rater,value"]
        for r in rows("krippendorff_2011"):
            lines += [f"{unit},{r['observer']},{v}" for unit, v in r.items() if unit != "observer"]
        (tmp_path / "r.csv").write_text("\n".join(lines))
        result = run("agreement", tmp_path / "r.csv", "--level", "ordinal")
        facts = json.loads(result.output)

        assert result.exit_code == 0
        assert facts["alpha"]["alpha"] == 0.815388
        assert facts["alpha"]["low95"] < 0.815388 < facts["alpha"]["high95"]
        assert (facts["alpha"]["n_units"], facts["alpha"]["n_ratings"]) == (11, 40)
        assert facts["icc"] is None
        assert "complete" in facts["why_not"]["icc"]
        assert "twice" in facts["why_not"]["repeatability"]

    def test_shrout_and_fleiss_from_a_file(self, tmp_path: Path) -> None:
        lines = ["unit,rater,value"]
        for r in rows("shrout_fleiss_1979"):
            lines += [f"{r['target']},{j},{v}" for j, v in r.items() if j != "target"]
        (tmp_path / "r.csv").write_text("\n".join(lines))
        icc = agreement_file(tmp_path / "r.csv")["icc"]

        assert icc["two_1"]["icc"] == 0.289764
        assert icc["three_k"]["icc"] == 0.909316
        assert (icc["n_targets"], icc["n_raters"]) == (6, 4)

    def test_sulfur_in_coal_from_a_file(self, tmp_path: Path) -> None:
        """ISO 5725-2:1994 Annex B.1, level 1: s_r 0.015, s_R 0.026."""
        text = (
            (DATA / "iso5725_2_coal.csv").read_text().replace("level,lab,replicate", "unit,rater,replicate")
        )
        (tmp_path / "r.csv").write_text(text)
        result = run("agreement", tmp_path / "r.csv", "--ignore", "replicate")
        level = json.loads(result.output)["repeatability"]["by_unit"][0]

        assert (round(level["repeatability_sd"], 3), round(level["reproducibility_sd"], 3)) == (0.015, 0.026)
        assert (level["n_raters"], level["n_ratings"]) == (8, 27)

    def test_the_same_file_gives_the_same_bytes(self, tmp_path: Path) -> None:
        lines = [f"{u},{r},{(u * r) % 5}" for u in range(9) for r in range(3)]
        (tmp_path / "r.csv").write_text("\n".join(["unit,rater,value", *lines]))

        assert run("agreement", tmp_path / "r.csv").output == run("agreement", tmp_path / "r.csv").output

    def test_a_bad_file_names_the_place_and_prints_no_json(self, tmp_path: Path) -> None:
        (tmp_path / "r.csv").write_text("unit,rater,value\na,x,1\na,y,soft\n")
        result = run("agreement", tmp_path / "r.csv")

        assert result.exit_code == 1
        assert "r.csv, line 3, column value" in result.output
        assert "{" not in result.output

    def test_words_at_the_nominal_level(self, tmp_path: Path) -> None:
        (tmp_path / "r.csv").write_text("unit,rater,value\na,x,silky\na,y,silky\nb,x,sandy\nb,y,silky\n")
        facts = agreement_file(tmp_path / "r.csv", "nominal")

        assert facts["alpha"]["alpha"] is not None
        assert facts["icc"] is None

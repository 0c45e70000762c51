"""The two commands, ready to be added to the ``whetpanel`` group."""

import functools
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from whetpanel.core.agreement import LEVELS, Level
from whetpanel.core.panel_tables import parse_scale
from whetpanel.errors import Invalid, Refusal
from whetpanel.files.agreement_table import agreement_file
from whetpanel.files.results import to_json
from whetpanel.files.trial_tables import pool_files


def say_refusals(command: Callable[..., None]) -> Callable[..., None]:
    """End with the refusal's own sentence and every fault it names, not with a traceback."""

    @functools.wraps(command)
    def inner(*args: Any, **kwargs: Any) -> None:
        try:
            command(*args, **kwargs)
        except Refusal as refusal:
            lines = [refusal.detail]
            if isinstance(refusal, Invalid) and len(refusal.errors) > 1:
                lines += [f"  {item.field}: {item.message}" for item in refusal.errors]
            raise click.ClickException("\n".join(lines)) from None

    return inner


_csv_path = click.Path(exists=True, dir_okay=False, path_type=Path)
_ignore = click.option(
    "--ignore", multiple=True, metavar="COLUMN", help="A column to leave out; may be given again."
)


@click.command()
@click.argument("trials_csv", metavar="TRIALS.csv", type=_csv_path)
@click.option(
    "--out",
    "out_dir",
    required=True,
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="Folder for the answer.",
)
@click.option(
    "--check-stones", metavar="CHECK.csv", type=_csv_path, help="Agreed grades: stone, the scales, sd."
)
@click.option(
    "--scale",
    "scales",
    multiple=True,
    metavar="NAME=LOW:HIGH:STEP",
    help="Ends and step of a scale, such as fineness=0:10:1; without it 1:5:0.5. May be given again.",
)
@click.option("--purpose", metavar="PURPOSE", help="Pool only the trials of this purpose.")
@click.option(
    "--reference-steel",
    "reference_steels",
    multiple=True,
    metavar="STEEL",
    help="A steel the printed grade averages over; without it every steel. May be given again.",
)
@_ignore
@say_refusals
def pool(
    trials_csv: Path,
    out_dir: Path,
    check_stones: Path | None,
    scales: tuple[str, ...],
    purpose: str | None,
    reference_steels: tuple[str, ...],
    ignore: tuple[str, ...],
) -> None:
    """Pool the grades of a table of trials, without a server.

    TRIALS.csv has the columns stone, tester, steel and one column for each graded scale; an empty cell
    is no grade. Columns such as trial, purpose and date are carried along; name others with --ignore.
    """
    on_terminal = sys.stderr.isatty()
    results = pool_files(
        trials_csv,
        out_dir,
        check_stones,
        ignore=ignore,
        scales=[parse_scale(text) for text in scales],
        purpose=purpose,
        reference_steels=reference_steels,
        say=(lambda words: click.echo(words, nl=False, err=True)) if on_terminal else None,
    )
    for r in results:
        if not r.converged:
            click.echo(f"{r.scale.id}: the fit did not settle; treat its grades as doubtful.", err=True)
        if len(r.groups) > 1:
            click.echo(
                f"{r.scale.id}: the stones fall into {len(r.groups)} groups that cannot be compared; "
                "result.json names them and the trials that would link them.",
                err=True,
            )
    click.echo(f"Wrote {out_dir}")


@click.command()
@click.argument("ratings_csv", metavar="RATINGS.csv", type=_csv_path)
@click.option(
    "--level",
    type=click.Choice(LEVELS),
    default="interval",
    show_default=True,
    help="What the values mean: labels, an order, distances, or distances from a true zero.",
)
@_ignore
@say_refusals
def agreement(ratings_csv: Path, level: Level, ignore: tuple[str, ...]) -> None:
    """Print how far raters agree, as JSON.

    RATINGS.csv has the columns unit, rater, value: alpha with its interval always, the ICC family and
    Kendall's W where the table is complete, repeatability and reproducibility where there are repeats.
    """
    click.echo(to_json(agreement_file(ratings_csv, level, ignore=ignore)), nl=False)


commands: list[click.Command] = [pool, agreement]

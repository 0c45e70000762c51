"""Commands that work on files."""

import click

commands: list[click.Command] = []

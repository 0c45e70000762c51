"""A PostgreSQL server for one test run, made and thrown away; as root it runs as the user postgres."""

import contextlib
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

INSTALL = "apt-get install -y postgresql"


def programs() -> Path | None:
    """The folder of the server's programs, or None where no server is installed."""
    tool = shutil.which("pg_config")
    places = [Path(subprocess.check_output([tool, "--bindir"], text=True).strip())] if tool else []
    places += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((place for place in places if (place / "initdb").exists()), None)


@contextlib.contextmanager
def throwaway_server() -> Iterator[str]:
    """Yields the address of an empty server, without the database's name: ``…/{name}?host=…`` via ``address``."""
    bin_dir = programs()
    assert bin_dir is not None
    folder = tempfile.mkdtemp(prefix="wp-pg-")
    as_user: dict[str, object] = {}
    if os.getuid() == 0:
        entry = pwd.getpwnam("postgres")
        os.chown(folder, entry.pw_uid, entry.pw_gid)
        as_user = {"user": entry.pw_uid, "group": entry.pw_gid, "extra_groups": []}

    def run(tool: str, *arguments: str) -> None:
        subprocess.run(
            [str(bin_dir / tool), *arguments], check=True, stdout=subprocess.DEVNULL, cwd=folder, **as_user
        )  # type: ignore[call-overload]

    data = f"{folder}/data"
    try:
        run(
            "initdb",
            "-D",
            data,
            "-U",
            "whetpanel",
            "-A",
            "trust",
            "--no-sync",
            "-E",
            "UTF8",
            "--locale=C.UTF-8",
        )
        options = (
            f"-k {folder} -c listen_addresses='' -c fsync=off -c synchronous_commit=off -c max_connections=60"
        )
        run("pg_ctl", "-D", data, "-w", "-l", f"{folder}/log", "-o", options, "start")
        try:
            yield folder
        finally:
            run("pg_ctl", "-D", data, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def address(folder: str, name: str) -> str:
    """The SQLAlchemy address of a database of that server."""
    return f"postgresql+psycopg://whetpanel@/{name}?host={folder}"

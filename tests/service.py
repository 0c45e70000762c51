"""The real service as its own process, for tests that must kill it or point a browser at it."""

import contextlib
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import requests

PASSWORD = "a long enough password"


def free_port() -> int:
    """A port that nobody listens on at the moment."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@dataclass
class Service:
    """A service on a folder of its own; it can be killed and started again on the same data."""

    folder: Path
    port: int
    database_url: str | None = None
    """The embedded database in the folder, if not another."""
    process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def _environment(self) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if not name.startswith("WHETPANEL_")}
        other = {} if self.database_url is None else {"WHETPANEL_DATABASE_URL": self.database_url}
        return {
            **kept,
            **other,
            "WHETPANEL_DATA_DIR": str(self.folder),
            "WHETPANEL_ARGON2_MEMORY_KIB": "8",
            "WHETPANEL_ARGON2_ROUNDS": "1",
            "CLUB_PASSWORD": PASSWORD,
        }

    def command(self, *words: str) -> None:
        """Run one whetpanel command to its end."""
        subprocess.run(
            [sys.executable, "-m", "whetpanel.cli", *words],
            env=self._environment(),
            check=True,
            capture_output=True,
        )

    def start(self) -> None:
        """Start and wait until it answers."""
        log = (self.folder / "service.log").open("ab")
        self.process = subprocess.Popen(
            [sys.executable, "-m", "whetpanel.cli", "serve", "--port", str(self.port)],
            env=self._environment(),
            stdout=log,
            stderr=log,
            start_new_session=True,
        )
        for _ in range(300):
            with contextlib.suppress(requests.ConnectionError):
                if requests.get(f"{self.url}/healthz", timeout=5).ok:
                    return
            time.sleep(0.1)
        raise RuntimeError((self.folder / "service.log").read_text())

    def kill(self) -> None:
        """SIGKILL the service with all its workers: as if the power went."""
        if self.process is not None:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.process = None

    def stop(self) -> None:
        """Ask it to stop; kill it if it does not."""
        if self.process is not None:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(self.process.pid, signal.SIGTERM)
            try:
                self.process.wait(10)
                self.process = None
            except subprocess.TimeoutExpired:
                self.kill()


@contextlib.contextmanager
def running_club(folder: Path) -> Iterator[Service]:
    """A service with an empty club; the steward signs in as steward."""
    service = Service(folder, free_port())
    service.command(
        "create-club",
        "hill",
        "--name",
        "Hill club",
        "--steward",
        "steward",
        "--password-env",
        "CLUB_PASSWORD",
    )
    service.start()
    try:
        yield service
    finally:
        service.stop()

"""Choose the database of a test run before Django reads its settings.

PRATIQUE_TEST_DATABASE says which: `sqlite` (the default) or `postgresql`. For PostgreSQL a throw-away cluster is
started here, once for the whole run; parallel workers inherit its address. The household of whoever runs the tests is
never touched: PRATIQUE_HOME points to a fresh folder, and a PRATIQUE_DATABASE_URL found outside is dropped.
"""

import os
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Generator
from pathlib import Path

import pytest

ENGINES = ("sqlite", "postgresql")
# Speed before safety: the cluster is thrown away. Tests of durability start processes of their own and kill those.
CLUSTER_OPTIONS = (
    "-c listen_addresses=127.0.0.1 -c fsync=off -c full_page_writes=off -c max_connections=60 -c jit=off "
    # Rolled-back tests leave dead rows; looked at then, filled tables are held to be empty and never read by index.
    "-c autovacuum=off"
)


class Cluster:
    """A PostgreSQL cluster in a folder of its own, on a free port of this machine."""

    def __init__(self) -> None:
        self.programs = _program_folder()
        self.folder = Path(tempfile.mkdtemp(prefix="pratique-postgresql-"))
        self.port = _free_port()

    @property
    def url(self) -> str:
        """The address of a database in this cluster."""
        return f"postgresql://postgres@127.0.0.1:{self.port}/pratique"

    def start(self) -> None:
        """Create the cluster, wait until it answers and make the database that `url` names."""
        if os.geteuid() == 0:
            shutil.chown(self.folder, "postgres")
        data = self.folder / "data"
        self._run("initdb", "-D", data, "-A", "trust", "-U", "postgres", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
        options = f"-p {self.port} -k {self.folder} {CLUSTER_OPTIONS}"
        self._run("pg_ctl", "-D", data, "-w", "-l", self.folder / "log", "-o", options, "start")
        self._run("createdb", "-h", "127.0.0.1", "-p", self.port, "-U", "postgres", "pratique")

    def stop(self) -> None:
        """Stop the server at once and remove its folder."""
        if (self.folder / "data" / "postmaster.pid").exists():
            self._run("pg_ctl", "-D", self.folder / "data", "-m", "immediate", "stop")
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, program: str, *arguments: object) -> None:
        # The server refuses to run as root; Debian makes a user for it.
        become = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        command = [*become, str(self.programs / program), *map(str, arguments)]
        with tempfile.TemporaryFile() as said:
            # A file, not a pipe: the server keeps the pipe open after pg_ctl has ended.
            ended = subprocess.run(command, check=False, cwd="/", stdin=subprocess.DEVNULL, stdout=said, stderr=said)
            said.seek(0)
            if ended.returncode:
                raise pytest.UsageError(f"{program} failed:\n{said.read().decode(errors='replace')}")


def _program_folder() -> Path:
    """Return the folder of initdb and pg_ctl: Debian keeps one for each version, off PATH."""
    debian = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    found = str(debian[-1]) if debian else shutil.which("initdb")
    if found is None:
        raise pytest.UsageError(
            "PRATIQUE_TEST_DATABASE=postgresql needs the PostgreSQL server (initdb, pg_ctl); "
            "install the system package postgresql."
        )
    return Path(found).parent


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@pytest.hookimpl(wrapper=True)
def pytest_load_initial_conftests(early_config: pytest.Config) -> Generator[None]:
    """Prepare the environment ahead of the Django plugin, which reads the settings in this same hook."""
    engine = os.environ.setdefault("PRATIQUE_TEST_DATABASE", "sqlite")
    if engine not in ENGINES:
        raise pytest.UsageError(f"PRATIQUE_TEST_DATABASE is {engine!r}; it can be {' or '.join(ENGINES)}.")
    home = Path(tempfile.mkdtemp(prefix="pratique-tests-"))
    early_config.add_cleanup(lambda: shutil.rmtree(home, ignore_errors=True))
    os.environ["PRATIQUE_HOME"] = str(home)
    is_worker = "PYTEST_XDIST_WORKER" in os.environ
    if engine == "sqlite":
        os.environ.pop("PRATIQUE_DATABASE_URL", None)
    elif not is_worker:
        cluster = Cluster()
        early_config.add_cleanup(cluster.stop)
        cluster.start()
        os.environ["PRATIQUE_DATABASE_URL"] = cluster.url
    return (yield)


def pytest_report_header() -> str:
    """Say in the head of the run which database it is for."""
    return f"database: {os.environ['PRATIQUE_TEST_DATABASE']}"

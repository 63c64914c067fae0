"""A throw-away PostgreSQL: its own cluster in a temporary folder, on a Unix socket, not run by root."""

import getpass
import os
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

import psycopg

SERVER_USER = "postgres"
_SETTINGS = {
    "listen_addresses": "''",
    "max_connections": "120",
    "shared_buffers": "64MB",
}


class NoServer(RuntimeError):
    """PostgreSQL's server isn't installed."""


def program(name: str) -> str:
    """Path of one of the server's programs, which Debian keeps off the path. Raises NoServer."""
    found = shutil.which(name)
    if found is not None:
        return found
    for folder in sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True):
        if (folder / name).exists():
            return str(folder / name)
    raise NoServer(f"{name} is not there; install Debian's package postgresql")


class Cluster:
    """One running server. ``safe`` has it write through to the disk at each commit, as a real one does."""

    def __init__(self, *, safe: bool = True) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="kerfsmith-pg-"))
        self._user = SERVER_USER if os.geteuid() == 0 else None
        if self._user is not None:
            shutil.chown(self.folder, self._user)
        self._data = self.folder / "data"
        made = ("-D", str(self._data), "-U", "kerfsmith", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
        self._run("initdb", *made)
        settings = _SETTINGS | {"unix_socket_directories": f"'{self.folder}'"}
        settings |= {} if safe else {"fsync": "off", "synchronous_commit": "off"}
        with (self._data / "postgresql.conf").open("a") as config:
            config.writelines(f"{name} = {value}\n" for name, value in settings.items())
        self._made = 0
        self.start()

    def _run(self, name: str, *words: str) -> None:
        done = subprocess.run(
            [program(name), *words],
            user=self._user,
            capture_output=True,
            text=True,
            cwd=self.folder,
            env={"PATH": os.environ["PATH"], "LC_ALL": "C", "USER": self._user or getpass.getuser()},
        )
        if done.returncode:
            raise RuntimeError(f"{name}: {done.stdout}{done.stderr}")

    def start(self) -> None:
        """Start the server and wait until it answers."""
        self._run("pg_ctl", "-D", str(self._data), "-l", str(self.folder / "log"), "-w", "-t", "60", "start")

    def stop(self) -> None:
        """Stop the server as a shut-down machine does."""
        self._run("pg_ctl", "-D", str(self._data), "-m", "fast", "-w", "stop")

    def kill(self) -> None:
        """Kill the server with all its processes at once (signal 9), then start it again."""
        pid = int((self._data / "postmaster.pid").read_text().split()[0])
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
        for process in (pid, *map(int, children)):
            try:
                os.kill(process, signal.SIGKILL)
            except ProcessLookupError:
                continue
        while Path(f"/proc/{pid}").exists() and _state(pid) != "Z":
            time.sleep(0.01)
        (self._data / "postmaster.pid").unlink(missing_ok=True)
        self._start_when_free()

    def _start_when_free(self) -> None:
        # Killed back-ends may hold the shared memory a moment longer.
        for left in reversed(range(20)):
            try:
                self.start()
                return
            except RuntimeError:
                if not left:
                    raise
                time.sleep(0.2)

    def close(self) -> None:
        """Stop the server and take everything away."""
        try:
            self._run("pg_ctl", "-D", str(self._data), "-m", "immediate", "-w", "stop")
        finally:
            shutil.rmtree(self.folder, ignore_errors=True)

    def database(self, template: str = "template1") -> str:
        """Make a database; its name."""
        self._made += 1
        name = f"shop_{self._made}"
        with psycopg.connect(self._dsn("postgres"), autocommit=True) as connection:
            # Copying the files takes half the work of writing the copy to the log first.
            made = f'CREATE DATABASE "{name}" TEMPLATE "{template}" STRATEGY FILE_COPY'
            connection.execute(made.encode())
        return name

    def drop(self, name: str) -> None:
        """Take a database away, whoever is connected to it."""
        with psycopg.connect(self._dsn("postgres"), autocommit=True) as connection:
            connection.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)'.encode())

    def _dsn(self, name: str) -> str:
        return f"host={self.folder} user=kerfsmith dbname={name}"

    def url(self, name: str) -> str:
        """URL of one of its databases, as `kerfsmith serve --records` takes it."""
        return f"postgresql+psycopg://kerfsmith@/{name}?host={self.folder}"


def _state(pid: int) -> str:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except FileNotFoundError:
        return "Z"

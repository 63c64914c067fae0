"""Fresh records for each test, on SQLite and on PostgreSQL: fixtures for a folder's conftest."""

import atexit
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from benchmarks.records.cluster import Cluster
from sqlalchemy import Engine

from kerfsmith.records.opening import make_engine, open_engine
from kerfsmith.records.store import Store

KINDS = ("sqlite", "postgresql")


@dataclass
class Databases:
    """Makes empty records by copying some that were made once."""

    folder: Path
    cluster: Cluster
    template: str
    made: int = 0

    def fresh(self, kind: str) -> Iterator[str]:
        """URL of empty records, which are taken away afterwards."""
        if kind == "sqlite":
            self.made += 1
            path = self.folder / f"shop-{self.made}.sqlite"
            shutil.copy(self.folder / "template.sqlite", path)
            yield f"sqlite:///{path}"
            for file in self.folder.glob(f"{path.name}*"):
                file.unlink()
        else:
            name = self.cluster.database(self.template)
            yield self.cluster.url(name)
            self.cluster.drop(name)


@cache
def databases() -> Databases:
    """Both databases, started at their first use and ended with the process."""
    folder = Path(tempfile.mkdtemp(prefix="kerfsmith-tests-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    cluster = Cluster(safe=False)
    atexit.register(cluster.close)
    open_engine(f"sqlite:///{folder / 'template.sqlite'}").dispose()
    template = cluster.database()
    open_engine(cluster.url(template)).dispose()
    return Databases(folder, cluster, template)


@pytest.fixture(params=KINDS)
def url(request: pytest.FixtureRequest) -> Iterator[str]:
    """URL of empty records."""
    yield from databases().fresh(request.param)


@pytest.fixture
def engine(url: str) -> Iterator[Engine]:
    """Engine over empty records, whose schema is the copied one's."""
    engine = make_engine(url)
    yield engine
    engine.dispose()


@pytest.fixture
def store(engine: Engine) -> Store:
    """Empty records."""
    return Store(engine)

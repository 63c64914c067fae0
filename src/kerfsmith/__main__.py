"""`python -m kerfsmith`."""

from kerfsmith.cli.main import run

run()

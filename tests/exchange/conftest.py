"""Random cases run without a clock: a busy machine is no fault of the program."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

"""How tests that draw their cases draw them: the same ones at every run, so that a check means the same
everywhere. ``pytest --hypothesis-profile search`` draws others, to look for what nobody has met yet."""

from hypothesis import settings

settings.register_profile("same", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None, print_blob=True)
settings.load_profile("same")

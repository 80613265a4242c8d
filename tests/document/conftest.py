"""Property tests are not timed: a slow machine is not a fault."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

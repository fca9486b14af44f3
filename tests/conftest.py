"""The same random examples on every run, however slow the machine; soaks look further."""

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")

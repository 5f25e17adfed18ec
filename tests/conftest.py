"""Settings for every test."""

from __future__ import annotations

import os

from hypothesis import settings

# No deadline: a busy machine is slow and not wrong. The same examples at every run, so that no
# unrelated change fails; FAIRLEAD_EXPLORE=1 looks for new ones, ten times as many.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None, max_examples=1000)
settings.load_profile("explore" if "FAIRLEAD_EXPLORE" in os.environ else "steady")

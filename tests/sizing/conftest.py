"""How hypothesis runs here."""

from hypothesis import settings

# No deadline: the first example pays for pint's registry, and a busy machine is no fault.
settings.register_profile("sizing", deadline=None)
settings.load_profile("sizing")

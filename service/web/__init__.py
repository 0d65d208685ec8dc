"""The web: the only part of the service that knows HTTP."""

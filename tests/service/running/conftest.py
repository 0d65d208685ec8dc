"""The mail server of the tests of sending, here too."""

from tests.service.sending.conftest import office

__all__ = ["office"]

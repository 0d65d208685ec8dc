"""How long the tests wait for what a person would not wait for."""

from collections.abc import Iterator

import pytest

from service import errands


@pytest.fixture(scope="session", autouse=True)
def patience() -> Iterator[None]:
    """A request waits for its long work, however slow the machine is.

    What is shown meanwhile has tests of its own, which wait for less.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(errands, "WAIT", 60.0)
        yield

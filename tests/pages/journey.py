"""A visitor whose inputs are counted: each typed field, each choice and each press is one."""

from dataclasses import dataclass

from playwright.sync_api import Locator


@dataclass
class Journey:
    """Counts what the maker has to do."""

    inputs: int = 0

    def press(self, one: Locator) -> None:
        """Press a button or a link."""
        self.inputs += 1
        one.click()

    def write(self, one: Locator, text: str) -> None:
        """Type into a field."""
        self.inputs += 1
        one.fill(text)

    def choose(self, one: Locator, label: str) -> None:
        """Choose from a list."""
        self.inputs += 1
        one.select_option(label=label)

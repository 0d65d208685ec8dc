"""A page read as a browser without script reads it: its forms, labels, and what it says."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"input", "meta", "link", "br", "hr", "img", "path", "circle", "rect"}


@dataclass
class Element:
    """An element: its tag, attributes, children and the text directly in it."""

    tag: str
    attrs: dict[str, str]
    parent: "Element | None" = None
    parts: list["Element | str"] = field(default_factory=list)

    @property
    def text(self) -> str:
        """All text inside, spaces tidied."""
        texts = (part if isinstance(part, str) else part.text for part in self.parts)
        return " ".join("".join(texts).split())

    @property
    def raw(self) -> str:
        """All text inside, as it is."""
        return "".join(part if isinstance(part, str) else part.raw for part in self.parts)

    def all(self, *tags: str) -> list["Element"]:
        """All elements inside with one of some tags."""
        found = []
        for part in self.parts:
            if isinstance(part, Element):
                found += [part] if not tags or part.tag in tags else []
                found += part.all(*tags)
        return found

    def inside(self, tag: str) -> bool:
        """Whether it stands in an element with a tag."""
        return self.parent is not None and (self.parent.tag == tag or self.parent.inside(tag))


class Reader(HTMLParser):
    """Builds the tree of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.root = Element("", {})
        self.here = self.root

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        made = Element(tag, {name: value or "" for name, value in attrs}, self.here)
        if tag == "option" and self.here.tag == "option":
            assert self.here.parent
            made.parent = self.here = self.here.parent
        self.here.parts.append(made)
        if tag not in VOID:
            self.here = made

    def handle_endtag(self, tag: str) -> None:
        at: Element | None = self.here
        while at and at.tag != tag:
            at = at.parent
        if at and at.parent:
            self.here = at.parent

    def handle_data(self, data: str) -> None:
        self.here.parts.append(data)


@dataclass(frozen=True)
class PageForm:
    """A form: where it goes, and what it would send as it stands."""

    action: str
    method: str
    values: dict[str, list[str]]

    def with_(self, **changes: str | list[str]) -> dict[str, list[str]]:
        """The values with some changed; `__` in a name stands for a dot."""
        changed = {
            name.replace("__", "."): [value] if isinstance(value, str) else value
            for name, value in changes.items()
        }
        return self.values | changed


def _values(form: Element) -> dict[str, list[str]]:
    values: dict[str, list[str]] = {}
    for one in form.all("input", "select", "textarea"):
        name, kind = one.attrs.get("name", ""), one.attrs.get("type", "")
        if kind in {"checkbox", "radio"} and "checked" not in one.attrs:
            continue
        value = one.attrs.get("value", "")
        if one.tag == "select":
            options = one.all("option")
            chosen = [option for option in options if "selected" in option.attrs] or options[:1]
            value = chosen[0].attrs["value"] if chosen else ""
        elif one.tag == "textarea":
            value = one.raw.removeprefix("\n")
        values.setdefault(name, []).append(value)
    return values


class Page:
    """A page, read."""

    def __init__(self, html: str) -> None:
        reader = Reader()
        reader.feed(html)
        reader.close()
        self.html = html
        self.root = reader.root

    @property
    def text(self) -> str:
        """All that the page says."""
        return self.root.all("body")[0].text

    @property
    def heading(self) -> str:
        """The page's heading."""
        return self.root.all("h1")[0].text

    def by_id(self, name: str) -> Element:
        """The element with an id."""
        found = [one for one in self.root.all() if one.attrs.get("id") == name]
        assert len(found) == 1, f"{len(found)} elements have the id {name}"
        return found[0]

    def section(self, name: str) -> str:
        """The text of the section whose heading has an id."""
        section = self.by_id(name).parent
        assert section
        return section.text

    def said(self, name: str) -> str:
        """What stands beside a field."""
        return self.by_id(f"said-{name}").text

    def links(self) -> list[str]:
        """Where the links lead."""
        return [one.attrs.get("href", "") for one in self.root.all("a")]

    def form(self, action: str = "") -> PageForm:
        """The form that goes to an address whose end is given, the first of them."""
        for one in self.root.all("form"):
            where = one.attrs.get("action", "")
            if one.attrs.get("method") == "post" and where.endswith(action):
                return PageForm(where, "post", _values(one))
        message = f"there is no form to {action}"
        raise AssertionError(message)

    def forms(self, action: str) -> list[PageForm]:
        """All forms to an address whose end is given."""
        return [
            PageForm(one.attrs["action"], one.attrs["method"], _values(one))
            for one in self.root.all("form")
            if one.attrs.get("action", "").endswith(action)
        ]

    def unlabelled(self) -> list[str]:
        """The inputs that no label belongs to."""
        labels = {one.attrs.get("for") for one in self.root.all("label")}
        return [
            one.attrs.get("name", "?")
            for one in self.root.all("input", "select", "textarea")
            if one.attrs.get("type") != "hidden"
            and one.attrs.get("id") not in labels
            and not one.inside("label")
        ]

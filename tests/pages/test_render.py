"""Templates: each is read once."""

from collections import Counter
from threading import Barrier, Thread

from jinja2 import Environment, Template

from service.web.pages.render import Once, environment


class Counting(Environment):
    """Counts how often each template is compiled."""

    compiled: Counter[str | None]

    def compile(self, source, name=None, filename=None, raw=False, defer_init=False):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN201, FBT002
        self.compiled[name] += 1
        return super().compile(source, name, filename, raw, defer_init)


def test_pages_that_first_ask_together_read_a_template_once() -> None:
    counting = Counting(loader=Once("service.web"))
    counting.filters.update(environment().filters)
    counting.compiled = Counter()
    start, found = Barrier(4), list[Template]()

    def ask() -> None:
        start.wait()
        found.extend(counting.get_template(name) for name in ("order.html", "base.html"))

    threads = [Thread(target=ask) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert counting.compiled == {"order.html": 1, "base.html": 1}
    assert len(found) == 8
    assert {one.name for one in found} == {"order.html", "base.html"}

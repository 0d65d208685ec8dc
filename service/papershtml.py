"""Papers as HTML, from the same views as the PDFs: for a mail and for a page.

One file without script, picture or address in it: whatever opens it shows it, also offline and
to a screen reader, in the reader's own size of type.
"""

from base64 import b64encode
from functools import cache
from hashlib import sha256

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from documents.care_view import CareView


@cache
def _environment() -> Environment:
    """Return the templates' environment; all text is escaped."""
    return Environment(
        loader=PackageLoader("service", "templates/papers"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


@cache
def _style() -> str:
    return _environment().get_template("paper.css").render()


@cache
def policy() -> str:
    """Return the Content-Security-Policy for a page with a paper: its own style, nothing else."""
    digest = b64encode(sha256(_style().encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none';"
        " frame-ancestors 'none'"
    )


def care_html(view: CareView) -> str:
    """Return the care and supervision sheet as a whole HTML document, UTF-8."""
    style = Markup(_style())  # noqa: S704 - our own file, and the policy names its hash
    return _environment().get_template("care.html").render(view=view, style=style)

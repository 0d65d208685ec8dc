"""Papers as HTML, from the same views as the PDFs: for a mail and for a page.

One file without script, picture or address in it: whatever opens it shows it, also offline and
to a screen reader, in the reader's own size of type.
"""

from base64 import b64encode
from functools import cache
from hashlib import sha256

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from documents.bill_view import BillView
from documents.care_view import CareView
from documents.dog_drawing import dog_svg
from documents.guide_view import GuideView
from documents.label_view import LabelView
from documents.parcel_view import ParcelView
from documents.size_view import SizeView


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


def _page(name: str, view: object, **more: object) -> str:
    """Return a paper as a whole HTML document, UTF-8."""
    style = Markup(_style())  # noqa: S704 - our own file, and the policy names its hash
    return _environment().get_template(name).render(view=view, style=style, **more)


def care_html(view: CareView) -> str:
    """Return the care and supervision sheet."""
    return _page("care.html", view)


def bill_html(view: BillView) -> str:
    """Return a quote, an invoice or a credit note."""
    return _page("bill.html", view)


def guide_html(view: GuideView) -> str:
    """Return the measuring guide, with the dog and its tapes."""
    picture = Markup(dog_svg())  # noqa: S704 - our own drawing, without a typed text
    return _page("guide.html", view, picture=picture)


def parcel_html(view: ParcelView) -> str:
    """Return the parcel slip."""
    return _page("parcel.html", view)


def labels_html(view: LabelView) -> str:
    """Return the labels."""
    return _page("labels.html", view)


def sizes_html(view: SizeView) -> str:
    """Return the sheet of stock sizes."""
    return _page("sizes.html", view)

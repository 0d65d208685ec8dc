"""What a PDF says of itself: to a reader's window, to a search, to a screen reader."""

from typing import TYPE_CHECKING, Any, Final
from xml.sax.saxutils import escape

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

PROGRAM: Final = "Hoodwright"
# The signs are those that ISO 16684-1 asks for, the number is always this one.
_PACKET: Final = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""


def describe(canvas: "Canvas", title: str, author: str, subject: str, language: str) -> None:
    """Write title, author, subject and language into a PDF, both ways that readers look for."""
    from reportlab.pdfbase.pdfdoc import XMP  # noqa: PLC0415 - drawing alone needs it

    canvas.setTitle(title)
    canvas.setAuthor(author)
    canvas.setSubject(subject)
    canvas.setCreator(PROGRAM)
    canvas.setViewerPreference("DisplayDocTitle", "true")
    said = {"title": title, "author": author, "subject": subject, "language": language}
    packet = _PACKET.format_map({name: escape(value) for name, value in said.items()}).encode()
    inside: Any = canvas  # the types know nothing of the document
    inside._doc.Catalog.Metadata = XMP(  # noqa: SLF001 - no public way to it
        creator=lambda _document: packet
    )

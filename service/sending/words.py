"""The wording of the mails that we bring along, as templates in the maker's small language.

`{{ whom }}` is the dog as the one to whom something is done, which some languages write otherwise.
`{{ name }}` and `{% ... %}` stay as they are in every translation.
"""

from typing import Final, NamedTuple

from documents.language import Language, mark


class Wording(NamedTuple):
    """A subject and the paragraphs of a mail, each with the value it needs, or nothing."""

    subject: str
    paragraphs: tuple[tuple[str, str], ...]


class Source(NamedTuple):
    """The templates of one mail."""

    subject: str
    text: str
    html: str


_HELLO: Final = ("", mark("Dear {{ buyer }},"))
CAUTIONS: Final = mark(
    "Please read the sheet before the hood is worn the first time. Stay with the dog, never let"
    " it sleep in the hood, and take the hood off at once if the dog is not at ease. In doubt ask"
    " your vet. If yarn was swallowed, call the vet at once."
)
_CAUTIONS: Final = ("", CAUTIONS)
_CONFIRM: Final = (
    "confirm_link",
    mark("When you have read the cautions, please confirm it here: {{ confirm_link }}"),
)
_QUESTIONS: Final = ("", mark("If anything is unclear, just answer this mail."))
_BYE: Final = ("", mark("Kind regards"))
_SIGNED: Final = ("shop", "{{ shop }}")

WORDINGS: Final = {
    "care": Wording(
        mark("How to use the hood for {{ whom }} safely"),
        (
            _HELLO,
            (
                "",
                mark(
                    "here is the care and supervision sheet of the hood for {{ whom }} (order"
                    " {{ number }})."
                ),
            ),
            _CAUTIONS,
            _CONFIRM,
            _QUESTIONS,
            _BYE,
            _SIGNED,
        ),
    ),
    "quote": Wording(
        mark(
            "Your quote: {% if hoods %}{{ hoods }} hoods{% else %}a hood{% endif %} for {{ whom }}"
        ),
        (
            _HELLO,
            (
                "",
                mark(
                    "thank you for asking about {% if hoods %}{{ hoods }} hoods{% else %}a"
                    " hood{% endif %} for {{ whom }}."
                ),
            ),
            (
                "price",
                mark(
                    "The price is {{ price }}{% if hoods %} for all of them{% endif %}. What it is"
                    " made of stands in the quote attached."
                ),
            ),
            (
                "due",
                mark("{% if hoods %}They{% else %}It{% endif %} could be ready by {{ due }}."),
            ),
            ("", mark("To order, please answer this mail.")),
            _BYE,
            _SIGNED,
        ),
    ),
    "guide": Wording(
        mark("How to measure {{ whom }} for a hood"),
        (
            _HELLO,
            (
                "",
                mark(
                    "the guide attached shows where to lay the tape on {{ whom }}. Please measure"
                    " twice, and send me the numbers with their unit."
                ),
            ),
            _QUESTIONS,
            _BYE,
            _SIGNED,
        ),
    ),
    "on-its-way": Wording(
        mark("The hood for {{ whom }} is on its way"),
        (
            _HELLO,
            (
                "",
                mark(
                    "the hood for {{ whom }} (order {{ number }}) is finished and on its way to"
                    " you."
                ),
            ),
            _CAUTIONS,
            _CONFIRM,
            _QUESTIONS,
            _BYE,
            _SIGNED,
        ),
    ),
}


def _text(value: str, said: str) -> str:
    return f"{{% if {value} %}}\n{said}\n\n{{% endif %}}\n" if value else f"{said}\n\n"


def _html(value: str, said: str) -> str:
    for link in ("confirm_link",):
        said = said.replace(
            f"{{{{ {link} }}}}", f'<a href="{{{{ {link} }}}}">{{{{ {link} }}}}</a>'
        )
    line = f"<p>{said}</p>"
    return f"{{% if {value} %}}\n{line}\n{{% endif %}}\n" if value else f"{line}\n"


def default_source(kind: str, language: Language) -> Source:
    """Return the templates of a mail as we bring them along."""
    wording = WORDINGS[kind]
    said = [(value, language.say(text)) for value, text in wording.paragraphs]
    return Source(
        subject=language.say(wording.subject),
        text="".join(_text(*one) for one in said),
        html="".join(_html(*one) for one in said),
    )

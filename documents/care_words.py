"""What the buyer is told, in plain words: short sentences that a twelve-year-old can read.

The paper cites nothing; where a sentence rests on a source, it stands beside it here.
`{dog}` is the dog as the one who does something and `{whom}` as the one to whom it is done,
because other languages change the word. Care is told in words and never in the usual symbols,
because those are registered trademarks.
"""

from typing import Final

from documents.language import mark
from sizing.dogs import Risk
from sizing.yarns import Fibre

HEADING: Final = mark("{dog}\u2019s hood")
HEADING_UNNAMED: Final = mark("Your dog\u2019s hood")
TITLE: Final = mark("{heading}: care and supervision")
SUBHEADING: Final = mark("How to use it safely and keep it well")
# Translators: stands for {dog}, the one who does something; the dog has no name given.
UNNAMED: Final = mark("your dog")
# Translators: stands for {whom}, the one to whom it is done (in German: accusative).
UNNAMED_WHOM: Final = mark("the dog")

STAY_TITLE: Final = mark("Stay with your dog")
NEVER: Final = (
    mark("Never leave {whom} alone in the hood."),
    mark("Never let {whom} sleep in it."),
    # Carter, Roshier, McNally 2020, Vet Rec 187(7):e52: no collar pressed little enough on a
    # neck to be safe under a pulling lead.
    mark("Never clip a lead to it or hold {whom} by it."),
    # Hall, Carter, O'Neill 2020, Animals 10(8):1324: exertion was the trigger in 74.2 percent
    # of 1,259 cases of heat illness. Hall et al. 2022, Vet Sci 9(5):231: half of the days with
    # a case were no warmer than 16.9 degrees. So mild days and play are named.
    mark("Never in the heat, in a warm car or in hard play, even on mild days."),
)

# Signs of stress: a vet charity's list of lip licking, yawning, panting when not warm; what
# a swallowed or tight yarn does first: pawing, gagging.
SIGNS_TITLE: Final = mark("Take it off at once if")
SIGNS: Final = (
    mark(
        "{dog} paws or pulls at it, pants, breathes hard, licks the lips, yawns, gags, coughs,"
        " whines, stands stiff or hides."
    ),
    mark("The ears are red, or the ears or the hood are wet."),
)

OWN_TITLE: Final = mark("Just for {whom}")
OWN_TITLE_UNNAMED: Final = mark("Just for your dog")
# The order in which they are told: breath first.
RISKS: Final = {
    # Bailey, Packer, Wills 2025, Vet Med Sci 11(3): even a still collar raised the eye
    # pressure of short-nosed dogs. J Vet Intern Med 2016;30:853-865: 40 to 60 percent of
    # pugs and bulldogs studied had trouble breathing. Davis, Cummings, Payton 2017, JAVMA
    # 251(10):1160: they shed heat less well than other dogs.
    Risk.SHORT_NOSED: mark(
        "Short nose: a few minutes, and only where it is cool. Loud breath: hood off."
    ),
    # Who: Hall, Carter, O'Neill 2020, Sci Rep 10:9128: breeds, and dogs over 50 kg. How warm:
    # Hall et al. 2022, Vet Sci 9(5):231: the median of the days with a case was 16.9 °C
    # (62.4 °F); rounded down in both scales. That a hood makes it worse is our inference.
    Risk.HEAT: mark("{dog} gets hot fast. Outdoors only below 16 °C (60 °F), indoors briefly."),
    Risk.THICK_COAT: mark("A thick coat is warm already. Keep it brief. Comb the coat after."),
    # Pauli et al. 2006, JAAHA 42:207-211: no neck pressure for dogs with weak eyes.
    Risk.EYE_OR_THROAT: mark(
        "Eyes or throat: ask your vet before the first time. Nothing may press there."
    ),
    # O'Neill et al. 2021, Canine Med Genet 8:7: hanging ears have 1.8 times the odds of ear
    # trouble; that covered ears fare worse is our inference.
    Risk.EAR_TROUBLE: mark(
        "Ears: let them dry before and after. Sore or smelly: no hood, and ask the vet."
    ),
    Risk.PUPPY: mark("A puppy grows. Check the fit each week. Stop when it gets tight."),
    Risk.CHEWER: mark("{dog} likes to chew. Watch the hood. Then put it out of reach at once."),
}

PUT_ON_TITLE: Final = mark("On and off")
# Two fingers under a collar: common practice, no authoritative source was found.
PUT_ON: Final = (
    mark(
        "To put it on, gather it like a sock. Pull it over nose and head until the face looks"
        " out. Lay the ears flat. Two fingers must slide under the collar all round."
    ),
    mark("To take it off, widen the collar with both hands and roll it forward over the ears."),
)
BUTTONED: Final = (
    mark(
        "To put it on, open the buttons. Slip it over the head until the face looks out. Lay the"
        " ears flat. Close the buttons. Two fingers must slide under the collar all round."
    ),
    mark("To take it off, open all buttons first, then roll it forward over the ears."),
)
# A welfare charity (statement on dressing up pets): clothes must not keep a dog from moving
# its ears. A hood does, so the owner is told.
COVERED_EARS: Final = mark("{dog} hears less in it and cannot move the ears: stay in sight.")

FIRST_TITLE: Final = mark("The first times")
FIRST_TIMES: Final = (
    mark(
        "Start at home with two or three minutes, praise and a treat. Stop while {dog} is still"
        " at ease. Add a little each day."
    ),
)

# Evans, Smeak, Biller 1994, JAAHA 30(5):445-450: of 32 dogs with a swallowed thread 13 had
# peritonitis. Pulling a thread that is caught inside cuts the gut: common veterinary advice.
CHECKS_TITLE: Final = mark("Check it each week")
CHECKS: Final = (
    mark("Look for loose ends, holes and chewed spots. Have it mended or stop using it."),
)
# Small parts choke: a vet charity's advice on dressing dogs.
BUTTONS_FAST: Final = mark("Pull at each button: it must be fast. A dog can swallow a button.")
SEWN_ON: Final = mark(
    "Sewn-on shapes can be chewed off. Pull at each one. Mend a loose one first."
)
SWALLOWED_TITLE: Final = mark("Swallowed yarn is an emergency: call the vet at once")
SWALLOWED_PIECE_TITLE: Final = mark(
    "A swallowed thread or piece is an emergency: call the vet at once"
)
SWALLOWED: Final = (mark("Never pull on a yarn that hangs from mouth or bottom."),)

WASH_TITLE: Final = mark("Wash it")
_WOOLLY: Final = mark(
    "Wash by hand in cool water with a mild wool soap. Do not rub or wring. Press it in a"
    " towel. Dry it flat, never in a dryer."
)
_WEAK_WHEN_WET: Final = mark(
    "Wash cool, 30 °C (86 °F), gentle, in a wash bag. Do not wring: it is weak when wet. Dry"
    " it flat, never in a dryer. Do not iron."
)
_PLASTIC: Final = mark(
    "Machine wash at 30 °C (86 °F), gentle, inside out. No bleach, no softener. Dry it flat."
    " No dryer, no iron: heat spoils the yarn for good."
)
_PLANT: Final = mark(
    "Machine wash at 30 °C (86 °F), gentle. No bleach, no softener. Pull it into shape and"
    " dry it flat. No dryer: it shrinks."
)

WASHING: Final = (
    # The most delicate first: the first fibre of this list that is in the yarn decides.
    # Wool, acrylic, cotton, polyester: household laundry guides; the others from memory,
    # always on the gentle side.
    (frozenset({Fibre.SILK, Fibre.CASHMERE, Fibre.MOHAIR, Fibre.ALPACA, Fibre.WOOL}), _WOOLLY),
    (frozenset({Fibre.VISCOSE, Fibre.MODAL, Fibre.LYOCELL}), _WEAK_WHEN_WET),
    (frozenset({Fibre.ACRYLIC, Fibre.ELASTANE, Fibre.POLYAMIDE, Fibre.POLYESTER}), _PLASTIC),
    (frozenset({Fibre.COTTON, Fibre.LINEN}), _PLANT),
)

NO_MEDICAL_DEVICE: Final = mark("Not a medical device: ask your vet.")
LAW: Final = mark("Local law decides on your rights.")
HOOD: Final = mark("Hood {hood}")


def washing(fibres: tuple[tuple[Fibre, int], ...]) -> str:
    """Return the washing words, in English, of the most delicate fibre of a yarn."""
    inside = frozenset(fibre for fibre, _ in fibres)
    return next(words for group, words in WASHING if group & inside)

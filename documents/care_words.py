"""What the buyer is told, in plain words: short sentences that a twelve-year-old can read.

The paper cites nothing; where a sentence rests on a source, it stands beside it here.
`{dog}` is the dog's name. Care is told in words and never in the usual symbols, because
those are registered trademarks.
"""

from typing import Final

from sizing.dogs import Risk
from sizing.yarns import Fibre

NEVER: Final = (
    "Never leave {dog} alone in the hood.",
    "Never let {dog} sleep in it.",
    # Carter, Roshier, McNally 2020, Vet Rec 187(7):e52: no collar pressed little enough on a
    # neck to be safe under a pulling lead.
    "Never clip a lead to it or hold {dog} by it.",
    # Hall, Carter, O'Neill 2020, Animals 10(8):1324: exertion was the trigger in 74.2 percent
    # of 1,259 cases of heat illness. Hall et al. 2022, Vet Sci 9(5):231: half of the days with
    # a case were no warmer than 16.9 degrees. So mild days and play are named.
    "Never in heat, in a warm car or in hard play, even on mild days.",
)

PUT_ON: Final = (
    (
        "On: gather it like a sock. Pull it over nose and head until the face looks out. Lay the"
        " ears flat. Your fingers must slide under the collar all round."
    ),
    "Off: widen the collar with both hands and roll it forward over the ears.",
)

FIRST_TIMES: Final = (
    (
        "Start at home with two or three minutes, praise and a treat. Stop while {dog} is still"
        " at ease. Add a little each day."
    ),
)

# Signs of stress: a vet charity's list of lip licking, yawning, panting when not warm; what
# a swallowed or tight yarn does first: pawing, gagging.
SIGNS: Final = (
    (
        "{dog} paws or pulls at it, pants, licks the lips, yawns, gags, coughs, stands stiff or"
        " hides. Also if the ears are red, or ears or hood are wet."
    ),
)

# The order in which they are told: breath first.
RISKS: Final = {
    # Bailey, Packer, Wills 2025, Vet Med Sci 11(3): even a still collar raised the eye
    # pressure of short-nosed dogs. J Vet Intern Med 2016;30:853-865: 40 to 60 percent of
    # pugs and bulldogs studied had trouble breathing.
    Risk.SHORT_NOSED: "Short noses lose heat badly. Keep it to a few minutes. Listen to the"
    " breath: if it gets loud, take the hood off.",
    # Hall, Carter, O'Neill 2020, Sci Rep 10:9128: breeds and dogs over 50 kg at risk.
    Risk.HEAT: "{dog} gets too hot sooner than most dogs. Use the hood only when it is cold.",
    Risk.THICK_COAT: "A thick coat is warm already. Keep it brief. Comb the coat after.",
    # Pauli et al. 2006, JAAHA 42:207-211: no neck pressure for dogs with weak eyes.
    Risk.EYE_OR_THROAT: "Eyes or throat: ask your vet before the first time. Nothing may press"
    " there.",
    # O'Neill et al. 2021, Canine Med Genet 8:7: hanging ears have 1.8 times the odds of ear
    # trouble; that covered ears fare worse is our inference.
    Risk.EAR_TROUBLE: "Ears: let them dry before and after. Sore or smelly ears: no hood, and"
    " ask the vet.",
    Risk.PUPPY: "A puppy grows. Check the fit each week. Stop when it gets tight.",
    Risk.CHEWER: "{dog} likes to chew. Watch the hood. Then put it out of reach at once.",
}

# Evans, Smeak, Biller 1994, JAAHA 30(5):445-450: of 32 dogs with a swallowed thread 13 had
# peritonitis. Pulling a thread that is caught inside cuts the gut: common veterinary advice.
CHECKS: Final = ("Look for loose ends, holes and chewed spots. Have it mended or stop using it.",)
SWALLOWED: Final = ("Never pull on a yarn that hangs from mouth or bottom.",)

_WOOLLY: Final = (
    "Wash by hand in cool water with a mild wool soap. Do not rub or wring. Press it in a"
    " towel. Dry it flat, never in a dryer."
)
_WEAK_WHEN_WET: Final = (
    "Wash cool, 30 °C (86 °F), gentle, in a wash bag. Do not wring: it is weak when wet. Dry"
    " it flat, never in a dryer. Do not iron."
)
_PLASTIC: Final = (
    "Machine wash at 30 °C (86 °F), gentle, inside out. No bleach, no softener. Dry it flat."
    " No dryer, no iron: heat spoils the yarn for good."
)
_PLANT: Final = (
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

NO_MEDICAL_DEVICE: Final = "Not a medical device: ask your vet."
LAW: Final = "Local law decides on your rights."


def washing(fibres: tuple[tuple[Fibre, int], ...]) -> str:
    """Return the washing words of the most delicate fibre of a yarn."""
    inside = frozenset(fibre for fibre, _ in fibres)
    return next(words for group, words in WASHING if group & inside)

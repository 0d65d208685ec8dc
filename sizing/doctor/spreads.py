"""The numbers that the doctor's picture of dogs is made of, each with its origin.

All spreads are standard deviations of natural logs: 0.10 is about ten percent.
"""

from typing import Final

from sizing.dogs import Field, HeadType
from sizing.evidence import Fact, Origin, derived

_LOG_SD: Final = "SD of the natural log"

_GIRTHS = derived(
    "middle, as a ratio, of a band set by judgement round the few published girths: skull 13.3"
    " Akbash and 14.1 Kangal (Tepeli and Çetin 2003), 16.2 Chesapeake, 17.4 Dogue, 18.0 Ca de Bou"
    " (FCI-Standards 263, 116, 249), neck at most 14.9 Lagotto (298); five or six breeds, thin;"
    " no toy, terrier, spaniel or sighthound was found"
)
_NAPE = derived(
    "0.55 of a head length of 8.3 W^(1/3), the middle of 7.6 to 9.0 in FCI standards; 4 1/2 in"
    " beside a 14 in neck (common practice, no source) gives 4.7; no nape length is published"
)
_COLLAR = derived(
    "0.85 of the head for the neck (FCI standards, 0.65 to 1.05), 0.58 of the neck for the"
    " collar (middle, as a ratio, of a third to all of it); the owner chooses it, so it is loose"
)


def _per_head(long: float, medium: float, short: float, mastiff: float, origin: Origin) -> tuple[
    Fact, ...
]:  # fmt: skip
    return tuple(
        Fact(k, "cm per kg^(1/3), at 30 kg", origin) for k in (long, medium, short, mastiff)
    )


def _one(k: float, origin: Origin) -> tuple[Fact, ...]:
    return _per_head(k, k, k, k, origin)


HEADS: Final = (HeadType.LONG, HeadType.MEDIUM, HeadType.SHORT, HeadType.MASTIFF)
MIDDLES: Final = {
    Field.NECK_LENGTH: dict(zip(HEADS, _one(4.1, _COLLAR), strict=True)),
    Field.NECK_GIRTH: dict(zip(HEADS, _per_head(13.7, 14.8, 16.5, 16.4, _GIRTHS), strict=True)),
    Field.NAPE_LENGTH: dict(zip(HEADS, _one(4.6, _NAPE), strict=True)),
    Field.FACE_GIRTH: dict(zip(HEADS, _per_head(13.4, 14.8, 16.5, 16.9, _GIRTHS), strict=True)),
}
"""The usual length for a dog of 1 kg by geometric similarity, for each head type."""

_HEAD_GROWTH = derived(
    "between geometric similarity, 1/3 (Casinos et al. 1986, J Morphol 190: long bones of 108"
    " dogs), and 0.287 from Kangal pups to yearlings (Elmaz et al. 2012; Tepeli and Çetin 2003);"
    " braincases grow as W^0.09 (brain as W^0.27), so small dogs have relatively big heads"
)
_BODY_GROWTH = derived("geometric similarity: Casinos et al. 1986, J Morphol 190, 108 dogs")
EXPONENTS: Final = {
    Field.NECK_LENGTH: Fact(1 / 3, "power of the weight", _BODY_GROWTH),
    Field.NECK_GIRTH: Fact(1 / 3, "power of the weight", _BODY_GROWTH),
    Field.NAPE_LENGTH: Fact(0.31, "power of the weight", _HEAD_GROWTH),
    Field.FACE_GIRTH: Fact(0.31, "power of the weight", _HEAD_GROWTH),
}
PIVOT: Final = Fact(
    30, "kg", derived("the weight of the dogs whose girths are published, 15 to 50 kg")
)

STOUT: Final = Fact(
    0.10,
    _LOG_SD,
    derived(
        "what makes neck and head thick together: published skull constants of one head type"
        " spread by 0.10 (13.3, 14.1, 16.2), within breeds 6 to 11 percent (Urosevic et al. 2020)"
    ),
)
LENGTHY: Final = Fact(
    0.08,
    _LOG_SD,
    derived("what makes nape and neck long together: head length, 5 to 10 percent within breeds"),
)
HEAD_UNKNOWN: Final = Fact(
    0.08, _LOG_SD, derived("the spread of the four head types' constants, where none is known")
)
_GIRTH_OWN = derived(
    "neck by skull ran from 0.93 to 1.10 (FCI-Standards 157, 263, 264): 0.04 for each; widened by"
    " a quarter because every breed of them is heavy"
)
OWN: Final = {
    Field.NECK_LENGTH: Fact(
        0.30,
        _LOG_SD,
        derived("evenly between a third of the neck and all of it: log 3 by the root of 12"),
    ),
    Field.NECK_GIRTH: Fact(0.05, _LOG_SD, _GIRTH_OWN),
    Field.NAPE_LENGTH: Fact(
        0.15, _LOG_SD, derived("judgement: its ends are felt, not seen; none is published")
    ),
    Field.FACE_GIRTH: Fact(0.05, _LOG_SD, _GIRTH_OWN),
}
"""How each length of a dog differs from the usual one by itself."""

_MIDDLE_UNSURE = derived("judgement: how far the middle itself may be off; finished orders tell")
MIDDLE_OWN: Final = {
    Field.NECK_LENGTH: Fact(0.10, _LOG_SD, _MIDDLE_UNSURE),
    Field.NECK_GIRTH: Fact(0.05, _LOG_SD, _MIDDLE_UNSURE),
    Field.NAPE_LENGTH: Fact(0.10, _LOG_SD, _MIDDLE_UNSURE),
    Field.FACE_GIRTH: Fact(0.05, _LOG_SD, _MIDDLE_UNSURE),
}
"""How unsure the usual length itself is, before any finished order."""

_TAPE = derived(
    "between 0.9 cm for one person (Bascuñán et al. 2016, Veterinary Evidence 1(2)) and 2.3 cm"
    " for two on girths of 30 to 40 cm, legs not heads: 3 and 6 percent"
)
TAPE_SHARE: Final = Fact(0.04, _LOG_SD, _TAPE)
TAPE_PLACE: Final = Fact(
    5, "mm", derived("judgement: where the tape begins and ends; half of 0.9 cm, on short lengths")
)

WEIGHED: Final = Fact(
    0.15,
    "SD of the natural log of the weight",
    derived("judgement: bathroom scales, and a fat dog's head is that of a lighter dog: 15 %"),
)
BREED_SPAN_SD: Final = Fact(
    5,
    "SD from 0.73 of the lower to 1.78 of the upper limit",
    derived("the range of 100 drawn normally is 5 SD: pugs in J Vet Intern Med 2016;30:853-865"),
)
NOT_A_RANGE: Final = Fact(
    0.25,
    "SD of the natural log of the weight, more",
    derived("judgement: a standard with one figure or a least one does not bound its breed"),
)
ANY_DOG: Final = Fact(
    17.7, "kg", derived("middle, as a ratio, of the middles of the 294 breeds of the table")
)
ANY_DOG_SD: Final = Fact(
    1.0,
    "SD of the natural log of the weight",
    derived("0.78 among the breeds of the table; widened, for pups and for dogs in no table"),
)
OTHER_SIZE: Final = Fact(
    0.9,
    "SD of the natural log of the weight, more",
    derived("pounds for kilograms 0.79, a pup of half its weight 0.69, both ways"),
)

RARE: Final = Fact(
    0.05, "of dogs", derived("judgement: pups, dwarfs, very fat or very thin dogs are real dogs")
)
RARE_WIDER: Final = Fact(1.6, "times the usual spread", derived("judgement, as above"))

HEAD_LENGTH_NAPE: Final = Fact(0.55, "of the head length", _NAPE)
HEAD_LENGTH_NECK: Final = Fact(0.85, "of the head length", _COLLAR)
COLLAR_SHARE: Final = Fact(0.58, "of the neck length", _COLLAR)
BASE_OF_NECK: Final = Fact(
    1.15,
    "times the neck where a collar lies",
    derived(
        "17.0 W^(1/3) close to the shoulder (FCI-Standard 263, the one standard with a neck girth)"
        " by 14.8 for the head type; one breed, thin"
    ),
)
BASE_OF_NECK_SD: Final = Fact(0.07, _LOG_SD, derived("judgement: one breed is no spread"))
MUZZLE: Final = Fact(
    0.58,
    "of the face girth",
    derived(
        "0.50 to 0.67: Chesapeake 0.50, Akbash 0.57, Kangal 0.595, Mastiff 0.60, Dogue almost"
        " 2/3 (FCI-Standards 116, 263, 264; Tepeli and Çetin 2003)"
    ),
)
MUZZLE_SD: Final = Fact(0.075, _LOG_SD, derived("log of 0.67 by 0.50 over four: 2 SD each way"))

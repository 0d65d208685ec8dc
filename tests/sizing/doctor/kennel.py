"""Hand-picked dogs for the doctor's tests: all invented, their numbers plausible."""

from sizing.dogs import Dog, Field, HeadType

N, G, P, F = Field
"""Neck length, neck girth, nape length, face girth."""

Lengths = dict[Field, float]
Case = tuple[Dog, Lengths]

BEAGLE: Case = (Dog("Beagle", 12), {N: 80, G: 345, P: 105, F: 350})
LABRADOR: Case = (Dog("Labrador Retriever", 31), {N: 130, G: 455, P: 145, F: 465})
GREYHOUND: Case = (Dog("Greyhound", 29), {N: 140, G: 400, P: 150, F: 410})
CHIHUAHUA: Case = (Dog("Chihuahua", 2.6), {N: 55, G: 215, P: 65, F: 235})
PUG: Case = (Dog("Pug", 8.4), {N: 75, G: 335, P: 90, F: 340})
MASTIFF: Case = (Dog("Bullmastiff", 55), {N: 150, G: 620, P: 175, F: 640})
MIX: Case = (Dog(weight_kg=18, head=HeadType.MEDIUM), {N: 100, G: 390, P: 120, F: 395})
BREED_ONLY: Case = (Dog("Beagle"), {N: 85, G: 360, P: 105, F: 365})
UNKNOWN: Case = (Dog(), {N: 95, G: 380, P: 115, F: 385})

DOGS = [BEAGLE, LABRADOR, GREYHOUND, CHIHUAHUA, PUG, MASTIFF, MIX, BREED_ONLY, UNKNOWN]
TOLD = DOGS[:7]
"""Those whose size is told well."""

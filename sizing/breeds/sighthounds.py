"""Sighthounds and the hounds of the Mediterranean."""

from typing import Final

from sizing.breeds.shorthand import (
    AKC,
    COAT,
    DROP,
    ERECT,
    HEAT,
    LONG,
    MEDIUM,
    SEMI,
    fci,
    mixed,
    row,
)
from sizing.breeds.types import Breed, Stated

_GALGO: Final = "breed pages of cinopedia.it and galgo-hilfe.de; the standard states no weight"
_SLOUGHI: Final = (
    "Haddam et al. 2024, South African Journal of Animal Science 54(1):135-146; 105 dogs"
)

# fmt: off
BREEDS: Final[tuple[Breed, ...]] = (
    row("Afghan Hound", (22.7, 27.2), (63.5, 68.6), LONG, DROP, AKC, COAT, also=("Afghan",)),
    row("Azawakh", (15, 25), (60, 74), LONG, DROP, fci(307, "15.10.2019")),
    row("Basenji", (9.5, 11), (40, 43), MEDIUM, ERECT, fci(43, "24.01.2000")),
    row("Borzoi", (27.2, 47.6), (68, 85), LONG, SEMI, mixed(AKC, fci(193, "05.11.2019")), COAT,
        also=("Russian Wolfhound", "Russkaya Psovaya Borzaya")),
    row("Cirneco dell'Etna", (8, 13), (44, 50), LONG, ERECT, fci(199, "07.02.2017"),
        also=("Cirneco",), head_length_of_height=(0.40, 0.40), neck_of_head_length=(1, 1),
        facts_cite=fci(199, "07.02.2017")),
    row("Galgo Español", (20, 30), (60, 70), LONG, SEMI, mixed(_GALGO, fci(285, "24.05.2002")),
        also=("Spanish Greyhound", "Galgo")),
    row("Greyhound", (27.2, 31.8), (68.6, 76.2), LONG, SEMI, AKC, HEAT,
        also=("English Greyhound",)),
    row("Ibizan Hound", (20.4, 22.7), (57.1, 69.8), LONG, ERECT, AKC,
        also=("Podenco Ibicenco", "Ibizan Podenco")),
    row("Irish Wolfhound", (40.5, 54.5), (71, 86), LONG, SEMI, fci(160, "02.04.2001"), HEAT,
        also=("Wolfhound",), stated=Stated.LEAST),
    row("Italian Greyhound", (3.2, 6.4), (32, 38), LONG, SEMI, mixed(AKC, fci(200, "17.12.2015")),
        also=("Piccolo Levriero Italiano", "Italian Sighthound", "Iggy"),
        neck_of_head_length=(1, 1), facts_cite=fci(200, "17.12.2015")),
    row("Peruvian Hairless Dog", (4, 30), (25, 65), LONG, ERECT, fci(310, "26.10.2021"),
        also=("Peruvian Inca Orchid", "Perro sin Pelo del Perú"), stated=Stated.SIZES,
        neck_of_head_length=(1, 1), facts_cite=fci(310, "26.10.2021")),
    row("Pharaoh Hound", (20.4, 24.9), (53.3, 63.5), LONG, ERECT, AKC, also=("Kelb tal-Fenek",)),
    row("Portuguese Podengo", (15.9, 29.9), (40.6, 71.1), LONG, ERECT, AKC,
        also=("Podengo Português",), stated=Stated.SIZES),
    row("Portuguese Podengo Pequeno", (4.1, 5.9), (20.3, 30.5), LONG, ERECT, AKC,
        also=("Podengo Pequeno",)),
    row("Saluki", (18.1, 29.5), (58.4, 71.1), LONG, DROP, AKC,
        also=("Persian Greyhound", "Gazelle Hound")),
    row("Scottish Deerhound", (36.5, 45.5), (71, 76), LONG, SEMI, fci(164, "05.12.2012"),
        also=("Deerhound",)),
    row("Sloughi", (15.9, 22.7), (61, 73.7), LONG, DROP, AKC, also=("Arabian Greyhound",),
        neck_of_head_length=(0.80, 0.84), facts_cite=_SLOUGHI),
    row("Thai Ridgeback", (15.9, 34), (50.8, 61), MEDIUM, ERECT, AKC,
        also=("Thai Ridgeback Dog",)),
    row("Whippet", (11.3, 18.1), (45.7, 55.9), LONG, SEMI, AKC),
    row("Xoloitzcuintli", (4.5, 24.9), (25.4, 58.4), LONG, ERECT, AKC,
        also=("Xolo", "Mexican Hairless Dog", "Xoloitzcuintle"), stated=Stated.SIZES),
)
# fmt: on

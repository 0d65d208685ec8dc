"""Dachshunds and the hounds that hunt by scent."""

from typing import Final

from sizing.breeds.shorthand import (
    AKC,
    COAT,
    DROP,
    EAR,
    EYE,
    HEAT,
    LONG,
    MEDIUM,
    fci,
    mixed,
    row,
)
from sizing.breeds.types import Breed, Stated

_BEAGLE: Final = "American Kennel Club, hounds of 13 to 15 inches, 20-30 lb"
_STANDARD: Final = "American Kennel Club, standard size, 16-32 lb, 8-9 in"
_MINIATURE: Final = "American Kennel Club, miniature size, up to 11 lb, 5-6 in"

# fmt: off
BREEDS: Final[tuple[Breed, ...]] = (
    row("American English Coonhound", (20.4, 29.5), (58.4, 66), MEDIUM, DROP, AKC, EAR,
        also=("English Coonhound", "Redtick Coonhound")),
    row("American Foxhound", (27.2, 31.8), (53.3, 63.5), MEDIUM, DROP, AKC, EAR),
    row("Artois Hound", (28, 30), (53, 58), MEDIUM, DROP, fci(28, "25.11.1996"), EAR,
        also=("Chien d'Artois",)),
    row("Basset Artésien Normand", (15, 20), (30, 36), LONG, DROP, fci(34, "29.08.2023"), EAR),
    row("Basset Fauve de Bretagne", (12.2, 15.9), (31.8, 39.4), MEDIUM, DROP, AKC, EAR,
        also=("Fawn Brittany Basset",)),
    row("Basset Hound", (18.1, 29.5), (33, 38), LONG, DROP, mixed(AKC, fci(163, "27.01.2011")),
        EAR, EYE, also=("Basset",)),
    row("Bavarian Mountain Scent Hound", (17, 30), (44, 52), MEDIUM, DROP, fci(217, "22.09.2017"),
        EAR, also=("Bayerischer Gebirgsschweisshund", "Bavarian Mountain Hound")),
    row("Beagle", (9.1, 13.6), (33, 40), MEDIUM, DROP, mixed(_BEAGLE, fci(161, "27.01.2011")),
        EAR),
    row("Black and Tan Coonhound", (29.5, 49.9), (58.4, 68.6), LONG, DROP, AKC, EAR),
    row("Bloodhound", (40, 54), (62, 68), LONG, DROP, fci(84, "12.07.2002"), HEAT, EAR,
        also=("Chien de Saint-Hubert", "St Hubert Hound")),
    row("Bluetick Coonhound", (20.4, 36.3), (53.3, 68.6), MEDIUM, DROP, AKC, EAR),
    row("Bosnian Broken-haired Hound", (16, 24), (46, 56), MEDIUM, DROP, fci(155, "01.04.1996"),
        EAR, also=("Bosnian Barak", "Bosanski Oštrodlaki Gonič Barak"), head_length_cm=(20, 25),
        facts_cite=fci(155, "01.04.1996")),
    row("Brazilian Tracker", (21, 33), (56, 65), LONG, DROP, fci(275, "27.11.2020"), EAR,
        also=("Rastreador Brasileiro",)),
    row("Dachshund", (7.3, 14.5), (20.3, 22.9), LONG, DROP, _STANDARD,
        also=("Standard Dachshund", "Dackel", "Teckel", "Sausage Dog")),
    row("Drever", (15.9, 18.1), (30.5, 38.1), MEDIUM, DROP, AKC, EAR),
    row("English Foxhound", (27.2, 34), (58, 64), MEDIUM, DROP, mixed(AKC, fci(159, "03.06.2009")),
        EAR),
    row("Grand Basset Griffon Vendéen", (18.1, 20.4), (39.4, 45.7), MEDIUM, DROP, AKC, EAR,
        also=("GBGV",)),
    row("Hamiltonstövare", (18.1, 34), (48.3, 61), MEDIUM, DROP, AKC, EAR,
        also=("Hamilton Hound",)),
    row("Hanoverian Scenthound", (25, 40), (48, 55), MEDIUM, DROP, fci(213, "26.05.2015"), EAR,
        also=("Hannoverscher Schweisshund",)),
    row("Harrier", (20.4, 27.2), (48.3, 53.3), MEDIUM, DROP, AKC, EAR),
    row("Hellenic Hound", (17, 20), (45, 55), LONG, DROP, fci(214, "19.03.1996"), EAR,
        also=("Hellinikos Ichnilatis",), neck_of_head_length=(0.65, 0.65),
        facts_cite=fci(214, "19.03.1996")),
    row("Miniature Dachshund", (5, 5), (12.7, 15.2), LONG, DROP, _MINIATURE,
        also=("Mini Dachshund", "Zwergdackel", "Dwarf Dachshund"), stated=Stated.ONE),
    row("Otterhound", (36.3, 52.2), (61, 68.6), LONG, DROP, AKC, HEAT, EAR, COAT),
    row("Petit Basset Griffon Vendéen", (11.3, 18.1), (33, 38.1), MEDIUM, DROP, AKC, EAR,
        also=("PBGV",)),
    row("Plott Hound", (18.1, 27.2), (50.8, 63.5), MEDIUM, DROP, AKC, EAR, also=("Plott",)),
    row("Porcelaine", (24.9, 28.1), (55.9, 58.4), LONG, DROP, AKC, EAR),
    row("Redbone Coonhound", (20.4, 31.8), (53.3, 68.6), MEDIUM, DROP, AKC, EAR),
    row("Rhodesian Ridgeback", (32, 36.5), (61, 69), MEDIUM, DROP, fci(146, "06.06.2025")),
    row("Segugio Italiano", (18, 28), (48, 58), LONG, DROP, fci(337, "17.12.2015"), EAR,
        also=("Segugio Italiano a Pelo Raso", "Italian Hound")),
    row("Segugio Italiano (Coarse-haired)", (18, 28), (50, 60), LONG, DROP, fci(198, "17.12.2015"),
        EAR, also=("Segugio Italiano a Pelo Forte",), head_length_of_height=(0.40, 0.40),
        neck_of_head_length=(1, 1), facts_cite=fci(198, "17.12.2015")),
    row("Slovak Hound", (15, 20), (40, 50), MEDIUM, DROP, fci(244, "19.08.1996"), EAR,
        also=("Slovenský Kopov", "Black Forest Hound")),
    row("Treeing Walker Coonhound", (22.7, 31.8), (50.8, 68.6), MEDIUM, DROP, AKC, EAR),
)
# fmt: on

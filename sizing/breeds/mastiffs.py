"""Mastiffs, bulldogs and their like."""

from typing import Final

from sizing.breeds.shorthand import (
    AKC,
    COAT,
    DROP,
    EAR,
    ERECT,
    EYE,
    HEAT,
    LONG,
    MASTIFF,
    NOSE,
    SEMI,
    SHORT,
    fci,
    mixed,
    row,
)
from sizing.breeds.types import Breed, Stated

_BOXER: Final = (
    "Teng et al. 2016, Canine Genetics and Epidemiology 3:2, after the Encyclopedia of Dog Breeds"
)

# fmt: off
BREEDS: Final[tuple[Breed, ...]] = (
    row("American Bulldog", (27.2, 45.4), (50.8, 63.5), MASTIFF, DROP, AKC),
    row("American Staffordshire Terrier", (18.1, 31.8), (43.2, 48.3), MASTIFF, SEMI, AKC,
        also=("AmStaff",)),
    row("Boerboel", (68, 90.7), (55.9, 68.6), MASTIFF, DROP, AKC, HEAT,
        also=("South African Mastiff",)),
    row("Boston Terrier", (6.8, 11.3), None, SHORT, ERECT, fci(140, "24.06.2014"), NOSE, EYE,
        also=("Boston",)),
    row("Boxer", (22.7, 36.3), (53, 63), MASTIFF, DROP, mixed(_BOXER, fci(144, "09.07.2008")),
        NOSE, also=("German Boxer", "Deutscher Boxer")),
    row("Broholmer", (40, 70), (70, 75), MASTIFF, DROP, fci(315, "16.05.2025"), HEAT,
        also=("Danish Mastiff",)),
    row("Bulldog", (23, 25), None, SHORT, SEMI, fci(149, "10.01.2011"), NOSE, HEAT,
        also=("English Bulldog", "British Bulldog")),
    row("Bullmastiff", (41, 59), (61, 69), MASTIFF, DROP, fci(157, "11.09.2023"), NOSE, HEAT),
    row("Ca de Bou", (30, 38), (52, 58), MASTIFF, SEMI, fci(249, "13.06.1997"),
        also=("Perro Dogo Mallorquín", "Majorca Mastiff"), head_girth_cm=(59.5, 59.5),
        head_length_cm=(22, 22),
        facts_cite=fci(249, "13.06.1997") + "; one dog of 56 cm and 36 kg"),
    row("Cane Corso", (40, 50), (60, 68), MASTIFF, DROP, fci(343, "13.10.2023"),
        also=("Italian Mastiff", "Cane Corso Italiano"), head_length_of_height=(0.36, 0.36),
        neck_of_head_length=(1, 1), facts_cite=fci(343, "13.10.2023")),
    row("Cimarron Uruguayo", (33, 45), (55, 61), MASTIFF, DROP, fci(353, "08.07.2022"),
        also=("Uruguayan Cimarron",)),
    row("Dogo Argentino", (40, 45), (60, 68), MASTIFF, DROP, fci(292, "02.08.2012"),
        also=("Argentine Dogo",)),
    row("Dogue de Bordeaux", (45, 50), (58, 68), MASTIFF, DROP, fci(116, "23.01.2009"), NOSE, HEAT,
        also=("French Mastiff", "Bordeaux Mastiff"), stated=Stated.LEAST),
    row("Fila Brasileiro", (40, 50), (60, 75), MASTIFF, DROP, fci(225, "04.10.2016"), HEAT,
        also=("Brazilian Mastiff",), stated=Stated.LEAST),
    row("French Bulldog", (8, 14), (24, 35), SHORT, ERECT, fci(101, "18.09.2023"), NOSE, HEAT, EAR,
        also=("Frenchie", "Bouledogue Français")),
    row("Great Dane", (49.9, 79.4), (72, 90), LONG, DROP, mixed(AKC, fci(235, "02.10.2024")), HEAT,
        also=("Deutsche Dogge", "German Mastiff")),
    row("Mastiff", (54.4, 104.3), (69.8, 76.2), MASTIFF, DROP, AKC, HEAT,
        also=("English Mastiff", "Old English Mastiff")),
    row("Neapolitan Mastiff", (50, 70), (60, 75), MASTIFF, DROP, fci(197, "17.12.2015"), NOSE,
        HEAT, also=("Mastino Napoletano",), head_length_of_height=(0.38, 0.38),
        facts_cite=fci(197, "17.12.2015")),
    row("Presa Canario", (40, 57), (57, 66), MASTIFF, DROP, fci(346), HEAT,
        also=("Perro de Presa Canario", "Canary Mastiff", "Dogo Canario"), neck_length_cm=(18, 20),
        facts_cite=fci(346)),
    row("Pug", (6.3, 8.1), None, SHORT, DROP, fci(253, "07.09.2023"), NOSE, HEAT, EYE,
        also=("Mops", "Carlin")),
    row("Pyrenean Mastiff", (54.4, 108.9), (63.5, 78.7), MASTIFF, DROP, AKC, HEAT, COAT,
        also=("Mastín del Pirineo",)),
    row("Shar Pei", (20.4, 27.2), (45.7, 50.8), MASTIFF, DROP, AKC, NOSE, EAR, EYE,
        also=("Chinese Shar-Pei",)),
    row("Spanish Mastiff", (63.5, 90.7), (71.1, 88.9), MASTIFF, DROP, AKC, HEAT, COAT,
        also=("Mastín Español",)),
    row("Staffordshire Bull Terrier", (11, 17), (35.5, 40.5), MASTIFF, SEMI, fci(76, "20.01.1998"),
        also=("Staffie", "Staffy", "SBT")),
    row("Tosa", (45.4, 90.7), (54.6, 59.7), MASTIFF, DROP, AKC, HEAT,
        also=("Tosa Inu", "Japanese Mastiff")),
)
# fmt: on

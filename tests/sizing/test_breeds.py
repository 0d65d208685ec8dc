import re
from collections import Counter

import pytest

from sizing.breeds import BREEDS, RISK_ORIGINS, Breed, Stated, find, suggest
from sizing.dogs import EarCarriage, HeadType, Risk

each_breed = pytest.mark.parametrize("breed", BREEDS, ids=lambda breed: breed.name)

SHORT_NOSED = [
    "Affenpinscher", "Belgian Griffon", "Boston Terrier", "Boxer", "Brussels Griffon", "Bulldog",
    "Bullmastiff", "Cavalier King Charles Spaniel", "Dogue de Bordeaux", "French Bulldog",
    "Japanese Chin", "King Charles Spaniel", "Lhasa Apso", "Neapolitan Mastiff", "Pekingese",
    "Petit Brabançon", "Pug", "Shar Pei", "Shih Tzu", "Tibetan Spaniel",
]  # fmt: skip

OFTEN_OWNED = [
    "Afghan Hound", "Australian Shepherd", "Basset Hound", "Beagle", "Bernese Mountain Dog",
    "Bichon Frise", "Border Collie", "Border Terrier", "Borzoi", "Boxer", "Cane Corso",
    "Cardigan Welsh Corgi", "Cavalier King Charles Spaniel", "Chihuahua", "Chinese Crested",
    "Cocker Spaniel, English", "Cocker Spaniel, American", "Dachshund", "Dalmatian", "Doberman",
    "English Springer Spaniel", "French Bulldog", "Galgo Español", "German Shepherd",
    "German Shorthaired Pointer", "Golden Retriever", "Great Dane", "Greyhound", "Havanese",
    "Irish Setter", "Irish Wolfhound", "Italian Greyhound", "Jack Russell Terrier",
    "Labrador Retriever", "Leonberger", "Maltese", "Mastiff", "Miniature Dachshund",
    "Miniature Poodle", "Miniature Schnauzer", "Neapolitan Mastiff", "Newfoundland", "Papillon",
    "Pembroke Welsh Corgi", "Pomeranian", "Pug", "Rottweiler", "Saint Bernard", "Saluki",
    "Samoyed", "Shetland Sheepdog", "Shiba Inu", "Shih Tzu", "Siberian Husky",
    "Staffordshire Bull Terrier", "Standard Poodle", "Toy Poodle", "Hungarian Vizsla",
    "Weimaraner", "West Highland White Terrier", "Whippet", "Xoloitzcuintli",
    "Yorkshire Terrier",
]  # fmt: skip


def known(name: str) -> Breed:
    if ", " in name:
        name = " ".join(reversed(name.split(", ")))
    breed = find(name)
    assert breed is not None, name
    return breed


def test_the_table_holds_at_least_170_breeds() -> None:
    assert len(BREEDS) >= 170


def test_the_table_is_sorted_by_name() -> None:
    plain = [breed.name for breed in BREEDS if breed.name.isascii()]
    letters = [re.sub(r"[^a-z]", "", name.lower()) for name in plain]
    assert letters == sorted(letters)


def test_no_two_breeds_share_a_name_or_other_name() -> None:
    names = [
        re.sub(r"\W", "", name).casefold()
        for breed in BREEDS
        for name in (breed.name, *breed.also)
    ]
    assert [name for name, times in Counter(names).items() if times > 1] == []


@pytest.mark.parametrize("name", OFTEN_OWNED)
def test_a_breed_often_owned_is_in_the_table(name: str) -> None:
    assert known(name) in BREEDS


@each_breed
def test_every_span_runs_from_low_to_high(breed: Breed) -> None:
    spans = (
        breed.weight_kg,
        breed.height_cm,
        breed.head_girth_cm,
        breed.head_length_cm,
        breed.neck_girth_cm,
        breed.neck_length_cm,
        breed.head_length_of_height,
        breed.neck_of_head_length,
    )
    assert all(0 < span[0] <= span[1] for span in spans if span is not None)


@each_breed
def test_weight_and_height_are_those_of_a_dog(breed: Breed) -> None:
    low, high = breed.weight_kg
    assert 0.5 <= low <= high <= 110
    if breed.height_cm is not None:
        assert 10 <= breed.height_cm[0] <= breed.height_cm[1] <= 95


@each_breed
def test_only_a_single_stated_figure_has_no_width(breed: Breed) -> None:
    low, high = breed.weight_kg
    assert (low == high) == (breed.stated is Stated.ONE)


@each_breed
def test_a_wide_range_of_weight_is_marked_as_several_sizes(breed: Breed) -> None:
    low, high = breed.weight_kg
    # Toy breeds bounded in whole pounds or kilograms are wide without having sizes.
    assert high / low <= 2.55 or breed.stated is Stated.SIZES or high <= 3.2


@each_breed
def test_weight_fits_height(breed: Breed) -> None:
    """Catch a slip of the pen: mass goes with the cube of the height, short legs aside."""
    middle_weight = sum(breed.weight_kg) / 2
    middle_height = sum(breed.height_cm or (0, 0)) / 2
    assert not breed.height_cm or 0.06 <= middle_weight / (middle_height / 10) ** 3 <= 2


@each_breed
def test_every_row_cites_a_standard_or_a_kennel_body(breed: Breed) -> None:
    assert re.search(r"FCI-Standard \d+|American Kennel Club", breed.cite)


@each_breed
def test_figures_of_head_and_neck_cite_their_own_source(breed: Breed) -> None:
    figures = (
        breed.head_girth_cm,
        breed.head_length_cm,
        breed.neck_girth_cm,
        breed.neck_length_cm,
        breed.head_length_of_height,
        breed.neck_of_head_length,
    )
    assert any(figure is not None for figure in figures) == bool(breed.facts_cite)
    assert not breed.facts_cite or re.search(r"FCI-Standard \d+|\b\d{4},", breed.facts_cite)


@each_breed
def test_a_breed_carries_only_risks_that_have_an_origin(breed: Breed) -> None:
    assert breed.risks <= RISK_ORIGINS.keys()


def test_the_short_nosed_breeds_are_these_and_no_others() -> None:
    assert [breed.name for breed in BREEDS if Risk.SHORT_NOSED in breed.risks] == SHORT_NOSED


@pytest.mark.parametrize("name", SHORT_NOSED)
def test_a_short_nosed_breed_has_a_short_or_mastiff_head(name: str) -> None:
    assert known(name).head in {HeadType.SHORT, HeadType.MASTIFF}


@each_breed
def test_a_breed_that_may_weigh_over_50_kg_is_at_risk_of_heat(breed: Breed) -> None:
    assert breed.weight_kg[1] <= 50 or Risk.HEAT in breed.risks


@pytest.mark.parametrize(
    "name",
    [
        "Chow Chow", "Bulldog", "French Bulldog", "Dogue de Bordeaux", "Greyhound",
        "Cavalier King Charles Spaniel", "Pug", "English Springer Spaniel", "Golden Retriever",
    ],
)  # fmt: skip
def test_a_breed_named_by_hall_carter_and_o_neill_2020_is_at_risk_of_heat(name: str) -> None:
    assert Risk.HEAT in known(name).risks


@pytest.mark.parametrize(
    "name",
    [
        "Basset Hound", "Shar Pei", "Beagle", "Golden Retriever", "Welsh Springer Spaniel",
        "American Cocker Spaniel", "English Springer Spaniel", "English Cocker Spaniel",
        "Bull Terrier", "Saint Bernard", "French Bulldog",
    ],
)  # fmt: skip
def test_a_breed_named_by_the_ear_papers_is_at_risk_of_ear_trouble(name: str) -> None:
    assert Risk.EAR_TROUBLE in known(name).risks


# Each figure stands in the source named at its left; pounds and inches are converted.
@pytest.mark.parametrize(
    ("source", "name", "field", "value"),
    [
        ("FCI 263, 12.03.1999: 20-22 in", "Chessie", "neck_girth_cm", (50.8, 55.9)),
        ("FCI 263, 12.03.1999: 20-21 in", "Chessie", "head_girth_cm", (50.8, 53.3)),
        ("FCI 263, 12.03.1999: 9-9.5 in", "Chessie", "neck_length_cm", (22.9, 24.1)),
        ("FCI 263, 12.03.1999", "Chessie", "weight_kg", (25, 36.5)),
        ("FCI 249, 13.06.1997: a dog of middle size", "Ca de Bou", "head_girth_cm", (59.5, 59.5)),
        ("FCI 346", "Presa Canario", "neck_length_cm", (18, 20)),
        ("FCI 343, 13.10.2023", "Cane Corso", "weight_kg", (40, 50)),
        ("FCI 343, 13.10.2023", "Cane Corso", "head_length_of_height", (0.36, 0.36)),
        ("FCI 65, 17.12.2015: 6/11", "Maltese", "head_length_of_height", (0.545, 0.545)),
        ("FCI 253, 07.09.2023", "Pug", "weight_kg", (6.3, 8.1)),
        ("FCI 157, 11.09.2023", "Bullmastiff", "weight_kg", (41, 59)),
        ("FCI 298, 11.10.2019: F 11-14, M 13-16", "Lagotto Romagnolo", "weight_kg", (11, 16)),
        ("FCI 218, 04.10.2019", "Chihuahua", "weight_kg", (1, 3)),
        ("FCI 86, 22.02.2012: up to 7 lb", "Yorkshire Terrier", "weight_kg", (3.2, 3.2)),
        ("FCI 160, 02.04.2001", "Irish Wolfhound", "weight_kg", (40.5, 54.5)),
        ("AKC, 2020: 25-40 lb", "Whippet", "weight_kg", (11.3, 18.1)),
        ("AKC, 2020: 18-22 in", "Whippet", "height_cm", (45.7, 55.9)),
        ("AKC, 2020: 60-70 lb", "Greyhound", "weight_kg", (27.2, 31.8)),
        ("AKC, 2020: 55-80 lb", "Labrador Retriever", "weight_kg", (24.9, 36.3)),
        ("AKC, 2020: 120-230 lb", "Mastiff", "weight_kg", (54.4, 104.3)),
        ("Teng et al. 2016: 22.7-36.3", "Boxer", "weight_kg", (22.7, 36.3)),
        ("Tepeli and Çetin 2003: 48.43", "Kangal Shepherd Dog", "head_girth_cm", (48.4, 48.4)),
    ],
)  # fmt: skip
def test_a_figure_agrees_with_its_source(
    source: str, name: str, field: str, value: tuple[float, float]
) -> None:
    assert getattr(known(name), field) == pytest.approx(value, abs=0.05), source


def test_a_row_says_which_source_gave_weight_and_which_gave_height() -> None:
    assert known("Airedale Terrier").cite == (
        "American Kennel Club breed figures, 2020 (weight); FCI-Standard 7, 23.08.2021 (height)"
    )


def test_a_least_weight_is_not_taken_for_a_range() -> None:
    least = {breed.name for breed in BREEDS if breed.stated is Stated.LEAST}
    assert {"Dogue de Bordeaux", "Irish Wolfhound", "Fila Brasileiro"} <= least


@pytest.mark.parametrize(
    ("name", "head", "ears"),
    [
        ("Borzoi", HeadType.LONG, EarCarriage.SEMI),
        ("Rottweiler", HeadType.MASTIFF, EarCarriage.DROP),
        ("Pug", HeadType.SHORT, EarCarriage.DROP),
        ("Siberian Husky", HeadType.MEDIUM, EarCarriage.ERECT),
    ],
)
def test_head_and_ears_are_those_of_the_breed(
    name: str, head: HeadType, ears: EarCarriage
) -> None:
    breed = known(name)
    assert (breed.head, breed.ears) == (head, ears)


@each_breed
def test_a_breed_is_found_by_its_name_and_other_names(breed: Breed) -> None:
    assert all(find(name) is breed for name in (breed.name, *breed.also))


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("coton de tulear", "Coton de Tuléar"),
        ("COTON DE TULÉAR", "Coton de Tuléar"),
        ("Coton de Tule\u0301ar", "Coton de Tuléar"),
        ("galgo espanol", "Galgo Español"),
        ("lowchen", "Löwchen"),
        ("gammel dansk honsehund", "Old Danish Pointing Dog"),
        ("shar-pei", "Shar Pei"),
        ("St. Bernard", "Saint Bernard"),
        ("cirneco dell\u2019etna", "Cirneco dell'Etna"),
        ("  labrador  ", "Labrador Retriever"),
        ("Alsatian", "German Shepherd"),
        ("gsd", "German Shepherd"),
        ("Teckel", "Dachshund"),
    ],
)
def test_find_minds_neither_case_nor_accent_nor_punctuation(typed: str, name: str) -> None:
    assert known(typed).name == name


@pytest.mark.parametrize("typed", ["", "  ", "-", "wolf of the moon", "poodle"])
def test_find_returns_none_for_what_is_no_one_breed(typed: str) -> None:
    assert find(typed) is None


def test_suggest_puts_a_beginning_before_a_part() -> None:
    names = [breed.name for breed in suggest("bull", 40)]
    assert names.index("Bulldog") < names.index("French Bulldog")


def test_suggest_finds_a_part_of_a_name() -> None:
    names = {breed.name for breed in suggest("poodle")}
    assert {"Miniature Poodle", "Standard Poodle", "Toy Poodle"} <= names


def test_suggest_completes_other_names() -> None:
    assert suggest("alsat")[0].name == "German Shepherd"


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("daschund", "Dachshund"),
        ("chiwawa", "Chihuahua"),
        ("rotweiler", "Rottweiler"),
        ("whipet", "Whippet"),
    ],
)
def test_suggest_forgives_a_spelling(typed: str, name: str) -> None:
    assert name in {breed.name for breed in suggest(typed)}


def test_suggest_names_a_breed_once() -> None:
    names = [breed.name for breed in suggest("terrier", 200)]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("most", [1, 3, 8])
def test_suggest_gives_no_more_than_asked(most: int) -> None:
    assert len(suggest("terrier", most)) == most


@pytest.mark.parametrize("text", ["", "   ", "?!"])
def test_suggest_gives_nothing_for_an_empty_text(text: str) -> None:
    assert suggest(text) == ()


def test_suggest_gives_nothing_when_none_are_wanted() -> None:
    assert suggest("beagle", 0) == ()

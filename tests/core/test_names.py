"""Free text is cautioned where it looks like a person's full name, and left alone elsewhere."""

from __future__ import annotations

import pytest

from evaluations.core.names import looks_like_full_name, mentioned

KNOWN = ("Nico Vale", "Mara Odell", "Orla Finch", "Herons", "Millstone", "Harbor Gym")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("The block on Jonas Weller in the third quarter.", "Jonas Weller"),
        ("We spoke about the foul by Ana-Lucía Peña.", "Ana-Lucía Peña"),
        ("Spoke with the coach, Terry O'Neil, at the table.", "Terry O'Neil"),
        ("Then Blue 12, that is Ivo McRae, fell.", "Ivo McRae"),
        ("Yesterday Jonas Weller was hit.", "Jonas Weller"),
        ("La falta sobre Íñigo Álvarez no se vio.", "Íñigo Álvarez"),
        ("On film Željko Šimić stands still.", "Željko Šimić"),
    ],
)
def test_two_capitalised_words_amid_a_sentence_look_like_a_name(text: str, name: str) -> None:
    assert looks_like_full_name(text, KNOWN) == name


@pytest.mark.parametrize(
    "text",
    [
        "",
        "Blue 12 fouled White 4 on the drive.",
        "Long Switch after the second foul.",
        "Raised: Boxing In by the trail.",
        "Good start. Boxing In went well.",
        "- Switching Sides after a foul\n- Boxing In",
        "She said “Good Work” to the crew.",
        "The Lead Official and the Table Side umpire spoke.",
        "On Tuesday November 10 the talk was short.",
        "The NFHS Manual says so.",
        "Asked Nico Vale about the switch.",
        "Nico Vale's signals, then Vale Nico.",
        "It was loud at the Harbor Gym when the Herons led.",
        "Spoke to Nico, Mara and Orla.",
        "With the Herons, Weller had the ball.",
        "the block on jonas weller",
        "THE BLOCK ON JONAS WELLER",
        "After the game I Thought so.",
    ],
)
def test_other_capitals_are_left_alone(text: str) -> None:
    assert looks_like_full_name(text, KNOWN) is None


def test_a_known_family_name_spares_its_bearer() -> None:
    assert looks_like_full_name("Asked Nicolas Vale about it.", KNOWN) is None


def test_a_name_over_two_lines_is_none() -> None:
    assert looks_like_full_name("It was Jonas\nWeller then fell", KNOWN) is None


MATES = ("Mara Odell", "Kit Stone")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("The switch came late; Mara waited.", "Mara Odell"),
        ("At 3:10 Odell's whistle was first.", "Mara Odell"),
        ("Mara Odell had the report.", "Mara Odell"),
        ("From here Kit covers the lane.", "Kit Stone"),
    ],
)
def test_another_of_the_crew_is_found_by_any_name(text: str, name: str) -> None:
    assert mentioned(text, MATES, besides=["Nico Vale"]) == name


@pytest.mark.parametrize(
    "text",
    [
        "",
        "The partner waited; the umpire had the report.",
        "a stone's throw from the lane",
        "Nico and Orla spoke at the table.",
    ],
)
def test_nobody_else_of_the_crew_is_found(text: str) -> None:
    assert mentioned(text, MATES, besides=["Nico Vale", "Orla Finch"]) is None


def test_a_name_that_the_letters_own_official_bears_says_nothing() -> None:
    assert mentioned("At 3:10 Vale was right.", ["Ines Vale"], besides=["Nico Vale"]) is None

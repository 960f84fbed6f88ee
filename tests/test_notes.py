"""Notes of the findings and their sentences: none without the other, each in the unit of its build."""

import ast
import re
from pathlib import Path
from string import Formatter

import gudgeon.assess
import pytest
from gudgeon.assess.findings import Finding, Note
from gudgeon.notes import SAID, SENTENCES, in_words
from gudgeon.wording import UnitFormatter

SAMPLES = {
    "lengths": 12.7,
    "ratios": 0.982,
    "kelvins": 6.5,
    "temperatures": 250.0,
    "chances": 0.05,
    "speeds": 18.3,
    "forces": 98.0,
    "minutes": 90.0,
    "counts": 3,
    "days": "2025-03-18",
    "names": ("one", "other"),
    "words": "a name",
}
# What a sentence says of the whole note -> the parts of a note that it takes.
TAKES = {
    "subject": {"subject"},
    "case": {"subject"},
    "because": {"because"},
    "written for given": {"lengths", "words"},
    "those and what they do": {"words"},
}
# Names of units that are what a row was written with, and no length.
WRITTEN = re.compile("the unit says mm|tenths written as thou")


def codes_made() -> dict[str, set[str]]:
    """Code -> the parts that every note of it is made with, wherever one is made."""
    made: dict[str, set[str]] = {}
    for path in Path(gudgeon.assess.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Note":
                code = next(word.value for word in node.keywords if word.arg == "code")
                assert isinstance(code, ast.Constant), f"{path.name}:{node.lineno}: a code is written out"
                given = {word.arg for word in node.keywords if word.arg != "code"}
                made[code.value] = made.get(code.value, given) & given
    return made


def said_in(code: str) -> list[tuple[str, set[str]]]:
    """What a sentence names, each with the parts of a note that it is taken from."""
    named = [(name, said) for _, name, said, _ in Formatter().parse(SENTENCES[code]) if name]
    return [(name, {SAID[said][0]} if said else TAKES[name]) for name, said in named]


def sample(code: str) -> Note:
    kept: dict[str, dict] = {}
    for name, parts in said_in(code):
        for part in parts & SAMPLES.keys():
            kept.setdefault(part, {})[name] = SAMPLES[part]
    return Note(code=code, subject="crank.pin", because=Note(code="let-stand"), **kept)


def test_every_code_has_a_sentence_and_every_sentence_a_code():
    assert set(codes_made()) == set(SENTENCES)


def test_a_note_is_made_with_all_that_its_sentence_says():
    made = codes_made()
    said = {code: set().union(*(parts for _, parts in said_in(code))) for code in SENTENCES}
    assert {code: parts - made[code] for code, parts in said.items() if not parts <= made[code]} == {}


@pytest.mark.parametrize("code", SENTENCES)
def test_a_sentence_is_told_in_the_unit_of_its_build(code):
    inch, metric = (WRITTEN.sub("", in_words(sample(code), UnitFormatter(units))) for units in ("in", "mm"))
    assert not re.search(r"\bmm\b|µm|m/min(?<!ft/min)|\d N\b", inch) and not re.search(
        r"\b(in|thou) ?$|thou\b|µin|ft/min|lbf", metric
    ), (inch, metric)
    assert "{" not in inch.replace("{length: 120 min, a_week: 2}", "")
    in_units = {"lengths", "speeds", "forces"}
    assert (inch != metric) is any(in_units & set(parts) for _, parts in said_in(code))


def notes_in(value):
    if isinstance(value, Note):
        yield value
    elif isinstance(value, Finding):
        for name in type(value).model_fields:
            yield from notes_in(getattr(value, name))
    elif isinstance(value, dict):
        for entry in value.values():
            yield from notes_in(entry)
    elif isinstance(value, tuple):
        for entry in value:
            yield from notes_in(entry)


def without_what_is_quoted(note: Note, units: str) -> str:
    """The sentence of a note without the words that somebody wrote, which may be in another unit."""
    text = WRITTEN.sub("", in_words(note, UnitFormatter(units)))
    for quoted in (*note.words.values(), *(note.because.words.values() if note.because else ())):
        text = text.replace(quoted, "")
    return text


def test_the_demonstration_build_tells_its_notes_in_inches(harrow):
    told = [without_what_is_quoted(note, harrow.units) for note in notes_in(harrow)]
    assert len(told) > 100 and not [words for words in told if re.search(r"\bmm\b", words)]


def test_a_law_of_the_dial_is_told_with_its_sign():
    law = Note(
        code="dial-law",
        ratios={"slope": 0.982},
        lengths={"offset": -0.0127},
        counts={"cuts": 7},
        names={"features": ("a.b", "c.d")},
    )
    assert in_words(law, UnitFormatter("in")) == (
        "off comes 0.982 × what is dialled, − 0.5 thou, from 7 cuts on a.b and c.d with this lathe, tool, feed and holding"
    )
    assert in_words(law, UnitFormatter("mm")) == (
        "off comes 0.982 × what is dialled, − 0.013 mm, from 7 cuts on a.b and c.d with this lathe, tool, feed and holding"
    )

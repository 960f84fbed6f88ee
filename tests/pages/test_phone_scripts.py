"""The scripts of the phone page say what the Python side says, word for word: the same readings through both."""

import json
import random
import shutil
import subprocess
from pathlib import Path

import gudgeon.pages
import phone_vectors
import pytest
from gudgeon.assess.build import assess
from gudgeon.entry.reading_ids import reading_id
from gudgeon.entry.sizes import NotClear, Words, take_size
from gudgeon.entry.spoken import in_figures
from gudgeon.records.load_build import load_build
from gudgeon.records.readings import together
from gudgeon.records.yaml_writing import scalar
from small_build import ROOT, shelf

pytestmark = pytest.mark.slow
SCRIPTS = Path(gudgeon.pages.__file__).parent / "assets" / "phone"
RUN = """
for (const name of ["spoken", "sizes", "rows", "sums", "answer", "doubts"]) require(`${process.argv[1]}/${name}.js`);
const cases = JSON.parse(require("fs").readFileSync(0, "utf-8"));
const safe = (work) => { try { return work(); } catch (problem) { return problem instanceof gudgeon.NotClear ? null : String(problem.stack); } };
const does = {
  answers: ({ data, cases }) => cases.map(({ bent, events }) => safe(() => gudgeon.answer(gudgeon.withChanges(data, bent), events))),
  doubts: ({ data, cases }) => cases.map((one) => safe(() => gudgeon.doubts(data, one.event, one.texts, one.inches, []).words)),
  sizes: (cases) => cases.map(([text, units]) => safe(() => gudgeon.together(gudgeon.readings(text, units).map((read) => read.text)))),
  spoken: (cases) => cases.map((words) => { try { return gudgeon.inFigures(words); } catch (problem) { return { refused: problem.message }; } }),
  said: (cases) => cases.map((text) => safe(() => gudgeon.readings(text, "in").map((read) => read.text))),
  ids: (cases) => cases.map(([row, people, number, taken]) => gudgeon.readingId(row, people, number, new Set(taken))),
  scalars: (cases) => cases.map(gudgeon.scalar),
};
gudgeon.withChanges = (data, bent) => {
  const whole = { ...data };
  for (const [key, changed] of Object.entries(bent)) {
    whole[key] = { ...data[key] };
    for (const [name, more] of Object.entries(changed)) whole[key][name] = { ...data[key][name], ...more };
  }
  return whole;
};
process.stdout.write(JSON.stringify(does[process.argv[2]](cases)));
"""


def run(what: str, cases) -> list:
    """What the scripts make of some cases, in node."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("no node on the path")
    done = subprocess.run(
        [node, "-e", RUN, str(SCRIPTS), what], input=json.dumps(cases), capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.mark.parametrize(("name", "seed"), [("harrow-pond", 1), ("sundlia", 2)])
def test_every_answer_is_that_of_the_commands(name, seed):
    """In inches and in millimetres, 400 lists of readings and cuts each."""
    build = load_build(ROOT / "builds" / name, f"builds/{name}", shelf())
    vectors = phone_vectors.answers(build, shelf(), assess(build, shelf()), 400, seed)
    said = run("answers", vectors)
    different = [(case, words) for case, words in zip(vectors["cases"], said, strict=True) if case["words"] != words]
    assert different == []
    lines = {words[0] for words in said}
    assert len(lines) > 200, "they are not all the same"


@pytest.mark.parametrize(("name", "seed"), [("harrow-pond", 5), ("sundlia", 6)])
def test_everything_is_asked_that_quick_entry_asks(name, seed):
    build = load_build(ROOT / "builds" / name, f"builds/{name}", shelf())
    vectors = phone_vectors.doubts(build, shelf(), 400, seed)
    said = run("doubts", vectors)
    different = [(case, words) for case, words in zip(vectors["cases"], said, strict=True) if case["words"] != words]
    assert different == []
    told = " ".join(word for words in said for word in words)
    for one in (
        "would fit as",
        "a point has slipped",
        "outside what",
        "fewer digits",
        "cutting does not",
        "not planned",
        "apart;",
        "other way round",
        "counts as put right before",
    ):
        assert one in told, one


def of_python(text: str, units: str):
    words, texts = Words(text.split()), []
    try:
        while words.peek() is not None:
            texts.append(take_size(words, units, "reading")[0].text)
        return together(texts)
    except NotClear:
        return None


def test_every_reading_is_taken_or_refused_as_by_quick_entry():
    draw = random.Random(3)
    numbers = [
        "4.2559",
        "4.2560",
        ".25",
        "107.998mm",
        "0.0165 in",
        "1 51/64",
        "3/4in",
        "4,2561",
        "4,256",
        "12",
        "9 thou",
        "5 t",
        "1/0",
        "0",
    ]
    more = ["+5.9t", "-1t", "+3", "+2thou", "mm", "in", "x", "4.25599999999", "0.5µm", "1e3", "−4.2", "7/8", "in"]
    texts = [
        " ".join(draw.choice(numbers + more[: draw.randint(0, len(more))]) for _ in range(draw.randint(1, 4)))
        for _ in range(300)
    ]
    cases = [(text, draw.choice(("in", "mm"))) for text in texts]
    said = run("sizes", cases)
    wanted = [of_python(text, units) for text, units in cases]
    assert [one for one in zip(cases, said, wanted, strict=True) if one[1] != one[2]] == []
    assert 60 < sum(one is None for one in wanted) < 240


SAID = [
    "zero",
    "oh",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "twelve",
    "nineteen",
    "twenty",
    "thirty",
    "ninety",
    "double",
    "point",
    "point",
    "point",
    "point",
    "and",
    "and",
    "hundred",
    "half",
    "quarter",
    "quarters",
    "eighth",
    "sixteenths",
    "thirty",
    "second",
    "thirty",
    "seconds",
    "sixty",
    "fourth",
    "a",
    "an",
    "degrees",
    "inches",
    "thou",
    "thousandths",
    "slash",
    "over",
    "dash",
    "thirty-two,",
    "24",
    "16",
    "/",
    "4.2561",
    "256",
    "forty-five;",
]


def test_what_is_said_is_in_figures_as_quick_entry_has_it():
    """600 runs of words at random, and the refusals word by word."""
    draw = random.Random(8)
    cases = [[draw.choice(SAID) for _ in range(draw.randint(1, 8))] for _ in range(500)]
    sizes = ("four", "twelve", "twenty four", "one hundred and eight")
    digits = ("two", "four", "five", "oh", "six", "nine", "double three")
    cases += [
        [*draw.choice(sizes).split(), "point", *" ".join(draw.choices(digits, k=draw.randint(1, 4))).split()]
        + draw.choice(([], ["and", "a", "half"], ["inches"], ["ninety", "degrees"]))
        for _ in range(100)
    ]

    def of_python(words):
        try:
            return in_figures(words)
        except NotClear as problem:
            return {"refused": str(problem)}

    wanted = [of_python(words) for words in cases]
    assert [one for one in zip(cases, run("spoken", cases), wanted, strict=True) if one[1] != one[2]] == []
    assert 60 < sum(isinstance(one, dict) for one in wanted) < 500


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("four point two five six one", ["4.2561 in"]),
        ("for point to five six won", None),
        ("four point 2561", ["4.2561 in"]),
        ("one and three quarters", ["1 3/4 in"]),
        ("four point two five and four point two five one", ["4.25 in", "4.251 in"]),
        ("nine thousandths", ["9 thou"]),
        ("one oh eight point two millimetres", ["108.2 mm"]),
        ("four two five", None),
        ("twenty four point five millimetres", ["24.5 mm"]),
    ],
)
def test_a_reading_may_be_said(text, read):
    assert run("said", [text]) == [read]


def test_an_id_is_that_of_quick_entry():
    draw = random.Random(4)
    people = ["odette", "odo", "wim", "Ödön", "al"]
    cases = []
    for number in range(100):
        row = {"of": "piston.skirt", "date": "2025-04-01", "time": "19:40", "by": draw.choice(people), "gauge": "om45", "station": "3.5 in",
               "reads": draw.choice(("4.25 in", ["1 1/2 in", f"{number} mm"])), "part_temp": "16 °C"}  # fmt: skip
        taken = [reading_id(row, people, number, ())] if number % 5 == 0 else []
        cases.append((row, people, number, taken))
    assert run("ids", cases) == [reading_id(*case) for case in cases]


def test_text_is_quoted_so_that_it_is_read_back():
    import yaml

    texts = [
        "plain",
        "4.2515 4.2516 in",
        "19:40",
        "no",
        "12",
        "a: b",
        "{x}",
        "it's",
        'say "x"',
        "- a",
        "é°C",
        "a #b",
        "\\n",
        "!t",
        "*a",
        "&a",
        "%",
    ]
    for text, written in zip(texts, run("scalars", texts), strict=True):
        assert yaml.load(f"{{a: {written}}}", yaml.BaseLoader) == {"a": text}
        assert (written == text) == (scalar(text) == text), text

"""The scripts of the phone page say what the Python side says, word for word: the same readings through both."""

import datetime
import json
import random
import re
import shlex
import shutil
import subprocess
from pathlib import Path

import gudgeon.pages
import phone_vectors
import pytest
from gudgeon.assess.build import assess
from gudgeon.bench.data import bench_data
from gudgeon.commands.cut import cut as cut_command
from gudgeon.entry.cut_line import HowCut, read_cut
from gudgeon.entry.reading_ids import reading_id
from gudgeon.entry.sizes import NotClear, Words, take_size
from gudgeon.entry.spoken import in_figures
from gudgeon.records.load_build import load_build
from gudgeon.records.readings import together
from gudgeon.records.yaml_writing import scalar
from gudgeon_calc.units import read_quantity
from small_build import ROOT, shelf

pytestmark = pytest.mark.slow
SCRIPTS = Path(gudgeon.pages.__file__).parent / "assets" / "phone"
RUN = """
for (const name of ["spoken", "sizes", "rows", "sums", "answer", "doubts"]) require(`${process.argv[1]}/${name}.js`);
const cases = JSON.parse(require("fs").readFileSync(0, "utf-8"));
const safe = (work) => { try { return work(); } catch (problem) { return problem instanceof gudgeon.NotClear ? null : String(problem.stack); } };
const does = {
  answers: ({ data, cases }) => cases.map(({ bent, events }) => safe(() => gudgeon.answer(gudgeon.withChanges(data, bent), events))),
  doubts: ({ data, cases }) => cases.map((one) => safe(() => gudgeon.doubts(data, one.event, one.texts, one.inches, one.earlier).words)),
  sizes: (cases) => cases.map(([text, units]) => safe(() => gudgeon.together(gudgeon.readings(text, units).map((read) => read.text)))),
  cuts: ({ features, cases }) => cases.map(({ machine, cut, row }) =>
    ({ ...gudgeon.asked(cut.divisions, machine), command: gudgeon.cutCommand("harrow-pond", { row, cut }, features[row.of]) })),
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
        "the cuts since took",
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


@pytest.mark.parametrize(("name", "by"), [("harrow-pond", "odette"), ("sundlia", "ilse")])
def test_a_cut_is_handed_over_as_the_command_that_writes_it(name, by):
    """300 passes with what was read after them: the command says each of them, and asks the dial for as much."""
    draw = random.Random(9)
    build = load_build(ROOT / "builds" / name, f"builds/{name}", shelf())
    findings = assess(build, shelf())
    rows = [
        row
        for row in build.rows
        if build.features[row.of].metal_side and findings.rows[row.id].status in ("current", "past", "stale")
    ]
    cases = []
    for number in range(300):
        read = draw.choice(rows)
        machine = draw.choice(list(build.machines))
        row = {"of": read.of, "date": "2026-04-01", "time": "19:40", "by": by, "gauge": read.gauge}
        row |= {key: getattr(read, key).text for key in ("station", "angle") if getattr(read, key)}
        row["reads"] = together([one.text for one in read.reads])
        row |= draw.choice(
            ({}, {"part_temp": "24 °C", "gauge_temp": "16.5 °C"}, {"part_temp": "75 °F", "gauge_temp": "61 °F"})
        )
        row |= draw.choice(({}, {"note": f'so "{number}" # it is'}, {"as_held": "cap at torque"}))
        cut = {
            "divisions": draw.choice(("0", "3", "2.5", ".25", "12.75")),
            "machine": machine,
            "tool": "HSS, honed",
            "feed": "0.004 in",
        }
        dial = {"division": build.machines[machine].dial_division.text, "reads": build.machines[machine].dial_reads}
        cases.append({"machine": dial, "cut": cut, "row": row})
    features = json.loads(json.dumps(bench_data(build, shelf(), findings)))["features"]
    for case, said in zip(cases, run("cuts", {"features": features, "cases": cases}), strict=True):
        row, words = case["row"], shlex.split(said["command"])
        assert words[:3] == ["gudgeon", "cut", "harrow-pond"]
        given = cut_command.make_context("cut", words[2:]).params
        how = HowCut(None, given["machine"], given["tool"], given["feed"])
        day = datetime.date.fromisoformat(given["day"])
        entered = read_cut(build, " ".join(given["line"]), day, None, given["by"], how, day, 90.0)
        assert (entered.cut["asked"], entered.asked) == (said["text"], pytest.approx(said["mm"]))
        assert entered.cut["time"] == "19:40" and entered.cut["machine"] == case["cut"]["machine"]
        kept = {key: text for key, text in entered.reading.row.items() if key not in ("id", "after", "after_cut")}
        assert [*map(number_of, texts_of(kept.pop("reads")))] == [*map(number_of, texts_of(row["reads"]))]
        wanted = {key: text for key, text in row.items() if key != "reads"}
        assert {key: _plain(text) for key, text in kept.items()} == {key: _plain(text) for key, text in wanted.items()}


def texts_of(reads):
    return reads if isinstance(reads, list) else [f"{number} {reads.split()[-1]}" for number in reads.split()[:-1]]


def number_of(text):
    return read_quantity(text, "length").value


def _plain(text: str) -> str:
    return re.sub(r"(?<=[0-9])(?:\.0+)?(?= deg)| (?=°)", "", str(text))


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

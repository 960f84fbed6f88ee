"""Lines as machinists type or say them: what each is read as and what is asked, or why it is refused. None is silently wrong."""

import json

import pytest
from said_lines import lines, read, vectors

LINES = [(name, entry) for name, said in lines().items() for entry in said]


@pytest.mark.parametrize(("name", "entry"), LINES, ids=[entry["says"] for _, entry in LINES])
def test_a_line_is_read_as_it_was_meant_or_refused(club, name, entry):
    build = next(build for build in club.builds if build.id == name)
    assert read(build, entry["says"]) == entry


def test_there_are_vectors_enough_for_whatever_else_reads_such_lines(club):
    made = list(vectors({build.id: build for build in club.builds}))
    assert len(made) >= 500 and sum("refused" in vector for vector in made) >= 60
    assert {"grew", "nothing cut", "differs", "spread", "swapped", "not planned", "far off", "past"} <= {
        doubt["code"] for vector in made for doubt in vector.get("asked", ())
    }
    assert json.loads(json.dumps(made)), "plain data"

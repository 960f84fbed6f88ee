"""An operation marked done in the text of its file: nothing else of it moves."""

import pytest
import yaml
from gudgeon.entry.marking import with_entry, with_keys

TEXT = """\
# the order of work
operations:
  A-1:   # first
    part: piston
    does: 'turn it'   # in the chuck
    needs: [A-0,
      B-0]
    changes:
      - piston.skirt   # all of it

    # what comes next
  A-2: {part: piston, does: bore, took: 10 min}   # soon
  A-3:
    part: cyl
    does: hone
    note: >
      slowly,
      with oil

# the end
"""


@pytest.mark.parametrize("operation", ["A-1", "A-2", "A-3"])
def test_one_operation_gets_its_keys_and_every_other_line_stays(operation):
    text = with_keys(TEXT, operation, {"took": "95 min", "done": "2025-04-06"})
    was, now = yaml.safe_load(TEXT)["operations"], yaml.safe_load(text)["operations"]
    done = now[operation].pop("done")
    assert str(done) == "2025-04-06" and now[operation].pop("took") == "95 min"
    was[operation].pop("took", None)
    assert now == was
    left = [line for line in TEXT.splitlines() if operation != "A-2" or "A-2" not in line]
    assert [line for line in text.splitlines() if line in left] == left, "comments and empty lines stay, in their order"


def test_a_comment_behind_a_flow_mapping_stays_behind_it():
    assert (
        with_keys(TEXT, "A-2", {"done": "2025-04-06"})
        .splitlines()[11]
        .endswith("took: 10 min, done: 2025-04-06}   # soon")
    )


def test_a_note_that_is_written_over_is_quoted_where_it_needs_to_be():
    text = with_keys(TEXT, "A-2", {"note": "found: a crack, 3 in long # deep"})
    assert yaml.safe_load(text)["operations"]["A-2"]["note"] == "found: a crack, 3 in long # deep"


def test_a_flow_mapping_over_several_lines_keeps_its_last_comma_and_its_comments():
    text = "operations:\n  A-4: {\n    part: cyl,   # iron\n    does: hone,   # with oil\n  }\n"
    now = with_keys(text, "A-4", {"took": "5 min", "done": "2025-04-06"})
    assert now == text.replace("hone,", "hone, took: 5 min, done: 2025-04-06,")


@pytest.mark.parametrize(
    "text",
    [
        None,
        "# none yet\n",
        "# none yet",
        "cuts: []   # none yet\n",
        "cuts:\n",
        "cuts:",
        "cuts:   # none yet\n# the end\n",
        "cuts:\n- {id: a}   # first\n",
        "cuts:\n- {id: a}   # first",
        "cuts:\n    - {id: a}\n\n  # the end\n",
        "cuts: [{id: a}]   # first\n",
        "cuts: [\n  {id: a},   # first\n]\n",
        "cuts:\n  - id: a\n    note: |\n      two\n      lines\n\n# the end\n",
    ],
)
def test_an_entry_more_stands_at_the_end_of_a_list_however_it_is_laid_out(text):
    now = with_entry(with_entry(text, "cuts", "{id: b}"), "cuts", "{id: c}")
    was = (yaml.safe_load(text or "") or {}).get("cuts") or []
    assert yaml.safe_load(now) == {"cuts": [*was, {"id": "b"}, {"id": "c"}]}
    for kept in ("# none yet", "# first", "# the end"):
        assert (kept in now) == (kept in (text or ""))

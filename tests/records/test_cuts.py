"""Cuts as records: what is told of a wrong one, and that none is changed or lost in silence."""

from gudgeon.review.append_only import cuts_kept
from small_build import bent, load

CUT = "{date: 2025-02-03, of: piston.skirt, machine: big, asked: 0.20 mm, tool: HSS, feed: 0.1 mm"
MACHINES = (
    "machines: {big: {name: Lathe, speeds: [100 rpm], feeds: [0.1 mm], dial_division: 0.02 mm, dial_reads: diameter}}\n"
)


def build_of(folder, cuts: str, **changes):
    folder.mkdir()
    return load(folder, cuts=f"cuts:\n{cuts}", machines=MACHINES, **changes)


def problems(build) -> list[str]:
    return [str(problem).partition(": ")[2] for problem in build.problems]


def test_a_time_an_id_and_an_operation_that_are_wrong_are_told(tmp_path):
    assert problems(build_of(tmp_path / "a", f"  - {CUT}, id: c1, time: '25:10'}}\n")) == [
        'c1: expected a time of day. Found "25:10". Write it like "19:40".'
    ]
    cuts = f"  - {CUT}, id: c1, operation: BORE}}\n  - {CUT}, id: c1, time: '9:05'}}\n"
    build = build_of(tmp_path / "b", cuts)
    assert problems(build) == [
        'c1: BORE (finish bore) does not say that it changes piston.skirt. Add it to its "changes", or name the operation that cuts it.',
        'cut 2: the id "c1" stands already in builds/small/cuts.yaml:2:101. gudgeon renumber gives it another.',
    ]
    assert build.cuts[1].time == "09:05"


def test_a_reading_after_a_cut_that_is_later_or_that_is_not_there_is_told(tmp_path):
    file = "readings/2025-02-02-bore.yaml"
    for cut, told in (
        ("c1", "b1: read on 2025-02-02, but the cut c1, after which it says it was read, was made on 2025-02-03."),
        ("c2", 'b1: no cut has the id "c2" (cuts.yaml). Known: c1.'),
    ):
        rows = bent(file, "id: b1,", f"id: b1, after_cut: {cut},")
        assert problems(build_of(tmp_path / cut, f"  - {CUT}, id: c1}}\n", readings__2025_02_02_bore=rows)) == [told]


def test_a_cut_is_neither_rewritten_nor_deleted(tmp_path):
    was = build_of(tmp_path / "was", f"  - {CUT}, id: c1}}\n  - {CUT}, got: 0.18 mm}}\n")
    edited = build_of(tmp_path / "edited", f"  - {CUT.replace('0.20 mm', '0.30 mm')}, id: c1}}\n")
    assert [(blocker.kind, blocker.says.partition(". ")[0]) for blocker in cuts_kept("small", was, edited)] == [
        ("cut edited", "c1 of piston.skirt was rewritten (asked)"),
        ("cut removed", "the cut of 2025-02-03 (0.20 mm dialled) of piston.skirt was deleted"),
    ]
    # What was left open may be said later, and a cut is withdrawn by an entry that is added.
    later = f"  - {CUT}, id: c1, got: 0.19 mm}}\n  - {CUT}, got: 0.18 mm, note: light}}\n"
    now = build_of(tmp_path / "now", later + "  - {withdraws: c1, because: not made, date: 2025-02-04, by: ada}\n")
    assert now.problems == [] and cuts_kept("small", was, now) == []
    assert [str(cut.got) for cut in now.standing_cuts] == ["0.18 mm"]
    again = build_of(tmp_path / "again", later)
    assert [blocker.kind for blocker in cuts_kept("small", now, again)] == ["cut removed"]

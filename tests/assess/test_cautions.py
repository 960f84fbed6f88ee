"""Cautions apply where the danger is: by family, metal, words of operations, kind of fit, and figures past their limit."""

from dataclasses import replace

from gudgeon.assess.cautions import applying_cautions


def test_a_figure_past_its_limit_brings_its_caution_up_first(club, harrow):
    build = next(build for build in club.builds if build.id == "harrow-pond")
    past = next(danger for danger in harrow.dangers if danger.hit and danger.part)
    names = harrow.cautions.parts[past.part]
    assert names[0] in {danger.caution for danger in harrow.dangers if danger.hit and danger.part == past.part}
    calm = applying_cautions(build, club.knowledge, []).parts[past.part]
    assert tuple(name for name in club.knowledge.cautions if name in calm) == calm, "without one, in the shelf's order"


def test_an_operation_has_the_cautions_that_its_words_bring_up_and_its_part_has_them_too(club, harrow):
    for operation_id, names in harrow.cautions.operations.items():
        words = harrow.operations[operation_id].does.lower()
        for name in names:
            assert any(word.lower() in words for word in club.knowledge.cautions[name].operation_words)
        assert set(names) <= set(harrow.cautions.parts[harrow.operations[operation_id].part])
    assert any(harrow.cautions.operations.values())


def test_a_sheet_has_no_caution_of_other_work_on_its_part(club, harrow):
    """The piston was cast and fettled and its ring is still to be cut: none of that belongs to its finishing cut."""
    stands = {*harrow.cautions.operations["A-PIS-100"], *harrow.cautions.standing["piston"]}
    assert stands == {"interrupted-cut", "seizing"}
    assert {"hot-metal", "iron-dust", "ring-breaks"} <= set(harrow.cautions.parts["piston"]), "the part's page has all"
    assert harrow.cautions.standing["fly_l"][0] == "flywheel-falls", "past its limit: it stands whatever is done"
    by_hand = harrow.cautions.operations["A-ASM-10"]
    assert "hand-starting" in by_hand and "interrupted-cut" not in by_hand, "turning by hand is no cut"


def test_a_fit_has_the_cautions_of_its_kind(harrow):
    assert "press-work" in harrow.cautions.fits["A-F12"] and "press-work" not in harrow.cautions.fits["A-F01"]


def test_a_caution_that_applies_says_whether_its_figure_is_past_the_limit_and_what_it_says(club, harrow):
    found = harrow.cautions
    hit = {
        (danger.part, danger.caution)
        for danger in harrow.dangers
        if danger.state in ("past", "may be past") and danger.part
    }
    assert {(part, name) for part, names in found.past_limit.items() for name in names} == hit and hit
    applying = {
        name for where in (found.parts, found.fits, found.operations) for names in where.values() for name in names
    }
    assert applying <= set(found.texts)
    build = next(build for build in club.builds if build.id == "harrow-pond")
    name = next(iter(applying))
    changed = replace(club.knowledge, cautions=dict(club.knowledge.cautions))
    changed.cautions[name] = changed.cautions[name].model_copy(update={"do": "Stand aside."})
    told = applying_cautions(build, changed, harrow.dangers)
    assert told.texts[name][3] == "Stand aside." and told.parts == found.parts, (
        "a text that changed is a change of text"
    )
    del changed.cautions[name]
    assert name not in applying_cautions(build, changed, harrow.dangers).texts

"""Ovality and taper of a feature against what is allowed of them."""

from gudgeon_calc.uncertainty import Conformity

from gudgeon.assess.findings import FormVerdict, Note
from gudgeon.assess.measuring.measured_build import MeasuredBuild


def form_verdicts(context: MeasuredBuild, ref: str) -> tuple[FormVerdict, ...]:
    """Ovality and taper, where they have a limit, by all the places that were read."""
    feature = context.build.features[ref]
    if feature.oval_most is None and feature.taper_most is None or not context.local_sizes(ref):
        return ()
    surface = context.worst(ref).surface
    assert surface, "there are places"
    verdicts = []
    for what, most, form, against in (
        ("ovality", feature.oval_most, surface.surface.ovality, surface.ovality_against),
        ("taper", feature.taper_most, surface.surface.taper, surface.taper_against),
    ):
        if most is not None:
            size = form()
            verdicts.append(
                FormVerdict(
                    what=what,
                    value=size.value if size else None,
                    expanded=size.expanded if size else None,
                    most=float(most),
                    verdict=against(float(most)),
                )
            )
    return tuple(verdicts)


# How a feature stands by a verdict on its form. What was not tested is not known to be in.
BY_FORM: dict[str, Conformity] = {
    "out": "out",
    "reads out": "reads out",
    "reads in": "reads in",
    "not tested": "reads in",
}


def form_note(form: FormVerdict) -> Note:
    """How a form stands against its limit."""
    names, lengths = {"what": (form.what,)}, {"most": form.most}
    if form.verdict == "out":
        return Note(code="form-out", subject=form.what, names=names, lengths=lengths)
    if form.verdict == "reads out":
        return Note(code="form-reads-out", subject=form.what, names=names, lengths=lengths)
    if form.verdict == "reads in":
        return Note(code="form-reads-in", subject=form.what, names=names, lengths=lengths)
    return Note(code="form-not-tested", subject=form.what, names=names, lengths=lengths)


def untested_forms(context: MeasuredBuild, ref: str) -> list[Note]:
    """A note to a fit of each limit on a form of its half that the places read cannot test."""
    return [
        Note(code="half-form-not-tested", subject=ref, names={"what": (form.what,)}, lengths={"most": form.most})
        for form in form_verdicts(context, ref)
        if form.verdict == "not tested"
    ]

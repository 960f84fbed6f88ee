"""Suspected mistakes that show only where two features meet."""

from gudgeon.assess.findings import FitFinding, Note, SuspectedMistake
from gudgeon.assess.fitting.by_pairing import pairing_of
from gudgeon.assess.fitting.fits import borrowed
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.mistakes import mistake_address, source
from gudgeon.assess.steps import unnoted


def fit_mistakes(context: MeasuredBuild, fits: dict[str, FitFinding]) -> list[SuspectedMistake]:
    """Slips that show only where two features meet."""
    steps, mistakes = context.steps, []
    for fit_id, fit in unnoted(context.build.fits).items():
        with steps.step(f"fit/{fit_id}", fit):
            of_fit = [*_gap(context, fits[fit_id]), *_swapped(context, fit_id), *_tapers(context, fits[fit_id])]
        for mistake in of_fit:
            with steps.step(mistake_address(mistake)):
                steps.read(f"fit/{fit_id}")
        mistakes += of_fit
    return [*_borrowed(context), *mistakes]


def _borrowed(context: MeasuredBuild) -> list[SuspectedMistake]:
    by_feature: dict[str, list[str]] = {}
    for fit_id, fit in context.build.fits.items():
        ref = borrowed(context, fit)
        if ref:
            by_feature.setdefault(ref, []).append(fit_id)
    mistakes, steps = [], context.steps
    for ref, fit_ids in by_feature.items():
        with steps.step(f"borrowed/{ref}"):
            mistake = _borrowed_reading(context, ref, fit_ids)
        with steps.step(mistake_address(mistake)):
            steps.read(f"borrowed/{ref}")
        mistakes.append(mistake)
    return mistakes


def _borrowed_reading(context: MeasuredBuild, ref: str, fit_ids: list[str]) -> SuspectedMistake:
    rows = context.rows_of(ref, "current")
    own = [
        mate for fit_id in fit_ids for mate in context.build.features[context.build.fits[fit_id].named("hole")].mates
    ]
    unread = tuple(mate for mate in own if not context.local_sizes(mate))
    borrowers = {"fits": tuple(fit_ids)}
    where = rows[0].where() if rows else context.build.fits[fit_ids[0]].where("shaft")
    return SuspectedMistake(
        kind="borrowed reading",
        cause=Note(code="reading-borrowed-for-unread", subject=ref, names=borrowers | {"unread": unread})
        if unread
        else Note(code="reading-borrowed", subject=ref, names=borrowers),
        about=ref,
        row=rows[0].id if rows else None,
        fits=tuple(fit_ids),
        source=source(where),
    )


def _gap(context: MeasuredBuild, finding: FitFinding) -> list[SuspectedMistake]:
    """A ring's gap that was read where the bore is larger than elsewhere in its travel."""
    read_at, read = finding.shaft_at, finding.gap_read
    if finding.gap_moved_by is None or finding.clearance is None or read_at is None or read is None:
        return []
    row = context.rows[read_at.rows[0]]
    if read - finding.clearance <= read_at.expanded:
        return []
    assert read_at.station is not None, "a gap that was carried was read at a station"
    return [
        SuspectedMistake(
            kind="gap not at the smallest bore",
            cause=Note(code="gap-in-larger-bore", lengths={"station": read_at.station}),
            about=context.build.fits[finding.id].inner,
            row=row.id,
            fits=(finding.id,),
            source=source(row.where()),
        )
    ]


def _swapped(context: MeasuredBuild, fit_id: str) -> list[SuspectedMistake]:
    """Bore and shaft swapped: each reads as the other should."""
    fit = context.build.fits[fit_id]
    if pairing_of(fit).moving != ("hole", "shaft"):
        return []
    of_hole, of_shaft = fit.named("hole"), fit.named("shaft")
    hole, shaft = context.build.features[of_hole], context.build.features[of_shaft]
    outer, inner = context.local_sizes(of_hole), context.local_sizes(of_shaft)
    if (
        not outer
        or not inner
        or hole.size is None
        or shaft.size is None
        or abs(hole.size - shaft.size) < float(context.shelf.judgement["swapped_apart"]) * outer[0].size.std_dev
    ):
        return []
    apart = abs(hole.size - shaft.size)
    as_shaft = all(abs(place.mm - shaft.size) < apart / 4 for place in outer)
    as_hole = all(abs(place.mm - hole.size) < apart / 4 for place in inner)
    if not (as_shaft and as_hole):
        return []
    row = context.rows[outer[0].rows[0]]
    return [
        SuspectedMistake(
            kind="bore and shaft swapped",
            cause=Note(code="written-the-wrong-way-round", names={"hole": (of_hole,), "shaft": (of_shaft,)}),
            about=of_hole,
            row=row.id,
            fits=(fit_id,),
            source=source(row.where()),
        )
    ]


def _tapers(context: MeasuredBuild, finding: FitFinding) -> list[SuspectedMistake]:
    fit = context.build.fits[finding.id]
    if not fit.key or not fit.keyway or finding.state != "out":
        return []
    key, keyway = context.build.features[fit.key].nominal, context.build.features[fit.keyway].nominal
    assert key and keyway, "the tapers of a fit that was worked out are stated"
    return [
        SuspectedMistake(
            kind="two tapers",
            cause=Note(code="tapers-differ", words={"key": key, "keyway": keyway}),
            about=fit.key,
            fits=(finding.id,),
            source=source(fit.where()),
        )
    ]


def tell_fits(
    context: MeasuredBuild, fits: dict[str, FitFinding], mistakes: list[SuspectedMistake]
) -> dict[str, FitFinding]:
    """The fits, each of which says which mistakes touch it, and asks to be looked at."""
    told = dict(unnoted(fits))
    for mistake in mistakes:
        for fit_id in mistake.fits:
            with context.steps.step(f"fit/{fit_id}"):
                context.steps.read(mistake_address(mistake))
            causes = () if mistake.kind == "borrowed reading" else (mistake.cause,)
            told[fit_id] = told[fit_id].model_copy(update={"look": True, "causes": (*told[fit_id].causes, *causes)})
    return context.steps.results("fit", told)

"""Suspected mistakes that show only where two features meet."""

from gudgeon.assess.findings import FitFinding, SuspectedMistake
from gudgeon.assess.fitting.fits import borrowed
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.mistakes import source


def fit_mistakes(context: MeasuredBuild, fits: dict[str, FitFinding]) -> list[SuspectedMistake]:
    """Slips that show only where two features meet."""
    return [*_borrowed(context), *_gaps(context, fits), *_swapped(context), *_tapers(context, fits)]


def _borrowed(context: MeasuredBuild) -> list[SuspectedMistake]:
    by_feature: dict[str, list[str]] = {}
    for fit_id, fit in context.build.fits.items():
        if borrowed(context, fit):
            by_feature.setdefault(fit.shaft, []).append(fit_id)
    mistakes = []
    for ref, fit_ids in by_feature.items():
        rows = context.rows_of(ref, "current")
        own = [mate for fit_id in fit_ids for mate in context.build.features[context.build.fits[fit_id].hole].mates]
        unread = [mate for mate in own if not context.local_sizes(mate)]
        said = f"; {' and '.join(unread)} {'is' if len(unread) == 1 else 'are'} not measured" if unread else ""
        where = rows[0].where() if rows else context.build.fits[fit_ids[0]].where("shaft")
        mistakes.append(
            SuspectedMistake(
                kind="borrowed reading",
                cause=f"fits {' and '.join(fit_ids)} borrow the reading of {ref}{said}",
                about=ref,
                row=rows[0].id if rows else None,
                fits=fit_ids,
                source=source(where),
            )
        )
    return mistakes


def _gaps(context: MeasuredBuild, fits: dict[str, FitFinding]) -> list[SuspectedMistake]:
    mistakes = []
    for finding in fits.values():
        if finding.gap_moved_by is None or finding.clearance is None:
            continue
        row = context.rows[finding.shaft_at.rows[0]]
        if finding.gap_read - finding.clearance > finding.shaft_at.expanded:
            mistakes.append(
                SuspectedMistake(
                    kind="gap not at the smallest bore",
                    cause=f"the ring lay at station {row.station}, where the bore is larger than at its smallest in ring travel: "
                    "the gap reads too wide by π times the difference",
                    about=finding.shaft,
                    row=row.id,
                    fits=[finding.id],
                    source=source(row.where()),
                )
            )
    return mistakes


def _swapped(context: MeasuredBuild) -> list[SuspectedMistake]:
    """Bore and shaft swapped: each reads as the other should."""
    mistakes = []
    for fit_id, fit in context.build.fits.items():
        if not fit.shaft or fit.kind == "key_taper":
            continue
        hole, shaft = context.build.features[fit.hole], context.build.features[fit.shaft]
        outer, inner = context.local_sizes(fit.hole), context.local_sizes(fit.shaft)
        if (
            not outer
            or not inner
            or hole.size is None
            or shaft.size is None
            or abs(hole.size - shaft.size) < 4 * outer[0].size.std_dev
        ):
            continue
        apart = abs(hole.size - shaft.size)
        if all(abs(each.mm - shaft.size) < apart / 4 for each in outer) and all(
            abs(each.mm - hole.size) < apart / 4 for each in inner
        ):
            row = context.rows[outer[0].rows[0]]
            mistakes.append(
                SuspectedMistake(
                    kind="bore and shaft swapped",
                    cause=f"{fit.hole} reads as {fit.shaft} should, and the other way round: the two were written down the wrong way round",
                    about=fit.hole,
                    row=row.id,
                    fits=[fit_id],
                    source=source(row.where()),
                )
            )
    return mistakes


def _tapers(context: MeasuredBuild, fits: dict[str, FitFinding]) -> list[SuspectedMistake]:
    mistakes = []
    for finding in fits.values():
        if finding.kind == "key_taper" and finding.state == "out":
            fit = context.build.fits[finding.id]
            key, keyway = context.build.features[fit.key].nominal, context.build.features[fit.keyway].nominal
            mistakes.append(
                SuspectedMistake(
                    kind="two tapers",
                    cause=f"key {key} in a {keyway} keyway: the tapers do not match and the key bears at one end",
                    about=fit.key,
                    fits=[finding.id],
                    source=source(fit.where()),
                )
            )
    return mistakes


def tell_fits(context: MeasuredBuild, fits: dict[str, FitFinding], mistakes: list[SuspectedMistake]) -> None:
    """A fit says which mistakes touch it, and asks to be looked at."""
    for slip in mistakes:
        for fit_id in slip.fits:
            finding = fits[fit_id]
            finding.look = True
            if slip.kind != "borrowed reading":
                finding.causes.append(slip.cause)

"""The sentences of what findings have to tell of the form of a feature: ovality, taper, lobes and the profile along it."""

OF_FORM = {
    "no-ovality-seen": (
        "{instruments:names} bears at three points: it sees no ovality; read it with a two-point gauge too"
    ),
    "vee-wanted": (
        "{subject} held it in three jaws, and two-point gauges see no three lobes: read it over a vee block, and write vee and lobes"
    ),
    "lobes-unsaid": "{rows:names} read over a vee block, but nothing says for how many lobes: nothing follows; write lobes",
    "lobes-work-larger": (
        "{subject} has {lobes:count} lobes, which two-point gauges do not see: a vee of {vee:words} shows it out of round by "
        "{out_of_round:length}, U {expanded:length} ({rows:names}), and in a fit it works so much larger than it reads"
    ),
    "lobes-work-smaller": (
        "{subject} has {lobes:count} lobes, which two-point gauges do not see: a vee of {vee:words} shows it out of round by "
        "{out_of_round:length}, U {expanded:length} ({rows:names}), and in a fit it works so much smaller than it reads"
    ),
    "lobes-seen": (
        "{subject} has {lobes:count} lobes: a vee of {vee:words} shows it out of round by {out_of_round:length}, "
        "U {expanded:length} ({rows:names}); two-point gauges see them too"
    ),
    "form-out": "{what:names} is over the {most:length} allowed, by the whole uncertainty or more",
    "form-reads-out": "{what:names} reads over the {most:length} allowed, by less than its uncertainty",
    "form-reads-in": "{what:names} reads within the {most:length} allowed, by less than its uncertainty",
    "form-not-tested": "{what:names} was not tested against the {most:length} allowed: the places read cannot show it",
    "bell-mouthed-first": "bell-mouthed at the first station",
    "bell-mouthed-last": "bell-mouthed at the last station",
    "barrelled": "barrel: larger in the middle",
    "waisted": "waisted: smaller in the middle",
    "no-shape-seen": "no barrel, waist or bell-mouth beyond the uncertainty",
    "ovality-not-seen": (
        "{subject} was read at three points, which see no ovality: the {may_be:length} that there may be stands in the uncertainty"
    ),
    "ovality-not-known": (
        "{subject} was read at three points, which see no ovality: nothing says how much there may be, and none of it is in the "
        "uncertainty"
    ),
    "half-form-not-tested": (
        "{what:names} of {subject} was not tested against the {most:length} allowed: the places read cannot show it"
    ),
    "lobes-not-known": (
        "{subject} was last cut in three jaws ({after:names}), and nobody read it over a vee block: three lobes, which two-point "
        "gauges do not see, are not in the uncertainty"
    ),
}

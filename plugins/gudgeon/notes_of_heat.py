"""The sentences of what fits have to tell of heat; see notes.py."""

OF_HEAT = {
    # Fits hot.
    "fails-hot": "{how:words}",
    "may-close-hot": "the uncertainty reaches to metal on metal, by a chance of over {most:chance} ({ground:words})",
    "fails-in-case": "{case}: {because}",
    "case-not-worked-out": "{case}: not worked out, because {lacks:and} has neither a reading nor a nominal",
    "no-case-named": "no temperature case is named for it: how it fits hot is not worked out",
    "no-warm-up-named": (
        "no case is named in which the inner part leads the outer by more than in {cases:cases}, as in warming up or with cold "
        "water filled in: there it is tighter"
    ),
    "hopper-colder-than-boiling": (
        "the hopper boils at {boils:about}, and the hottest outer part of its cases is at {at:celsius}: on load it is no cooler "
        "than its water"
    ),
    "bore-limits-move-gap": (
        "the limits of {subject} lie {bore:length} apart, which moves the gap by π times that, {moves:length}: more than the "
        "{wanted:length} between the least and the most wanted"
    ),
    "opens-hot": "{cases:cases}: it opens beyond the most that is wanted cold",
    "beyond-coefficient": (
        "{material:words} at {at:celsius} (its coefficient holds from {low:degrees} to {high:celsius})"
    ),
}

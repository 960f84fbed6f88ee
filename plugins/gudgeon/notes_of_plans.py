"""The sentences of what findings have to tell of operations and of how long they take."""

OF_PLANS = {
    "set-up-broken": "the set-up of {subject} is no longer valid: {by:names} broke the holding since",
    "set-up-no-runs": "where the indicator ran is not written (set_up of {subject}, runs): how true the work runs is not known",
    "set-up-one-station": "the indicator ran at one place only (set_up of {subject}): tilt is not known",
    "set-up-no-indicator": "no indicator is named (set_up of {subject}): how well the offset is known is not known",
    "done": "done on {on:day}",
    "all-done-before": "all that it needs is done",
    "waits-for": "waits for {those and what they do}",
    "waits-until": "waits until {until:day}: {subject} ({does:words}) rests {wait:words}",
    "rests-until": "{subject} ({does:words}) rests {wait:words}, until {until:day}",
    "waits-after": "waits until {until:day}: {wait:words} have to pass between {subject} ({does:words}) and its start",
    "hands-taken": 'what names nobody is done by {by:and}; who shares it has evenings under "people" in build.yaml',
    "away-counted": "{subject} is away on {days:count} of the days to come, and nothing of theirs moves on them",
    "away-not-counted": (
        'the days on which {subject} is away are not counted: no work is known to be theirs; write "evenings" under '
        '"people", or "by" on an operation'
    ),
    "fit-without-fresh-reading": "{name:words} ({subject}) has no fresh reading",
    "fit-not-settled": "{name:words} ({subject}): {state:names}",
    "fits-not-agreed-to": "nobody has agreed to {unseen:count} of {all:count} fits",
    "holding-broken": "it has been out of the chuck ({by:names} broke holding {holding:names}): clock it true before cutting",
    "estimate-under-cutting": (
        "its estimate of {estimate:minutes} minutes is under the {cut:minutes} that the tool is in the cut"
    ),
    "usual-evenings": (
        "evenings of {evening:minutes} minutes, {a_week:count} a week ({ground:words}); "
        'write "evenings: {{length: 120 min, a_week: 2}}" into build.yaml'
    ),
    "rework": "rework counts as work: {operations:names} put expected minutes back on",
    # What the last cut leaves and bends, and how long its tool lasts.
    "ridges-left": (
        "feed and nose leave no less than Ra {rough:micro}, ridges {ridges:micro}; a real cut is often {rougher_least:figure} to "
        "{rougher_most:figure} times rougher ({ground:words})"
    ),
    "feed-over-nose": "a feed of {feed:length} is more than the nose of {nose:length}: the finish is not worked out",
    "cut-bends-work": (
        "the last cut asks for {weakest:force} to {strongest:force} ({sources:names}) and bends the work, counted as solid, by "
        "{least:length} to {most:length} on the diameter, {across_least:figure} to {across_most:figure} of it pressing across "
        "({ground:words}); chuck and slides give besides"
    ),
    "cut-bends-bar": (
        "the last cut asks for {weakest:force} to {strongest:force} ({sources:names}) and bends the bar by "
        "{least:length} to {most:length} on the diameter, {across_least:figure} to {across_most:figure} of it pressing across "
        "({ground:words}); chuck and slides give besides"
    ),
    "tool-lasts": (
        "at this speed the tool lasts about {least:minutes} to {most:minutes} min, by Taylor from {lasts:minutes} min at {at:surface speed} "
        "with an exponent of {least_exponent:figure} to {most_exponent:figure} ({sources:names} alone: {ground:words})"
    ),
    "speed-over-printed": (
        "{speed:surface speed} is over what is printed for {metal:names} with {tool:names}: {most:surface speed} at the most "
        "({sources:words})"
    ),
    "tool-life-too-far": "the speed is too far from {at:surface speed} to say by Taylor how long the tool lasts",
}

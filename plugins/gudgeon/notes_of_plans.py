"""The sentences of what findings have to tell of operations and of how long they take."""

OF_PLANS = {
    "done": "done on {on:day}",
    "all-done-before": "all that it needs is done",
    "waits-for": "waits for {those and what they do}",
    "waits-until": "waits until {until:day}: {subject} ({does:words}) rests {wait:words}",
    "waits-after": "waits until {until:day}: {wait:words} have to pass between {subject} ({does:words}) and its start",
    "hands-taken": 'what names nobody is done by {by:and}; who shares it has evenings under "people" in build.yaml',
    "away-counted": "{subject} is away on {days:count} of the days to come, and nothing of theirs moves on them",
    "away-not-counted": (
        'the days on which {subject} is away are not counted: no work is known to be theirs; write "evenings" under '
        '"people", or "by" on an operation'
    ),
    "fit-without-fresh-reading": "fit {subject} ({name:words}) has no fresh reading",
    "fit-not-settled": "fit {subject} ({name:words}) is {state:names}",
    "fits-not-agreed-to": "nobody has agreed to {unseen:count} of {all:count} fits",
    "holding-broken": "holding {holding:names} was broken by {by:names}: re-true the work before cutting",
    "estimate-under-cutting": (
        "its estimate of {estimate:minutes} minutes is under the {cut:minutes} that the tool is in the cut"
    ),
    "usual-evenings": (
        "evenings of {evening:minutes} minutes, {a_week:count} a week ({ground:words}); "
        'write "evenings: {{length: 120 min, a_week: 2}}" into build.yaml'
    ),
    "rework": "rework counts as work: {operations:names} put expected minutes back on",
}

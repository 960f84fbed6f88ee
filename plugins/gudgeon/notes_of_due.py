"""The sentences of what is due."""

# Code -> sentence, without its first capital and its full stop.
OF_DUE = {
    "due-gauge": "check the {name:words} ({subject}), last checked {checked:words}",
    "due-concession": "look again at {about:and}: the concession of {who:words}, given on {given:day}, ends",
    "due-wait": "{does:words} ({subject}): the wait after “{before:words}” is over",
    "due-upkeep": "{does:words}",
}

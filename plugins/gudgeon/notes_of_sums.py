"""The sentences of what sums have to tell; see notes.py."""

OF_SUMS = {
    # What a sum still needs.
    "no-figure-of-engine": 'build.yaml, under "engine": the line "{subject}: …"',
    "no-figure": 'figures.yaml: "{subject}", {is:words}',
    "no-line-of-part": 'parts/{part:names}.yaml: the line "{line:names}: …"',
    "no-feature": 'parts/{part:names}.yaml: a feature "{feature:names}"',
    "no-property": 'materials.yaml: "{property:names}" of {material:names}, or "like:" and a material of the club',
    "no-part-of-family": "a part of the family {subject}",
    "no-reading-or-nominal": "a reading of {subject}, or its nominal",
    "no-nominal": "the nominal of {subject}, by which the table goes",
    "fit-not-read": "readings of both halves of fit {subject}",
    "fit-without-interference": "interference in fit {subject}: it stands at clearance",
    "not-in-table": "{why:words}",
    "no-result": "these numbers give no result",
    # Where a sum holds.
    "outside-range": "{subject} is {number:figure}{unit:words}, and this holds for {range:words}: {why:words} ({ground:words})",
    "outside-range-length": "{subject} is {number:bound}, and this holds for {range:words}: {why:words} ({ground:words})",
    "may-be-outside-range": (
        "{subject} may be {number:figure}{unit:words}, and this holds for {range:words}: {why:words} ({ground:words})"
    ),
    "may-be-outside-range-length": (
        "{subject} may be {number:bound}, and this holds for {range:words}: {why:words} ({ground:words})"
    ),
    "range-not-tested": "not tested whether {subject} is {range:words}, for which this holds; that needs {because}",
    "rests-outside-range": "{gives:words}, on which it rests, is not known to hold for these numbers",
    "heated-beyond-coefficient": (
        "from 20 °C it would be at {at:about}, and the coefficient of {material:words} is for {low:celsius} to {high:celsius}: "
        "it may need more heat or less, so try it on"
    ),
    "coefficient-unsaid": "nothing says for what temperatures the coefficient of {material:words} is; this takes it to {at:about}",
}

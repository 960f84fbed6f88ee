"""The sentences of what findings have to tell of rules of thumb."""

SLIPS = {  # how many times too much or too little -> words
    10.0: "ten times",
    1 / 10.0: "one tenth of",
    100.0: "a hundred times",
    1 / 100.0: "one hundredth of",
    25.4: "25.4 times, the inch in millimetres,",
    1 / 25.4: "1/25.4 of, the inch in millimetres,",
}
OF_RULES = {
    # Where a range comes from.
    "want-of-class": "class {class:words}",
    "want-of-rule": "rule {subject}",
    "want-of-lost-rule": "rule {subject}, whose file cannot be read",
    "want-in-words": "{said:words}",
    "want-in-figures": "the fit's own figures",
    "limits-of-spec": "the part's own spec",
    "limits-of-tolerance": "tolerance {tolerance:words}",
    # Rules that were copied.
    "copied-otherwise": "copied from {subject}, but it does not give what that one gives",
    "copied-least-otherwise": (
        "copied from {subject}, but it does not give what that one gives: {own:figure} where {subject} says {other:figure}"
    ),
    "copied-with-slip": (
        "copied from {subject}, but it does not give what that one gives: {own:figure} where {subject} says {other:figure}, "
        "{times:slip} it: a nought slipped, or a unit"
    ),
    "copied-without-most": "its most is missing",
    "least-slipped": "its least is {times:slip} that of {subject}",
    # Rules as they are cited.
    "want-not-of-rule": "the wanted range is not what rule {subject} gives: {written for given}",
    "rule-unread": "rule {subject} cannot be read: nothing says what is wanted",
    "rule-outside-its-range": "rule {subject} is used outside its range: {because}",
    "rule-for-other-kind": "it is for a {meant:words}; this one is a {this:words}",
    "rule-for-other-outer": "it is for an outer part of {meant:metals}; this one is {this:metals}",
    "rule-for-other-inner": "it is for an inner part of {meant:metals}; this one is {this:metals}",
    "rule-for-other-sizes": "it is good for {least:bound} to {most:bound}",
    "rule-for-lower-speed": "it is good up to {most:words}",
    "rule-for-higher-speed": "it is good from {least:words} on",
    "rule-for-other-cooling": "it is good for {cooling:or} cooling",
    "rule-for-other-running": "it is good for {meant:or}; this engine runs at {this:names}",
    "rule-cannot-tell": "it cannot be told whether it holds here: {unknown:and} {unknown:is or are} not noted",
    "rule-perhaps-outside": "rule {subject} is cited, and {because}",
    "rule-not-compared": "the wanted range was not compared with rule {subject}: {because}",
    "rule-gives-nothing": "rule {subject} gives nothing here, so nothing says what is wanted: {because}",
    "rule-superseded": "rule {subject} is superseded by {by:names}",
    # Outcomes that are no evidence of a rule.
    "outcome-clearance-not-known": "the clearance with which it ran is not known",
    "outcome-range-not-known": "what the rule gives here is not known",
    "outcome-outside-range": "it ran with {clearance:length}, outside what was wanted by the rule",
    "outcome-of-same-run": "another outcome of the same running counts",
    "outcome-of-its-part": "{about:words}: {result:words}",
    "no-step-for-size": "it has no step for {size:bound}",
    "no-size-to-count-on": "the size of {size:names} is not known here",
    "other-rule-unread": "it takes the result of rule {subject}, which cannot be read",
    "other-rule-withdrawn": "it takes the result of rule {subject}, which is withdrawn",
    "other-rule-has-no-such-case": "it takes the result of rule {subject}, and does not name one of its cases",
    "other-rule-gives-nothing": "it takes the result of rule {subject}, which gives nothing: {because}",
    "rules-in-a-circle": "rules take their results from each other in a circle: {rules:names}",
    "other-rule-outside": "it takes the result of rule {subject}, and that is outside its range: {because}",
}

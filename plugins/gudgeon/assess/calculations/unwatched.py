"""Results that have a limit which no caution watches, and why: told beside each, so that silence is not taken for safety."""

STRENGTH = "what this metal bears is not on the metal rack, and castings differ: hold it against what you allow"
SPEED = "the speed of the rim is watched instead, and what the iron bears is not on the metal rack"
BESIDE = "the stress beside it is what breaks, and that is for you to judge"
GRADE = "the grade of the bolts is not recorded"
CLAMPED = "the clamping load over the gas load is watched instead, and the grade of the studs is not recorded"
WEARS = "too much of it wears and breaks nothing"
KEYS = "what the key, its shaft and its hub bear is not recorded"
UNWATCHED = {
    "wall-stress": STRENGTH,
    "bore-out-left": "at nought the wall is down to what the pressure needs: no larger bore, and none at all below it",
    "pressed-pressure": BESIDE,
    "pressed-host-stress": STRENGTH,
    "pressed-own-stress": STRENGTH,
    "rim-hoop": SPEED,
    "rim-hoop-runaway": SPEED,
    "rim-stress": SPEED,
    "rim-stress-runaway": SPEED,
    "disc-stress-runaway": SPEED,
    "rim-radius-most": "it is a size to draw; the rim's speed is watched",
    "seat-pressure": BESIDE,
    "hub-stress": STRENGTH,
    "hub-torque": "what it has to carry is the key's figure; a fit without a key is for you to judge",
    "stud-tension": CLAMPED,
    "stud-load": CLAMPED,
    "stud-clamp-left": CLAMPED,
    "rod-load": GRADE,
    "rod-load-runaway": GRADE,
    "skirt-pressure": WEARS,
    "pin-pressure": WEARS,
    "ring-pressure": "too little leaks and too much wears; the ring's stress is watched",
    "ring-pressure-weighed": "too little leaks and too much wears; the ring's stress is watched",
    "key-shear": KEYS,
    "key-crushing": KEYS,
    "key-crushing-metric": KEYS,
}

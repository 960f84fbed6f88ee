"""The ways in which fits are written down, each with its sum cold and hot."""

from gudgeon.records.fit_kinds.kind import Pairing, Sum

LENGTHS = ("length", "thickness", "slot")
READ_GAPS = ("play", "gap")


def _two_sizes(outer: str, inner: str, outer_kinds: tuple[str, ...], inner_kinds: tuple[str, ...]) -> Pairing:
    """A hole or space and what stands in it. outer, inner: their letters."""
    return Pairing(
        id="two sizes",
        outer="hole",
        inner="shaft",
        grows=("hole", "shaft"),
        needs={"hole": outer_kinds, "shaft": inner_kinds},
        may={},
        takes_class=True,
        cold=Sum(result="C", terms="{hole} − {shaft}", letters={"hole": outer, "shaft": inner}),
        hot=Sum(
            result="Chot",
            terms="{hole} × [1 + {hole_cte} × ({hole_temp} − 20)] − {shaft} × [1 + {shaft_cte} × ({shaft_temp} − 20)]",
            letters={
                "hole": outer,
                "shaft": inner,
                "hole_cte": "αhole",
                "shaft_cte": "αshaft",
                "hole_temp": "Thole",
                "shaft_temp": "Tshaft",
            },
        ),
        hot_needs=(),
    )


# A round hole and a round shaft: heat works by both diameters.
HOLE_AND_SHAFT = _two_sizes("Dhole", "Dshaft", ("bore",), ("od",))


def between_faces(outer: str, inner: str) -> Pairing:
    """A length between two faces and the length that stands between them: heat works by both lengths."""
    return _two_sizes(outer, inner, LENGTHS, LENGTHS)


def read_gap(letter: str, hot: bool) -> Pairing:
    """A gap that is read as one, with feelers or an indicator.

    hot: whether heat works by the lengths of the two ways round the gap, which the fit then names as hole and shaft.
    """
    growth = Sum(
        result=f"{letter}hot",
        terms="{gap} + {hole_length} × {hole_cte} × ({hole_temp} − 20) − {shaft_length} × {shaft_cte} × ({shaft_temp} − 20)",
        letters={
            "gap": letter,
            "hole_length": "Louter",
            "shaft_length": "Linner",
            "hole_cte": "αouter",
            "shaft_cte": "αinner",
            "hole_temp": "Touter",
            "shaft_temp": "Tinner",
        },
    )
    return Pairing(
        id="read gap",
        outer=None,
        inner="gap",
        grows=("hole", "shaft"),
        needs={"gap": READ_GAPS},
        may={"hole": LENGTHS, "shaft": LENGTHS} if hot else {},
        takes_class=False,
        cold=Sum(result=letter, terms="{gap}", letters={"gap": f"{letter}read"}),
        hot=growth if hot else None,
        hot_needs=("hole", "shaft") if hot else (),
    )


# The closed gap of a ring: from one bore to another, and hot, it moves by π times the bore.
RING_IN_BORE = Pairing(
    id="ring gap",
    outer="hole",
    inner="gap",
    grows=("hole", "gap"),
    needs={"hole": ("bore",), "gap": ("gap",)},
    may={},
    takes_class=False,
    cold=Sum(
        result="G",
        terms="{gap_read} + π × ({gap_moved_by})",
        letters={"gap_read": "Gread", "gap_moved_by": "Dsmallest − Dread"},
    ),
    hot=Sum(
        result="Ghot",
        terms="{clearance} + π × {bore} × [{hole_cte} × ({hole_temp} − 20) − {shaft_cte} × ({shaft_temp} − 20)]",
        letters={
            "clearance": "G",
            "bore": "D",
            "hole_cte": "αbore",
            "shaft_cte": "αring",
            "hole_temp": "Tbore",
            "shaft_temp": "Tring",
        },
    ),
    hot_needs=(),
)

# Two tapers over the length that they bear on: both as stated, and heat does nothing to a taper.
KEY_AND_KEYWAY = Pairing(
    id="two tapers",
    outer="keyway",
    inner="key",
    grows=("keyway", "key"),
    needs={"keyway": ("taper",), "key": ("taper",), "bears_over": LENGTHS},
    may={},
    takes_class=False,
    cold=Sum(
        result="m",
        terms="|{keyway} − {key}| × {bears_over}",
        letters={"keyway": "tkeyway", "key": "tkey", "bears_over": "L"},
    ),
    hot=None,
    hot_needs=(),
)

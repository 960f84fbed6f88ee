"""The outlines of an engine's parts on a sheet, to the scale of its layout. Dashed is what no record says the size of."""

import math
from collections.abc import Iterable

from gudgeon.drawing.canvas import Canvas, Point
from gudgeon.pages.drawn.engine_layout import Layout

SOLID, DASHED, BEHIND = "g-part", "g-part g-guessed", "g-part g-behind"


class Shapes:
    """Draws parts of an engine. middle: of the crankshaft on the sheet; scale: units of the sheet a mm."""

    def __init__(self, canvas: Canvas, layout: Layout, middle: Point, scale: float):
        self._canvas, self.layout, self._middle, self.scale = canvas, layout, middle, scale

    def at(self, u: float, v: float) -> Point:
        """A place of the engine on the sheet."""
        x, y = self._middle
        if self.layout.upright:
            return x + v * self.scale, y - u * self.scale
        return x + u * self.scale, y - v * self.scale

    def draw(self, role: str, number: int, of: int, fill: str) -> None:
        """One of the parts of a role. number, of: which of how many."""
        getattr(self, f"_{role}")(number, of, fill)

    def _css(self, *names: str) -> str:
        return DASHED if self.layout.guessed & set(names) else SOLID

    def _polygon(self, places: Iterable[Point], css: str, fill: str) -> None:
        self._canvas.polygon([self.at(u, v) for u, v in places], css, fill)

    def _block(self, u1: float, v1: float, u2: float, v2: float, css: str, fill: str) -> None:
        self._polygon([(u1, v1), (u2, v1), (u2, v2), (u1, v2)], css, fill)

    def _line(self, u1: float, v1: float, u2: float, v2: float, css: str) -> None:
        self._canvas.line(*self.at(u1, v1), *self.at(u2, v2), css)

    def _round(self, u: float, v: float, radius: float, css: str, fill: str | None = None) -> None:
        self._canvas.circle(*self.at(u, v), radius * self.scale, css, fill)

    def _ring_round(
        self, u: float, v: float, within: float, outside: float, css: str, fill: str, number: int = 0, of: int = 1
    ) -> None:
        """A ring cut through, or one of so many equal pieces of it."""
        x, y = self.at(u, v)
        inner, outer = max(min(within, outside), 0.0) * self.scale, max(within, outside) * self.scale
        if of == 1:
            outlines = " ".join(
                f"M {x - r:.1f} {y:.1f} a {r:.1f} {r:.1f} 0 1 {way} {2 * r:.1f} 0 a {r:.1f} {r:.1f} 0 1 {way} {-2 * r:.1f} 0 Z"
                for r, way in ((outer, 1), (inner, 0))
            )
        else:
            first, last = (2 * math.pi * piece / of for piece in (number, number + 1))
            (x1, y1), (x2, y2), (x3, y3), (x4, y4) = (
                (x + r * math.sin(turned), y - r * math.cos(turned))
                for r, turned in ((outer, first), (outer, last), (inner, last), (inner, first))
            )
            far = int(of < 2)
            outlines = (
                f"M {x1:.1f} {y1:.1f} A {outer:.1f} {outer:.1f} 0 {far} 1 {x2:.1f} {y2:.1f} "
                f"L {x3:.1f} {y3:.1f} A {inner:.1f} {inner:.1f} 0 {far} 0 {x4:.1f} {y4:.1f} Z"
            )
        self._canvas.path(outlines, css, fill)

    def _flywheel(self, number: int, of: int, fill: str) -> None:
        one, radius = self.layout, self.layout["flywheel"] / 2
        hub = min(one["hub"] / 2, radius)
        if number == 0:
            self._round(0, 0, hub, BEHIND)
            for spoke in range(one.spokes or 0):
                turned = math.radians(360 / (one.spokes or 1) * spoke + 15)
                along, across = math.cos(turned), math.sin(turned)
                within = max(radius - one["rim"], hub)
                self._line(hub * along, hub * across, within * along, within * across, "g-spoke")
        self._ring_round(0, 0, max(radius - one["rim"], 0), radius, self._css("flywheel", "rim"), fill, number, of)

    def _base(self, number: int, of: int, fill: str) -> None:
        self._bed(fill)

    def _bed(self, fill: str) -> None:
        """What it all stands on: a bed beside the cylinder, or a case round the crank; no record says its sizes."""
        one = self.layout
        room = one.throw + one["big end"] * 0.62
        if one.upright:
            wall, low = 0.1 * one.bore, -room - 0.12 * one.bore
            high = one.face - one["barrel"]
            wide = max(room + 0.1 * one.bore, one.outside + 0.05 * one.bore)
            high = max(high, low + wall)
            self._polygon(
                [
                    (high, one.outside),
                    (high, wide),
                    (low, wide),
                    (low, wide + 0.35 * one.bore),
                    (low - wall, wide + 0.35 * one.bore),
                    (low - wall, -wide - 0.35 * one.bore),
                    (low, -wide - 0.35 * one.bore),
                    (low, -wide),
                    (high, -wide),
                    (high, -one.outside),
                    (high - wall, -one.outside),
                    (high - wall, -wide + wall),
                    (low + wall, -wide + wall),
                    (low + wall, wide - wall),
                    (high - wall, wide - wall),
                    (high - wall, one.outside),
                ],
                DASHED,
                fill,
            )
            return
        # As low as the wheel lets it, which runs beside it over the ground.
        high = -max(one.outside, one["main"] * 0.75) - 0.06 * one.bore
        low = min(high - 0.5 * one.bore, -0.86 * one.radius)
        plate, foot = high - 0.2 * one.bore, 0.55 * one.bore
        self._polygon(
            [
                (-room * 0.9, high),
                (one.face, high),
                (one.face, plate),
                (one.face - 0.15 * one.bore, plate),
                (one.face, low),
                (one.face - foot - 0.25 * one.bore, low),
                (one.face - foot, plate),
                (-room * 0.9 + foot, plate),
                (-room * 0.9 + foot + 0.15 * one.bore, low),
                (-room * 0.9 - 0.15 * one.bore, low),
                (-room * 0.9, plate),
            ],
            DASHED,
            fill,
        )

    def _crank(self, number: int, of: int, fill: str) -> None:
        one = self.layout
        (along, across), turned = one.crankpin, math.radians(one.past_top)
        ux, vx = -math.sin(turned), math.cos(turned)
        pin, main = one["crankpin"] * 0.72, one["journal"] * 0.78
        back = one["journal"] * 0.9
        tip = one["crankpin"] * 0.68
        self._polygon(
            [
                (along + pin * ux + tip * math.cos(turned), across + pin * vx + tip * math.sin(turned)),
                (main * ux - back * math.cos(turned), main * vx - back * math.sin(turned)),
                (-main * ux - back * math.cos(turned), -main * vx - back * math.sin(turned)),
                (along - pin * ux + tip * math.cos(turned), across - pin * vx + tip * math.sin(turned)),
            ],
            DASHED,
            fill,
        )
        self._round(0, 0, one["journal"] / 2, self._css("journal"), fill)
        self._round(along, across, one["crankpin"] / 2, self._css("crankpin"), fill)

    def _main(self, number: int, of: int, fill: str) -> None:
        one = self.layout
        css = self._css("journal", "main")
        self._ring_round(0, 0, one["journal"] / 2, one["main"] / 2, css, fill, number, of)

    def _rod(self, number: int, of: int, fill: str) -> None:
        """The rod with its eyes; what it holds is drawn into them."""
        one = self.layout
        (along, across), pin = one.crankpin, one.pin
        long = math.hypot(pin - along, across)
        du, dv = (pin - along) / long, -across / long
        small, big = one["small end"] / 2, one["big end"] / 2
        near, far = 0.42 * one["crankpin"], 0.6 * small
        places = [
            (along + du * big * 0.9 - dv * near, across + dv * big * 0.9 + du * near),
            (pin - du * small * 0.8 - dv * far, -dv * small * 0.8 + du * far),
            (pin - du * small * 0.8 + dv * far, -dv * small * 0.8 - du * far),
            (along + du * big * 0.9 + dv * near, across + dv * big * 0.9 - du * near),
        ]
        self._polygon(places, DASHED, fill)
        hole = one["crankpin"] * 0.62 if one.roles["bearing"] else one["crankpin"] / 2
        self._ring_round(along, across, hole, big, DASHED, fill)
        hole = one["bush"] / 2 if one.roles["bush"] else one["pin"] / 2
        self._ring_round(pin, 0, hole, small, self._css("small end"), fill)

    def _bearing(self, number: int, of: int, fill: str) -> None:
        one = self.layout
        self._ring_round(*one.crankpin, one["crankpin"] / 2, one["crankpin"] * 0.62, self._css("crankpin"), fill)

    def _bush(self, number: int, of: int, fill: str) -> None:
        one = self.layout
        self._ring_round(one.pin, 0, one["pin"] / 2, one["bush"] / 2, self._css("bush", "pin"), fill)

    def _pin(self, number: int, of: int, fill: str) -> None:
        self._round(self.layout.pin, 0, self.layout["pin"] / 2, self._css("pin"), fill)

    def _cylinder(self, number: int, of: int, fill: str) -> None:
        one = self.layout
        within = one.bore / 2 + one["liner"]
        foot = one.face - one["barrel"]
        self._block(foot, -within, one.face, within, "g-void", "none")
        if one.cooling in ("hopper", "tank"):
            self._jacket(fill)
        for side in (1, -1):
            self._block(foot, side * within, one.face, side * one.outside, self._css("wall", "barrel"), fill)
            self._line(foot, side * within, one.face, side * within, "g-known")
        if one.cooling == "air":
            self._fins()

    def _jacket(self, fill: str) -> None:
        one = self.layout
        first, wall, room = one.face - 0.72 * one["barrel"], 0.07 * one.bore, 0.22 * one.bore
        low, high = one.outside, one.outside + room
        sides = (-1,) if one.cooling == "hopper" and not one.upright else (1, -1)
        for side in sides:
            self._polygon(
                [
                    (first, side * low),
                    (first, side * (high + wall)),
                    (one.face, side * (high + wall)),
                    (one.face, side * high),
                    (first + wall, side * high),
                    (first + wall, side * low),
                ],
                DASHED,
                fill,
            )
        if one.cooling == "hopper" and not one.upright:
            rim = one.outside + 1.15 * one.bore
            spread = 0.12 * one.bore
            for end, way in ((first, 1), (one.face, -1)):
                self._polygon(
                    [
                        (end, low),
                        (end - way * spread, rim),
                        (end - way * (spread - wall), rim),
                        (end + way * wall, low),
                    ],
                    DASHED,
                    fill,
                )
            level = one.outside + 0.85 * one.bore
            self._line(first - spread * 0.7 + wall, level, one.face + spread * 0.7 - wall, level, "g-water")
            for depth in (0.12, 0.24):
                short = (one.face - first) * (0.3 + depth)
                self._line(
                    first + short, level - depth * one.bore, one.face - short, level - depth * one.bore, "g-water"
                )

    def _fins(self) -> None:
        one = self.layout
        for fin in range(9):
            along = one.face - (0.06 + 0.085 * fin) * one["barrel"]
            for side in (1, -1):
                self._line(along, side * one.outside, along, side * (one.outside + 0.28 * one.bore), "g-spoke")

    def _liner(self, number: int, of: int, fill: str) -> None:
        one = self.layout
        for side in (1, -1):
            within, outside = side * one.bore / 2, side * (one.bore / 2 + one["liner"])
            self._block(one.face - one["barrel"], within, one.face, outside, self._css("liner outside", "barrel"), fill)

    def _head(self, number: int, of: int, fill: str) -> None:
        one = self.layout
        wide = one.outside + 0.12 * one.bore
        self._block(one.face, -wide, one.face + one["head"], wide, self._css("head"), fill)

    def _valve(self, number: int, of: int, fill: str) -> None:
        one = self.layout
        across = self.valve_at(number, of)
        stem, dish = one["valve stem"] / 2, one["valve"] / 2
        thick, end = 0.06 * one.bore, one.top
        self._polygon(
            [
                (one.face, across - dish),
                (one.face, across + dish),
                (one.face + thick, across + dish * 0.8),
                (one.face + thick * 2, across + stem),
                (end, across + stem),
                (end, across - stem),
                (one.face + thick * 2, across - stem),
                (one.face + thick, across - dish * 0.8),
            ],
            DASHED,
            fill,
        )
        spring = [
            (one.face + one["head"] + (one["stem"] * 0.85) * turn / 8, across + (2.6 if turn % 2 else -2.6) * stem)
            for turn in range(9)
        ]
        self._canvas.polyline([self.at(u, v) for u, v in spring], "g-spring")

    def valve_at(self, number: int, of: int) -> float:
        """v of a valve."""
        return 0.0 if of == 1 else (0.24 - 0.48 * number) * self.layout.bore

    def _piston(self, number: int, of: int, fill: str) -> None:
        one = self.layout
        crown = one.pin + one["pin to crown"]
        foot, radius = crown - one["piston"], one.bore / 2 * 0.985
        wall, top = 0.1 * one.bore, 0.13 * one.bore
        self._polygon(
            [
                (foot, radius),
                (crown, radius),
                (crown, -radius),
                (foot, -radius),
                (foot, -radius + wall),
                (crown - top, -radius + wall * 1.4),
                (crown - top, radius - wall * 1.4),
                (foot, radius - wall),
            ],
            DASHED,
            fill,
        )
        for side in (1, -1):
            self._line(foot, side * radius, crown, side * radius, self._known("piston"))
        self._line(crown, -radius, crown, radius, self._known("pin to crown"))
        self._round(one.pin, 0, one["pin"] * 0.85, "g-boss")

    def _known(self, name: str) -> str:
        return "g-guess" if name in self.layout.guessed else "g-known"

    def ring_at(self, number: int) -> float:
        """u of the middle of a ring; how far it lies below the crown no record says."""
        one = self.layout
        thick = max(one["ring"], 0.02 * one.bore)
        return one.pin + one["pin to crown"] - 0.1 * one.bore - number * 2.2 * thick

    def _ring(self, number: int, of: int, fill: str) -> None:
        one, along = self.layout, self.ring_at(number)
        for side in (1, -1):
            self._block(
                along - one["ring"] / 2, side * (one.bore / 2 - one["ring wall"]), along + one["ring"] / 2,
                side * one.bore / 2, self._css("ring", "ring wall"), fill,
            )  # fmt: skip

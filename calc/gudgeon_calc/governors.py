"""Governors: force of the weights, spread and droop."""

from gudgeon_calc.units import Number, formula


@formula("revolution/minute", source="derived", speed="revolution/minute", ratio="")
def own_speed(speed: Number, ratio: Number) -> Number:
    """Speed of the governor's own shaft: n·i.

    speed [revolution/minute]: of the crank. ratio []: governor over crank. Returns [revolution/minute]. Source: derived.
    Valid: positive drive.
    """
    return speed * ratio


@formula("newton", source="derived", mass="kg", radius="m", speed="radian/second")
def weight_force(mass: Number, radius: Number, speed: Number) -> Number:
    """Outward force of one weight: m·r·ω².

    mass [kg]. radius [m]: of its centre of gravity. speed [radian/second]: of the governor's own shaft. Returns [newton].
    Source: derived. Valid: weights not touching their stops.
    """
    return mass * radius * speed**2


@formula("newton/mm", source="derived", force_in="newton", force_out="newton", radius_in="mm", radius_out="mm")
def spring_rate(force_in: Number, force_out: Number, radius_in: Number, radius_out: Number) -> Number:
    """Rate of the spring that balances the weights at both radii: (F2 − F1)/(r2 − r1).

    force_in, force_out [newton]: of one weight, at radius_in, radius_out [mm] and their speeds. Returns [newton/mm].
    Source: derived. Valid: spring pulls along the radius; levers change it by their ratio squared.
    """
    return (force_out - force_in) / (radius_out - radius_in)


@formula("", source="derived", high="revolution/minute", low="revolution/minute")
def spread(high: Number, low: Number) -> Number:
    """Spread of a hit-and-miss governor, or droop of a throttle governor: (high − low)/mean.

    high, low [revolution/minute]: latch-out and latch-in speed, or no-load and full-load speed. Returns [].
    Source: derived. Valid: speeds read at steady temperature, linkage free.
    """
    return (high - low) / ((high + low) / 2)


@formula("newton/mm", source="derived", rate="newton/mm", weights="", ratio="")
def rate_at_lever(rate: Number, weights: Number, ratio: Number) -> Number:
    """Rate of one spring that holds all weights through levers: k·n/i².

    rate [newton/mm]: of one weight, along its radius. weights []: how many pull on the spring. ratio []: i, spring's travel over the
    weight's. Returns [newton/mm]. Source: derived: the work is the same on both sides. Valid: levers that keep their ratio.
    """
    return rate * weights / ratio**2


@formula("newton", source="derived", force="newton", weights="", ratio="")
def pull_at_lever(force: Number, weights: Number, ratio: Number) -> Number:
    """Load of the spring at a force of the weights: F·n/i.

    force [newton]: outward, of one weight. weights []: how many pull on the spring. ratio []: spring's travel over the weight's.
    Returns [newton]. Source: derived. Valid: friction of the linkage and weight of the sleeve left out.
    """
    return force * weights / ratio


@formula("mm", source="derived", load="newton", rate="newton/mm")
def stretch(load: Number, rate: Number) -> Number:
    """How far a spring is drawn or pressed from free by a load: F/k.

    load [newton]. rate [newton/mm]. Returns [mm]. Source: derived. Valid: springs without initial tension wound in.
    """
    return load / rate

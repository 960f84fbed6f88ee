"""What a rule of thumb gives and when it holds, in words made of its data."""

from gudgeon.records.knowledge import Rule
from gudgeon.records.rule_forms import HALVES, SIZES_OF_ENGINE, Form, PlainForm

SIZE = "the size"


def form(gives: PlainForm, aloud: bool = False) -> str:
    """What a form gives. aloud: a share of a size is said in thou per inch too."""
    words = _amount(gives, aloud)
    if gives.way == "lengths":
        return words
    words += f", never under {gives.least}" if gives.least else ""
    return words + (f", never over {gives.most}" if gives.most else "")


def _amount(gives: PlainForm, aloud: bool) -> str:
    size = _size(gives)
    plus = f" plus {gives.plus}" if gives.plus else ""
    if gives.expression is not None:
        return _to(*(limit.text for limit in gives.expression))
    if gives.per_length is not None:
        low, high = gives.per_length
        share = f"{_to(f'{low:g}', f'{high:g}')} of {size}"
        thou = _to(*(f"{end * 1000:g}" for end in gives.per_length))
        return (f"{thou} thou per inch ({share})" if aloud else share) + plus
    if isinstance(gives, Form) and gives.steps is not None:
        by = f"by {size}: " if gives.of else ""
        return by + "; ".join(_steps(gives, aloud))
    if isinstance(gives, Form) and gives.of_rule is not None:
        times = _to(*(f"{end:g}" for end in gives.times or (1.0, 1.0)))
        case = f", {gives.of_case}" if gives.of_case else ""
        return f"{times + ' times ' if times != '1' else ''}what rule {gives.of_rule}{case} gives{plus}"
    return f"{gives.least} to {gives.most}"


def _to(low: str, high: str) -> str:
    return low if low == high else f"{low} to {high}"


def _size(gives: PlainForm) -> str:
    return {**SIZES_OF_ENGINE, **HALVES}.get(gives.of, gives.of) if gives.of else SIZE


def _steps(gives: Form, aloud: bool) -> list[str]:
    """Each step with where it begins and ends, so that nobody has to guess whose the end itself is."""
    words: list[str] = []
    begins = ""
    for step in gives.steps or ():
        if step.under:
            where, after = f"under {step.under}", f"from {step.under}"
        elif step.up_to:
            where, after = f"to {step.up_to} inclusive", f"over {step.up_to}"
        else:
            where, after = "", ""
        # The last step says where it begins; one between two says both.
        words.append(f"{', '.join(end for end in (begins, where) if end)}: {form(step, aloud)}")
        begins = after
    return words


def conditions(rule: Rule) -> list[str]:
    """When a rule holds, a condition a line."""
    words: list[str] = []
    if rule.hole_materials or rule.shaft_materials:
        inner, outer = (" or ".join(names) or "any" for names in (rule.shaft_materials, rule.hole_materials))
        words.append(f"{inner} in {outer}")
    if rule.sizes:
        words.append(f"sizes {rule.sizes[0]} to {rule.sizes[1]}")
    words += [f"{rule.speed_least} or faster"] if rule.speed_least else []
    words += [f"{rule.speed_most} or slower"] if rule.speed_most else []
    words += [f"{' or '.join(rule.cooling)} cooling"] if rule.cooling else []
    words += [f"run at {' or '.join(rule.running)}"] if rule.running else []
    return words

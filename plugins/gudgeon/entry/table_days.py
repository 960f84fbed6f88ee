"""Days and times in the cells of a table, as spreadsheets write them."""

import datetime
import re
from fractions import Fraction

from gudgeon.records.column_map import DATES, SERIALS
from gudgeon.records.problems import shown

TIME = r"(?:(?:[ T]|, )(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::\d{2}(?:\.\d{1,6})?)?(?: ?(?P<half>[AaPp])[Mm])?)?"
NUMBER = re.compile(r"\d{1,6}(?:[.,]\d{1,10})?")
LIKELY = (25_000, 80_000)  # days that a spreadsheet counts from about 1968 to 2119


def day_and_time(text: str, way: str) -> tuple[str, str | None]:
    """A day, and a time where the cell says one; midnight is what a spreadsheet adds to a bare day. Raises ValueError."""
    if way in SERIALS:
        return _serial(text, way)
    day = re.fullmatch(DATES[way] + TIME, text)
    if not day:
        fits = [name for name, pattern in DATES.items() if re.fullmatch(pattern + TIME, text)]
        if NUMBER.fullmatch(text) and LIKELY[0] <= float(text.replace(",", ".")) <= LIKELY[1]:
            fits.append("serial")
        hint = f' It looks like {" or ".join(fits)}: write "dates" in the column map.' if fits else ""
        raise ValueError(f'"{shown(text)}" is no day in the way {way}.{hint}')
    hour, minute = int(day["hour"] or 0), int(day["minute"] or 0)
    if day["half"]:
        if not 1 <= hour <= 12:
            raise ValueError(f'"{shown(text)}": a time before or after noon has an hour from 1 to 12.')
        hour = hour % 12 + (12 if day["half"] in "pP" else 0)
    if hour > 23 or minute > 59:
        raise ValueError(f'"{shown(text)}": there is no such time of day.')
    return f"{int(day['y']):04d}-{int(day['m']):02d}-{int(day['d']):02d}", _time(hour, minute)


def _serial(text: str, way: str) -> tuple[str, str | None]:
    if not NUMBER.fullmatch(text):
        raise ValueError(f'"{shown(text)}" is no day as a spreadsheet counts them ({way}).')
    number = Fraction(text.replace(",", "."))
    minutes = round((number - int(number)) * 24 * 60)
    day = datetime.date.fromisoformat(SERIALS[way]) + datetime.timedelta(days=int(number) + minutes // (24 * 60))
    minutes %= 24 * 60
    return day.isoformat(), _time(minutes // 60, minutes % 60)


def _time(hour: int, minute: int) -> str | None:
    return f"{hour:02d}:{minute:02d}" if hour or minute else None

"""Digits that touch, parted into frets."""

from __future__ import annotations


def split_digits(digits: str) -> list[tuple[int, int]]:
    """Cut digits that touch into frets of at most 24: (place, width) of each, the cut whose frets lie
    closest together; of equals the one with the fewest frets."""
    if len(digits) == 3 and digits[0] == "0" and 10 <= int(digits) <= 24:
        return [(0, 1), (1, 2)]
    readings: list[list[tuple[int, ...]]] = [[()]]
    for end in range(1, len(digits) + 1):
        found: list[tuple[int, ...]] = []
        for width in (1, 2):
            piece = digits[end - width : end] if end >= width else ""
            if piece and int(piece) <= 24 and not (width == 2 and piece[0] == "0"):
                found += [(*reading, width) for reading in readings[end - width]]
        readings.append(sorted(found, key=lambda r: _spread(digits, r))[:8])
    widths = readings[-1][0] if readings[-1] else (1,) * len(digits)
    places = [sum(widths[:index]) for index in range(len(widths))]
    return list(zip(places, widths, strict=True))


def _spread(digits: str, widths: tuple[int, ...]) -> tuple[int, int]:
    frets, at = [], 0
    for width in widths:
        frets.append(int(digits[at : at + width]))
        at += width
    return max(frets) - min(frets), len(frets)

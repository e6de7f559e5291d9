"""Damaged and made-up inputs by the thousand, with checks of what must hold for each: see `__main__`."""

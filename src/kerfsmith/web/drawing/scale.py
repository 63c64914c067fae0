"""Axes: round steps that a person counts in."""

import math


def ticks(top: float, most: int = 5) -> tuple[float, ...]:
    """Zero and round steps (1, 2 or 5 times a power of ten) up to ``top``, at most ``most`` beyond zero."""
    if not (math.isfinite(top) and top > 0):
        return (0.0,)
    rough = top / most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= rough * (1 - 1e-9))
    return tuple(index * step for index in range(int(top / step + 1e-9) + 1))


def tick_text(value: float) -> str:
    """A tick as short as it goes: ``0``, ``25``, ``2.5``, ``0.05``."""
    return f"{value:.6g}"


def steps_between(low: float, high: float, most: int = 5) -> tuple[float, ...]:
    """Round steps from ``low`` to ``high``, about ``most`` of them; none where the span is empty."""
    if not (math.isfinite(low) and math.isfinite(high) and high > low):
        return ()
    step = ticks(high - low, most)[1]
    return tuple(index * step for index in range(math.ceil(low / step - 1e-9), int(high / step + 1e-9) + 1))

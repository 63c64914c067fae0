"""A saw to plan for."""

from kerfsmith.catalog.saw import Capacity, CycleTimes, FeedControl, SawSheet


def make_saw(**changes: object) -> SawSheet:
    """A saw of round figures; any of them may be changed."""
    figures: dict[str, object] = {
        "id": "plain",
        "name": "Plain saw",
        "capacities": (Capacity(0, 300, 300, 400, 300), Capacity(45, 250, 240, 260, 280)),
        "band_width_mm": 34,
        "band_thickness_mm": 1.1,
        "band_length_mm": 4_500,
        "band_speed_min_m_per_min": 20,
        "band_speed_max_m_per_min": 120,
        "wheel_diameter_mm": 500,
        "guide_clearance_mm": 40,
        "guide_span_min_mm": 100,
        "guide_span_max_mm": 500,
        "band_tension_mpa": 200,
        "motor_kw": 4,
        "drive_efficiency": 0.8,
        "feed_min_mm_per_min": 2,
        "feed_max_mm_per_min": 400,
        "feed_force_max_n": 2_500,
        "head_travel_mm": 350,
        "feed_control": FeedControl.FOLLOWS_CUT,
        "cant_deg": 0,
        "shuttle_stroke_mm": 500,
        "load_limit_kg": 2_000,
        "least_grip_mm": 80,
        "facing_mm": 10,
        "index_accuracy_mm": 0.1,
        "min_work_mm": 10,
        "max_bar_length_mm": 8_000,
        "cycle": CycleTimes(240, 3, 4, 100, 20, 50, 8, 2, 600),
        "rate_per_hour": 80,
    }
    return SawSheet(**(figures | changes))  # type: ignore[arg-type]

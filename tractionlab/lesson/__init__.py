"""Everything a lesson uses, under one roof: `from tractionlab.lesson import *`.

Parts load when they are first named.
"""

from importlib import import_module

from tractionlab.lesson.notebook_errors import install

install()

_HOME = {
    "predict": ".prediction",
    **dict.fromkeys(("recall", "question"), ".ask"),
    "exercise": ".practice",
    **dict.fromkeys(("entry_check", "safety_statement", "you_can", "in_the_bay"), ".start"),
    **dict.fromkeys(("go_on", "lesson_map", "my_outcomes", "what_next"), ".progress_pages"),
    "warm_up": ".daily_questions",
    "car_of_the_day": ".daily_car",
    "friction_panel": "..panels.friction",
    "tread_panel": "..panels.tread",
    "throttle_panel": "..panels.throttle",
    "launch_panel": "..panels.launch",
    "delay_panel": "..panels.delay",
    "hill_panel": "..panels.hill",
    "heat_panel": "..panels.heat",
    "sensor_panel": "..panels.sensor",
    **dict.fromkeys(("reference_panel", "roller_panel"), "..panels.reference"),
    "circuit_panel": "..panels.circuit",
    "drive_panel": "..panels.drive",
    "trace_path": ".path_tracing",
    "current_panel": "..panels.current",
    "gauge_panel": "..panels.gauge",
    "stop_panel": "..panels.stop",
    **dict.fromkeys(("lift_panel", "spin_panel", "lifted", "foot_on_brake"), "..panels.feet"),
    **dict.fromkeys(
        ("self_diagnosis_panel", "same_code_panel", "memory_panel"), "..panels.self_diagnosis"
    ),
    **dict.fromkeys(("five_causes", "check_times", "both_editions"), ".diagnosis_facts"),
    **dict.fromkeys(
        (
            "say",
            "reveal",
            "curve",
            "best_throttle",
            "hand_pull",
            "split_push",
            "run_up",
            "by_control",
            "first_pause",
            "hand_heat",
        ),
        ".facts",
    ),
    **dict.fromkeys(
        (
            "signal_starts",
            "active_levels",
            "tooth_rate",
            "ring_reading",
            "believed",
            "on_two_rollers",
        ),
        ".sensor_facts",
    ),
    **dict.fromkeys(
        (
            "without_foot",
            "wheel_valve_steps",
            "gauge_after",
            "stored_energy",
            "pump_for_a_second",
            "time_to_40_bar",
            "shared_parts",
            "stop",
        ),
        ".layout_facts",
    ),
    "repair_case": "..panels.case",
    **dict.fromkeys(("another_case", "case_office"), ".case_forms"),
    "service_work": ".service_card",
    "air_panel": "..panels.air",
    **dict.fromkeys(("split_panel", "routes_panel", "cleared_panel"), "..panels.finding"),
    **dict.fromkeys(
        (
            "three_routes",
            "routes_by_test",
            "crack_on_the_screen",
            "half_split",
            "pressure_facts",
            "air_facts",
            "gap_facts",
            "drive_plan",
            "symptom_table",
        ),
        ".finding_facts",
    ),
    "measuring_panel": "..panels.measuring",
    "practice_paper": ".practice_paper",
    "new_group": ".next_group",
    **dict.fromkeys(
        ("paper_facts", "proof_facts", "issue_form", "mark_form", "observe_form"), ".office"
    ),
    **dict.fromkeys(
        ("STRANDS", "bias_readings", "cut_strands", "leak_levels", "inrush"), ".measuring_facts"
    ),
}
__all__ = sorted(_HOME)


def __getattr__(name):
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    globals()[name] = found = getattr(import_module(_HOME[name], __name__), name)
    return found

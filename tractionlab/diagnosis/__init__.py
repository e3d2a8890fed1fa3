"""The self-diagnosis of the unit: monitors, fault memory, status, lamps, start-up check."""

"""From a scenario to a trace: the only place where time advances."""

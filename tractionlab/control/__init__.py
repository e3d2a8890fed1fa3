"""What the control unit does. It reads only what sensors can tell; the true speed of the car is
unknown here. It decides in named phases, and notes why.

* `unit`: one cycle, sensors in, requests out, with its block diagram
* `phases`: numbers of phases and reasons; their words stand in data/reasons.toml
* `speeds`: wheel speeds and accelerations, reference speed of the car, limit and target of a wheel
* `antilock`: phases of a wheel while the driver brakes: **when anti-lock begins and ends**
* `brake_action`: phases of the brake of a driven wheel that spins
* `torque`: phases of the drive torque, and engine-drag control
* `paths`: throttle, ignition, fuel or motor: by which path the torque changes
* `pressure`: the unit's own count of the fluid in a brake and of the heat in its disc
* `steps`, `valve_drive`: from phases to pulses, from pulses to currents
* `settings`, `hydraulics`: thresholds (values: data/control.toml), what was coded
"""

"""What the control unit does. It reads only what sensors can tell; the true speed of the car is
unknown here.

* `unit`: one cycle, sensors in, requests out: **when anti-lock begins and ends**, when traction
  control may act
* `speeds`: reference speed of the car, bend allowance, how much faster a driven wheel may turn
* `antilock`: eases the brake of a wheel about to lock, and finds the slip that brakes best
* `traction`: which wheel is braked, and how much torque is taken away; select-low, split grip
* `torque`: drive torque that the wheels can use, and the path by which the rest goes
* `brake_action`: pressure at a driven wheel that turns too fast; heat protection of its disc
* `valve_drive`, `fluid`, `fed_line`: from requests to currents and pulses, and the count of fluid
* `settings`, `hydraulics`: thresholds and gains (values: data/control.toml), what was coded
"""

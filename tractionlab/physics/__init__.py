"""What car and road do. Pure functions in SI units; no controller is known here.

The tyre, which all else serves:

* `tyre`: adhesion curves over slip (Burckhardt and the **magic formula**), **combined slip**
  (`combined_force`), load, speed, relaxation. Coefficients of each road: data/surfaces.toml; the
  published load-dependent curves: `tractionlab.textbook.published`
* `road`: which surface lies under a tyre
* `chassis`: load of each wheel, its speed over the ground
* `driveline`: differentials, inertias, dry friction from the gearbox to the wheels
* `engine`: drive torque of a combustion engine or an electric motor
* `brake`: pressure, torque and heat of one wheel's brake
* `car`, `car_motion`: parameters and state of the whole car, and all of them as one set of
  differential equations. The **quarter car** of the textbooks is
  `tractionlab.textbook.quarter_car`

The fluid:

* `hydraulics`: orifice, caliper, accumulators, valves, pump, pressure switch
* `circuit`: what both layouts share: order of states, commands and numbers; `circuit_parts`: their
  chambers, valves, pumps and pedal
* `circuit_a`, `circuit_b`: flows of layout A and of layout B
* `brake_circuit`: rates of change and time steps of a whole circuit
* `circuit_cycle`: one cycle of the control unit with its pulses of current
"""

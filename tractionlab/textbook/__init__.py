"""What a lesson works out by hand, and published laws that the course is held against.

* `formulas`: torque, heat, coils, fluid: one line of arithmetic each, with a worked number
* `longitudinal`: driving and braking in a straight line: grip limits, load transfer, split grip
* `hydraulics`: formulas of hydraulics and actuators
* `published`: the **magic formula with its published coefficients** (`bakker_longitudinal`,
  `bakker_lateral`), friction circle, aquaplaning; reads data/published_tyres.toml
* `tyre_combined`: a measured tyre with published coefficients, under **combined slip**
* `tyre_lugre`: the bristle tyre
* `quarter_car`: the **quarter car**: one braked wheel with its share of the car
* `brake_balance`: grip that each axle uses in a stop, the **adhesion-utilisation curves**
* `brake_rules`: braking rate, adhesion used, split grip, distance of a stop
* `coasting`: a vehicle that coasts down
* `tread`: the **brush model** of a driven tread
* `heat_colours`: how hot steel looks, and the word for it
* `car_numbers`: numbers of a car as a task gives them
* `road_test_rules`: rules and conversions of vehicle tests
* `search`: the highest point of a curve, and where it crosses a value
"""

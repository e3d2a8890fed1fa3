"""Electrical readings of the fault catalogue: what is changed, what is measured where, and what a sound and a faulty car show.

The ranges are those of the course's fault catalogue (course values, invented; limits common practice, no source), widened only where the
part values of the course leave another figure; the reason stands beside it.
"""
from tractionlab.workshop.wiring.network import Moment

V1, V2 = "rear_petrol", "front_petrol"
DRIVEN = {"relay_valves": 1.0}


def at(key="on", *, pulled=(), commands=None, **more):
    """A moment; with the ignition on the valve relay is closed."""
    return Moment(key=key, unplugged=frozenset(pulled), commands={**(DRIVEN if key != "off" else {}), **(commands or {})}, **more)


PUMP = at(commands={"return_pump": 1.0})
UNIT_OFF = at("off", pulled=("unit",))
#: id, vehicle, changes, what is measured, moment, points, sound range, faulty range
READINGS = (
    ("passive-sensor-open-circuit", V1, {"plug_sensor_fl.1_ohm": 1e9}, "volt", at(), ("unit.sensor_fl", "unit.ground"), (0.47, 0.62), (4.95, 5.05)),
    ("passive-sensor-open-circuit, coil", V1, {"sensor_fl.coil_ohm": 1e9}, "ohm", at("off", pulled=("sensor_fl",)), ("sensor_fl.1.device", "sensor_fl.2.device"), (935, 1265), (1e6, None)),
    ("passive-sensor-shorted-turns", V1, {"sensor_fr.coil_ohm": 200}, "volt", at(), ("unit.sensor_fr", "unit.ground"), (0.47, 0.62), (0.10, 0.12)),
    ("passive-sensor-shorted-turns, coil", V1, {"sensor_fr.coil_ohm": 200}, "ohm", at("off", pulled=("unit",)), ("unit.sensor_fr", "unit.return_fr"), (935, 1265), (150, 300)),
    ("passive-sensor-lead-chafed-to-body", V1, {"lead_sensor_rl_signal_2.to_ground_ohm": 1}, "volt", at(), ("unit.sensor_rl", "unit.ground"), (0.47, 0.62), (-0.01, 0.01)),
    ("passive-sensor-lead-chafed-to-body, insulation", V1, {"lead_sensor_rl_signal_2.to_ground_ohm": 1}, "ohm", at("off", pulled=("unit", "sensor_rl")), ("unit.sensor_rl", "body"), (1e6, None), (0, 10)),
    ("passive-sensor-corroded-connector", V1, {"plug_sensor_rr.1_ohm": 2200}, "volt", at(), ("unit.sensor_rr", "unit.ground"), (0.47, 0.62), (1.335, 1.345)),
    ("passive-sensor-corroded-connector, loop", V1, {"plug_sensor_rr.1_ohm": 2200}, "ohm", UNIT_OFF, ("unit.sensor_rr", "unit.return_rr"), (935, 1265), (3290, 3310)),
    ("passive-sensor-intermittent-lead", V1, {"lead_sensor_fl_signal_2.broken_share": 0.1}, "ohm", at("off", pulled=("unit",), flexed=True), ("unit.sensor_fl", "unit.return_fl"), (935, 1265), (1e6, None)),
    ("active-sensor-supply-open", V2, {"plug_sensor_fl.1_ohm": 1e9}, "ampere", at(), "lead_sensor_fl_supply_2", (0.0059, 0.0084), (-1e-6, 1e-6)),
    ("active-sensor-supply-open, supply", V2, {"lead_sensor_fl_supply_2.ohm": 1e9}, "volt", at(pulled=("sensor_fl",)), ("sensor_fl.1", "body"), (11, 13), (-0.01, 0.01)),
    ("active-sensor-supply-short-to-ground", V2, {"lead_sensor_fr_supply_2.to_ground_ohm": 0.5}, "volt", at(), ("unit.supply_fr", "unit.ground"), (11, 13), (0.0, 0.3)),
    ("active-sensor-supply-short-to-ground, insulation", V2, {"lead_sensor_fr_supply_2.to_ground_ohm": 0.5}, "ohm", at("off", pulled=("unit", "sensor_fr")), ("unit.supply_fr", "body"), (1e6, None), (0, 5)),
    ("active-sensor-signal-short-to-battery", V2, {"lead_sensor_rl_current_2.to_battery_ohm": 0.1}, "volt", at(), ("unit.sensor_rl", "unit.ground"), (0.59, 0.84), (11.5, 13)),
    # 4 mA flow over 3 kohm at 12 V; 100 ohm of the measuring resistor lie in series, so the level rises by 0.36 V and not by 0.40 V
    ("active-sensor-moisture-leak", V2, {"plug_sensor_rr.leak_ohm": 3000}, "volt", at(), ("unit.sensor_rr", "unit.ground"), (0.69, 0.71), (1.06, 1.07)),
    ("active-sensor-moisture-leak, high", V2, {"plug_sensor_rr.leak_ohm": 3000}, "volt", at(level=(True,) * 4), ("unit.sensor_rr", "unit.ground"), (1.39, 1.41), (1.73, 1.75)),
    ("passive-sensor-fitted-in-active-circuit", V2, {"sensor_rl.low_mA": 0, "sensor_rl.high_mA": 0, "sensor_rl.coil_ohm": 1100}, "ampere", at(), "lead_sensor_rl_current_1", (-0.0084, -0.0059), (-0.0102, -0.0098)),
    ("level-switch-lead-short-to-ground", V2, {"lead_level_switch_1.to_ground_ohm": 0.5}, "volt", at(pulled=("level_switch",)), ("unit.level", "unit.ground"), (11.5, 12.5), (-0.02, 0.05)),
    ("charge-pump-motor-open", V1, {"charge_pump.winding_ohm": 1e9}, "ampere", at(commands={"charge_pump": 1.0}), "lead_charge_feed_1", (19, 21), (-0.01, 0.01)),
    ("charge-pump-motor-open, plug", V1, {"charge_pump.winding_ohm": 1e9}, "volt", at(commands={"charge_pump": 1.0}), ("charge_pump.1", "charge_pump.2"), (11.5, 12.5), (12, 12.7)),
    ("charge-pump-worn", V1, {"charge_pump_body.flow_share": 0.21}, "ampere", at(commands={"charge_pump": 1.0}), "lead_charge_feed_1", (19, 21), (11.5, 12.5)),
    ("pressure-switch-stuck-on", V1, {"pressure_switch.welded": 1}, "ohm", at("off", pulled=("pressure_switch",)), ("pressure_switch.pump.device", "pressure_switch.ground.device"), (1e6, None), (0, 1)),
    ("pressure-switch-open", V1, {"lead_pressure_pump_1.ohm": 1e9}, "ohm", at("off", pulled=("unit",), signals={"accumulator": 100.0}), ("unit.pressure_pump", "body"), (0, 1), (1e6, None)),
    ("feed-valve-coil-open", V1, {"feed_valve.ohm": 1e9}, "ohm", at("off", pulled=("hydraulic",)), ("hydraulic.supply.device", "hydraulic.feed_valve.device"), (5.9, 6.1), (1e6, None)),
    ("feed-valve-coil-open, current", V1, {"feed_valve.ohm": 1e9}, "ampere", at(commands={"feed_valve": 1.0}), "lead_feed_valve_1", (-2.05, -1.95), (-1e-3, 1e-3)),
    ("wheel-valve-high-resistance", V1, {"plug_hydraulic.wheel_valve_RL_ohm": 1.5}, "ampere", at(commands={"wheel_valve_RL": 1.0}), "lead_wheel_valve_RL_1", (-5.01, -4.99), (-4.5, -4.3)),
    ("wheel-valve-high-resistance, hold", V1, {"plug_hydraulic.wheel_valve_RL_ohm": 1.5}, "ampere", at(commands={"wheel_valve_RL": 0.4}), "lead_wheel_valve_RL_1", (-2.01, -1.99), (-2.01, -1.99)),
    ("wheel-valve-high-resistance, loop", V1, {"plug_hydraulic.wheel_valve_RL_ohm": 1.5}, "ohm", UNIT_OFF, ("unit.wheel_valve_RL", "relay_valves.out"), (1.2, 1.3), (2.65, 2.8)),
    ("wheel-valve-short-to-ground", V1, {"wheel_valve_RR.to_ground_ohm": 0.5}, "ohm", at("off", pulled=("hydraulic",)), ("hydraulic.wheel_valve_RR.device", "hydraulic_unit.housing"), (1e6, None), (0, 1)),
    ("valve-relay-contact-resistance", V1, {"relay_valves.contact_ohm": 0.6}, "volt", at(commands={"wheel_valve_RL": 1.0}), ("relay_valves.in", "relay_valves.out"), (0, 0.1), (2.95, 3.05)),
    ("valve-relay-contact-resistance, supply", V1, {"relay_valves.contact_ohm": 0.6}, "volt", at(commands={"wheel_valve_RL": 1.0}), ("unit.valve_supply", "unit.ground"), (12.2, 12.6), (9.3, 9.6)),
    ("isolating-valve-coil-open", V2, {"isolating_valve_1.ohm": 1e9}, "ampere", at(commands={"isolating_valve_1": 1.0}), "lead_isolating_valve_1_1", (-2.05, -1.0), (-1e-3, 1e-3)),
    ("inlet-valve-coil-short", V2, {"inlet_FR.ohm": 2}, "ampere", at(commands={"inlet_FR": 1.0}), "lead_inlet_FR_1", (-1.8, -1.65), (None, -4)),
    ("inlet-valve-coil-short, coil", V2, {"inlet_FR.ohm": 2}, "ohm", at("off", pulled=("hydraulic",)), ("hydraulic.supply.device", "hydraulic.inlet_FR.device"), (6.9, 7.1), (1.9, 2.1)),
    # the wiring alone leaves 68 A of the motor's 70 A at 12.4 V
    ("return-pump-seized", V2, {"return_pump_body.seized": 1}, "ampere", at(commands={"return_pump": 1.0}, brief=True), "lead_pump_feed_1", (24, 26), (66, 72)),
    ("return-pump-seized, fuse", V2, {"return_pump_body.seized": 1}, "ampere", PUMP, "lead_pump_feed_1", (24, 26), (-0.01, 0.01)),
    # with 48 mohm the current itself falls from 25 to 23 A, so 1.1 V are lost and not 1.2 V
    ("pump-ground-high-resistance", V2, {"stud_pump.ohm": 0.048}, "volt", PUMP, ("stud_pump.lead", "battery.minus"), (0, 0.1), (1.05, 1.2)),
    ("pump-ground-high-resistance, motor", V2, {"stud_pump.ohm": 0.048}, "volt", PUMP, ("pump.1", "pump.2"), (11.9, 12.4), (10.9, 11.2)),
    ("pump-fuse-blown", V2, {"fuse_pump.ohm": 1e9}, "volt", at(), ("relay_pump.in", "battery.minus"), (12.3, 12.7), (-0.01, 0.01)),
    ("pump-driver-stuck-on", V2, {"relay_pump.welded": 1}, "volt", at("off"), ("pump.1", "pump.2"), (-0.01, 0.01), (11.9, 12.5)),
    ("pressure-sensor-offset", V2, {"pressure_sensor.offset": 30}, "volt", at(), ("unit.pressure", "unit.pressure_ground"), (0.49, 0.51), (1.09, 1.11)),
    ("brake-switch-stuck-on", V1, {"brake_switch.welded": 1}, "volt", at(), ("unit.brake", "unit.ground"), (-0.05, 0.05), (11.5, 12.6)),
    ("brake-switch-open", V1, {"brake_switch.stop_contact_ohm": 1e9}, "volt", at(brake_pedal=True), ("unit.brake", "unit.ground"), (11.5, 12.6), (-0.05, 0.05)),
    ("tc-switch-stuck-on", V1, {"tc_switch.bridge_ohm": 5}, "volt", at(), ("unit.tc_switch", "unit.ground"), (11.5, 12.5), (0, 0.05)),
    ("tc-switch-open", V1, {"lead_tc_switch_1.ohm": 1e9}, "volt", at(tc_switch=True), ("unit.tc_switch", "unit.ground"), (-0.02, 0.05), (11.5, 12.5)),
    ("tc-lamp-driver-open", V1, {"lamp_tc.driver_ohm": 1e9}, "volt", at(commands={"lamp_tc": 1.0}), ("unit.lamp_tc", "unit.ground"), (0, 0.3), (12, 12.6)),
    # a broken bulb leaves the pin without voltage: the catalogue's 12 V belong to a broken driver or track
    ("tc-lamp-driver-open, bulb", V1, {"lamp_tc.ohm": 1e9}, "volt", at(), ("unit.lamp_tc", "unit.ground"), (12, 12.6), (-0.01, 0.01)),
    ("main-throttle-sensor-worn-track", V1, {"throttle_main.worn_V": 0.8}, "volt", at(accelerator=0.18), ("unit.throttle_main", "unit.throttle_ground"), (1.2, 1.4), (0.4, 0.6)),
    ("secondary-throttle-sensor-open", V1, {"lead_throttle_second_signal_1.ohm": 1e9}, "volt", at(), ("unit.throttle_second", "unit.throttle_ground"), (4.35, 4.45), (-0.01, 0.01)),
    ("secondary-stepper-phase-open", V1, {"stepper.coil_a_ohm": 1e9}, "ohm", at("off", pulled=("stepper",)), ("stepper.feed.device", "stepper.a.device"), (19, 21), (1e6, None)),
    # both sensors draw 5 mA together; 111 ohm make 0.5 V. The closed sensor reads 0.44 V high, the open one only 0.06 V
    ("throttle-sensor-ground-resistance", V1, {"lead_sensors_ground_1.ohm": 111}, "volt", at(), ("splice_sensors.ground", "battery.minus"), (0, 0.05), (0.49, 0.51)),
    ("throttle-sensor-ground-resistance, closed", V1, {"lead_sensors_ground_1.ohm": 111}, "volt", at(), ("unit.throttle_main", "unit.ground"), (0.58, 0.62), (1.0, 1.1)),
    ("engine-ecu-message-missing, end lost", V2, {"lead_bus_high_engine_1.ohm": 1e9}, "ohm", at("off"), ("diagnosis_socket.bus_high", "diagnosis_socket.bus_low"), (59, 61), (118, 122)),
    ("engine-ecu-message-missing, supply", V2, {"lead_engine_supply_1.ohm": 1e9}, "ohm", at("off"), ("diagnosis_socket.bus_high", "diagnosis_socket.bus_low"), (59, 61), (59, 61)),
    ("steer-angle-message-missing", V2, {"lead_steering_supply_1.ohm": 1e9}, "volt", at(pulled=("steering_sensor",)), ("steering_sensor.supply", "steering_sensor.ground"), (12, 12.7), (-0.01, 0.01)),
    ("yaw-sensor-loose", V2, {"lateral_sensor.offset": 1.03}, "volt", at(), ("unit.lateral", "unit.yaw_ground"), (2.45, 2.55), (2.55, 2.65)),
    ("lateral-sensor-short-to-battery", V2, {"lead_lateral_signal_1.to_battery_ohm": 0.5}, "volt", at(), ("unit.lateral", "unit.yaw_ground"), (2.45, 2.55), (4.9, None)),
    ("supply-voltage-low", V2, {"battery.inner_ohm": 0.06, "battery.rest_V": 12.2}, "volt", at(commands={"return_pump": 1.0}, brief=True, motor_emf={"return_pump": 0.0}), ("unit.supply", "battery.minus"), (10.5, 13), (8.5, 9.5)),
    ("ecu-ground-corroded", V1, {"stud_unit.ohm": 0.2}, "volt", at(commands={"wheel_valve_RL": 1.0}), ("unit.ground", "battery.minus"), (0, 0.05), (1.0, 1.2)),
    ("bus-end-resistor-lost", V2, {"bus_end_engine.ohm": 1e9}, "ohm", at("off"), ("diagnosis_socket.bus_high", "diagnosis_socket.bus_low"), (59, 61), (118, 122)),
    ("bus-wires-shorted", V2, {"bus_wires.between_ohm": 0.5}, "ohm", at("off"), ("diagnosis_socket.bus_high", "diagnosis_socket.bus_low"), (59, 61), (0, 2)),
    ("bus-wires-shorted, idle", V2, {}, "volt", at(), ("diagnosis_socket.bus_high", "battery.minus"), (2.45, 2.55), (2.45, 2.55)),
    ("bus, dominant high", V2, {}, "volt", at(bus="dominant"), ("diagnosis_socket.bus_high", "battery.minus"), (3.45, 3.55), (3.45, 3.55)),
    ("bus, dominant low", V2, {}, "volt", at(bus="dominant"), ("diagnosis_socket.bus_low", "battery.minus"), (1.45, 1.55), (1.45, 1.55)),
    ("water-in-ecu-plug", V2, {"plug_unit.leak_ohm": 20000}, "ohm", at("off", pulled=("unit", "yaw_sensor")), ("unit.yaw", "unit.lateral"), (1e6, None), (5000, 50000)),
)

/* Twin in C of `turn_wheel` in kernel.py: one driven wheel with its tyre, stepped on by Euler's
   method. Same text, line by line. */
#include <math.h>

enum { KIND, C1, C2, C3, C4, SPEED_FACTOR, PEAK, BREAK_AWAY };

static double larger(double a, double b) { return a > b ? a : b; }
static double smaller(double a, double b) { return a < b ? a : b; }

static double burckhardt(double slip, double c1, double c2, double c3)
{
    return c1 * (1.0 - exp(-c2 * slip)) - c3 * slip;
}

static double magic_formula(double slip, double b, double c, double d, double e)
{
    double x = b * slip;
    return d * sin(c * atan(x - e * (x - atan(x))));
}

static double adhesion(double slip, double speed, const double *surface)
{
    double grip;
    if (surface[KIND] == 0.0)
        grip = burckhardt(slip, surface[C1], surface[C2], surface[C3]);
    else
        grip = magic_formula(slip, surface[C1], surface[C2], surface[C3], surface[C4]);
    return grip * exp(-surface[SPEED_FACTOR] * slip * speed);
}

static double load_factor(double load, double sensitivity, double reference_load)
{
    return 1.0 - sensitivity * (load / reference_load - 1.0);
}

static void combined_force(double slip, double side_slip, double load, double speed,
                           const double *surface, double side_ratio, double sensitivity,
                           double reference_load, double *fx, double *fy)
{
    double side = side_ratio * side_slip;
    double total = sqrt(slip * slip + side * side);
    if (total < 1e-12) {
        *fx = *fy = 0.0;
        return;
    }
    double grip = adhesion(smaller(total, 1.0), speed, surface) *
                  load_factor(load, sensitivity, reference_load);
    double scale = grip * load / total;
    *fx = scale * slip;
    *fy = scale * side;
}

static double relaxation_at(double slip, double side_slip, double carry, double relaxation,
                            const double *surface, double side_ratio)
{
    double side = side_ratio * side_slip;
    double total = sqrt(slip * slip + side * side);
    return larger(relaxation / (1.0 + total / surface[BREAK_AWAY]),
                  larger(0.002 * carry, 0.005 * relaxation));
}

/* values: radius, relaxation, damping time, side ratio, sensitivity, reference load, wheel inertia,
   load, torque, road speed, side speed */
void turn_wheel(long steps, double dt, const double *surface, const double *values, double *state)
{
    double radius = values[0], relaxation = values[1], damping_time = values[2];
    double side_ratio = values[3], sensitivity = values[4], reference_load = values[5];
    double inertia = values[6], load = values[7], torque = values[8];
    double gx = values[9], gy = values[10];
    double wheel = state[0], slip = state[1], side = state[2], work = 0.0;
    for (long n = 0; n < steps; n++) {
        double rim = wheel * radius;
        double carry = larger(fabs(rim), fabs(gx));
        double length = relaxation_at(slip, side, carry, relaxation, surface, side_ratio);
        double slip_rate = (rim - gx - carry * slip) / length;
        double side_rate = (-gy - carry * side) / length;
        double lead = damping_time / (1.0 + 0.4 * carry);
        double fx, fy;
        combined_force(slip + lead * slip_rate, side + lead * side_rate, load, carry, surface,
                       side_ratio, sensitivity, reference_load, &fx, &fy);
        double wanted = n % 400 < 200 ? torque : 0.0;
        wheel += dt * (wanted - fx * radius) / inertia;
        slip += dt * slip_rate;
        side += dt * side_rate;
        work += dt * (fx * (rim - gx) - fy * gy);
    }
    state[0] = wheel;
    state[1] = slip;
    state[2] = side;
    state[3] = work;
}

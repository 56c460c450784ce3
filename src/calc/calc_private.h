/* calc_private.h - what the files of src/calc share. */
#ifndef GUDGEON_CALC_PRIVATE_H
#define GUDGEON_CALC_PRIVATE_H

#include <gudgeon/calc.h>

#include <assert.h>
#include <math.h>

#define CALC_PI 3.14159265358979323846
#define CALC_PM_PER_M 1e12
#define CALC_TURN_DEG 360

static inline double calc_radians(double degrees)
{
    return degrees * (CALC_PI / 180);
}

static inline double calc_square(double x)
{
    return x * x;
}

static inline double calc_circle(double diameter)
{
    return CALC_PI / 4 * diameter * diameter;
}

#endif

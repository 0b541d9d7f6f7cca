/* The loop of coatwright/engines/spray/_kernels.py in portable C: the benchmark's reference. */

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { LANES = 64, GROUP = 32, BOUND = 7, ROWS = 13 };

static inline float log2_bits(float x) {
    int32_t bits, part;
    float f;
    memcpy(&bits, &x, 4);
    bits -= 0x3f3504f3;
    part = (bits & 0x7fffff) + 0x3f3504f3;
    memcpy(&f, &part, 4);
    f -= 1.0f;
    float tail = 0.28728888f + f * (-0.24927182f + f * (0.23265258f + f * -0.14275973f));
    return (float)(bits >> 23) +
           f * (1.44269499f + f * (-0.72135293f + f * (0.48091671f + f * (-0.36022518f + f * tail))));
}

static inline float exp2_bits(float x) {
    x = fmaxf(x, -126.0f);
    int32_t whole = (int32_t)(x - 0.5f), bits = (whole + 127) << 23;
    float power, f = x - (float)whole;
    memcpy(&power, &bits, 4);
    float tail = 0.00961805668f + f * (0.00134004282f + f * 0.000154614447f);
    return power * (1.0f + f * (0.693147207f + f * (0.240226509f + f * (0.0555032723f + f * tail))));
}

/* With WITH_LIBM the power law goes through the mathematical library instead. */
#ifdef WITH_LIBM
#define log2_bits(x) log2f(fmaxf(x, 1e-30f))
#define exp2_bits(x) exp2f(x)
#endif

static void lay(const float *restrict lane, const float *restrict step, float *restrict film) {
    const float *x = lane, *y = lane + LANES, *d = lane + 2 * LANES;
    const float *nx = lane + 3 * LANES, *ny = lane + 4 * LANES, *nz = lane + 5 * LANES;
    const float *level = lane + 6 * LANES;
    const float z0 = step[0], s0 = step[1], t0 = step[2], hx = step[3], hy = step[4], hz = step[5];
    const float ax = step[6], ay = step[7], az = step[8], fx = step[9], fy = step[10];
    const float fz = step[11], sx = step[12], sy = step[13], sz = step[14];
    const float amount = step[15], a = step[16], b = step[17];
    for (int i = 0; i < LANES; i++) {
        float z = z0 + ax * x[i] + ay * y[i] + az * d[i];
        float facing = -(level[i] + nx[i] * hx + ny[i] * hy + nz[i] * hz);
        float near = 1.0f / fmaxf(z, 1e-9f);
        float u = (s0 + fx * x[i] + fy * y[i] + fz * d[i]) * near;
        float v = (t0 + sx * x[i] + sy * y[i] + sz * d[i]) * near;
        float uu = 1.0f - u * u, w = uu - v * v;
        float power = a * log2_bits(uu) + b * log2_bits(w);
        float flux = exp2_bits(power) * facing * near * near * near * amount;
        film[i] += fminf(fminf(w, facing), z) > 0.0f ? flux : 0.0f;
    }
}

static int steps_near(const double *bound, const double *gun, int64_t width, int steps,
                      const double *cone, unsigned char *restrict near, int32_t *restrict out) {
    const double x = bound[0], y = bound[1], z = bound[2];
    const double ra = bound[3] * cone[0], rb = bound[3] * cone[1];
    const double *g[12];
    for (int k = 0; k < 12; k++) g[k] = gun + k * width;
    for (int i = 0; i < steps; i++) {
        double rx = x - g[0][i], ry = y - g[1][i], rz = z - g[2][i];
        double depth = rx * g[3][i] + ry * g[4][i] + rz * g[5][i];
        double s = fabs(rx * g[6][i] + ry * g[7][i] + rz * g[8][i]) - depth;
        double t = fabs(rx * g[9][i] + ry * g[10][i] + rz * g[11][i]) - depth;
        near[i] = (s <= ra) & (t <= rb);
    }
    int count = 0;
    for (int i = 0; i < steps; i++) {
        out[count] = i;
        count += near[i];
    }
    return count;
}

static int place(const double *bound, const double *gun, int64_t width, int i, float *step) {
    double g[ROWS];
    for (int k = 0; k < ROWS; k++) g[k] = gun[k * width + i];
    double rx = bound[0] - g[0], ry = bound[1] - g[1], rz = bound[2] - g[2];
    double z = rx * g[3] + ry * g[4] + rz * g[5], s = rx * g[6] + ry * g[7] + rz * g[8];
    double t = rx * g[9] + ry * g[10] + rz * g[11], rho = sqrt(s * s + t * t), fall = 0.0;
    step[0] = (float)z, step[1] = (float)s, step[2] = (float)t;
    step[3] = (float)rx, step[4] = (float)ry, step[5] = (float)rz;
    for (int k = 3; k < ROWS; k++) step[k + 3] = (float)g[k];
    for (int k = 0; k < 3; k++)
        fall += fabs(s * g[6 + k] + t * g[9 + k] - rho * g[3 + k]) * bound[4 + k];
    return rho * (rho - z) <= fall;
}

/* bounds (.., 7), lanes (blocks, 7, LANES), gun (13, steps), film (blocks, LANES). */
int64_t deposit(const double *groups, int64_t group_count, const double *blocks,
                const float *lanes, const double *gun, int64_t steps, const double *cone,
                double *film) {
    unsigned char *near = malloc(steps + 1);
    int32_t *numbers = malloc((steps + 1) * sizeof *numbers);
    double *some = malloc(ROWS * steps * sizeof *some);
    float step[18], part[LANES] = {0};
    int64_t pairs = 0;
    step[16] = (float)cone[2], step[17] = (float)cone[3];
    for (int64_t group = 0; group < group_count; group++) {
        int count = steps_near(groups + BOUND * group, gun, steps, (int)steps, cone, near, numbers);
        for (int row = 0; row < ROWS; row++)
            for (int k = 0; k < count; k++)
                some[row * steps + k] = gun[row * steps + numbers[k]];
        for (int64_t block = group * GROUP; count && block < (group + 1) * GROUP; block++) {
            const double *bound = blocks + BOUND * block;
            int visits = steps_near(bound, some, steps, count, cone, near, numbers);
            for (int k = 0; k < visits; k++) {
                if (!place(bound, some, steps, numbers[k], step)) continue;
                pairs++;
                lay(lanes + block * 7 * LANES, step, part);
            }
            for (int i = 0; i < LANES; i++) {
                film[block * LANES + i] += part[i];
                part[i] = 0.0f;
            }
        }
    }
    free(near), free(numbers), free(some);
    return pairs;
}

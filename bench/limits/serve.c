// The same work in C, as a person would write it by hand: what the machine can do. One line in, "work file count"; one
// line out, wall ms, processor ms and the answer. Built by the benchmark with cc -O2.
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double now(clockid_t clock) {
  struct timespec t;
  clock_gettime(clock, &t);
  return t.tv_sec * 1e3 + t.tv_nsec / 1e6;
}

static const double tens[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};

static const char *number(const char *p, double *out) {
  int negative = *p == '-', seen = 0, decimals = 0;
  int64_t whole = 0;
  for (p += negative;; p++) {
    unsigned digit = (unsigned)*p - '0';
    if (digit < 10) whole = whole * 10 + digit, decimals += seen;
    else if (*p == '.' && !seen) seen = 1;
    else break;
  }
  double value = whole / tens[decimals];
  *out = negative ? -value : value;
  return p;
}

static void csv(const char *path, double *answer) {
  FILE *file = fopen(path, "rb");
  fseek(file, 0, SEEK_END);
  long size = ftell(file);
  rewind(file);
  char *bytes = malloc(size + 1);
  if (fread(bytes, 1, size, file) != (size_t)size) exit(1);
  fclose(file);
  bytes[size] = 0;
  long room = 4096, rows = 0;
  double *time = malloc(room * 8), *force = malloc(room * 8);
  for (const char *p = strchr(bytes, '\n') + 1; *p;) {
    if (rows == room) {
      room *= 2;
      time = realloc(time, room * 8);
      force = realloc(force, room * 8);
    }
    p = number(p, &time[rows]);
    if (*p++ != ',') exit(1);
    p = number(p, &force[rows++]);
    if (*p == '\r') p++;
    if (*p++ != '\n') exit(1);
  }
  double sum = 0;
  for (long i = 0; i < rows; i++) sum += force[i];
  answer[0] = rows;
  answer[1] = sum;
  free(bytes);
  free(time);
  free(force);
}

static double *made(long rows) {
  static double *force;
  static long had;
  if (had == rows) return force;
  force = realloc(force, rows * 8);
  for (long i = 0; i < rows; i++) force[i] = (double)((i * 7919) % 65537) / 8 + i / (double)rows;
  had = rows;
  return force;
}

static double *times, *pulls;

// A rest, a ramp to 36 kN and a break, again and again, at 1,000 Hz.
static void pulled(long rows) {
  static long had;
  if (had == rows) return;
  times = realloc(times, rows * 8);
  pulls = realloc(pulls, rows * 8);
  for (long i = 0; i < rows; i++) {
    times[i] = i / 1000.0;
    double phase = fmod(times[i], 100);
    pulls[i] = (phase >= 20 && phase < 80 ? (phase - 20) * 600 : 0) + 110 + 20 * (double)((i * 7919) % 65537) / 65537;
  }
  had = rows;
}

// Extremes, mean square of steps, shortest and longest step of the clock, and drops of 1,000 below a running maximum.
static void pass(long rows, double *answer) {
  const double *time = times, *force = pulls;
  double low = INFINITY, high = -INFINITY, squares = 0, before = force[0], shortest = INFINITY, longest = -INFINITY;
  double top = force[0], bottom = 0, then = time[0] - 0.001;
  long drops = 0, falling = 0;
  for (long i = 0; i < rows; i++) {
    double value = force[i], step = value - before, took = time[i] - then;
    if (value < low) low = value;
    if (value > high) high = value;
    if (took < shortest) shortest = took;
    if (took > longest) longest = took;
    squares += step * step;
    before = value;
    then = time[i];
    if (!falling) {
      if (value > top) top = value;
      else if (value < top - 1000) falling = 1, drops++, bottom = value;
    } else if (value < bottom) bottom = value;
    else if (value > bottom + 1000) falling = 0, top = value;
  }
  answer[0] = low;
  answer[1] = high;
  answer[2] = (shortest + longest) / 2;
  answer[3] = drops;
  answer[4] = squares / rows;
}

static void pyramid(const double *force, long rows, double *answer) {
  const double *low = force, *high = force;
  double total = 0;
  for (long count = rows; count > 16;) {
    long above = (count + 15) / 16;
    double *lows = malloc(above * 8), *highs = malloc(above * 8);
    for (long at = 0; at < above; at++) {
      double least = INFINITY, most = -INFINITY;
      long to = at * 16 + 16 < count ? at * 16 + 16 : count;
      for (long i = at * 16; i < to; i++) {
        if (low[i] < least) least = low[i];
        if (high[i] > most) most = high[i];
      }
      lows[at] = least;
      highs[at] = most;
    }
    total += highs[0] + lows[above - 1];
    if (low != force) free((void *)low), free((void *)high);
    low = lows;
    high = highs;
    count = above;
  }
  answer[0] = total;
}

int main(void) {
  char line[4096], work[64], path[3000];
  long count;
  while (fgets(line, sizeof line, stdin)) {
    if (sscanf(line, "%63s %2999s %ld", work, path, &count) != 3) return 1;
    double answer[5] = {0};
    int answers = 0;
    const double *force = strcmp(work, "pyramid") ? 0 : made(count);
    if (!strcmp(work, "pass")) pulled(count);
    double wall = now(CLOCK_MONOTONIC), cpu = now(CLOCK_PROCESS_CPUTIME_ID);
    if (!strcmp(work, "csv")) csv(path, answer), answers = 2;
    else if (!strcmp(work, "pass")) pass(count, answer), answers = 5;
    else if (!strcmp(work, "pyramid")) pyramid(force, count, answer), answers = 1;
    wall = now(CLOCK_MONOTONIC) - wall;
    cpu = now(CLOCK_PROCESS_CPUTIME_ID) - cpu;
    printf("%.6f %.6f", wall, cpu);
    for (int i = 0; i < answers; i++) printf(" %.17g", answer[i]);
    putchar('\n');
    fflush(stdout);
  }
}

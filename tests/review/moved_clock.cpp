// For tests: loaded before a program (LD_PRELOAD), it moves the wall clock by as many seconds as the file that
// INTERCUSP_CLOCK_MOVED names says, at every look anew. Clocks that only measure spans stay as they are.
#include <dlfcn.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

extern "C" int clock_gettime(clockid_t which, timespec* out) noexcept {
  using Real = int (*)(clockid_t, timespec*);
  static const Real real = reinterpret_cast<Real>(dlsym(RTLD_NEXT, "clock_gettime"));
  const int failed = real(which, out);
  const char* name = getenv("INTERCUSP_CLOCK_MOVED");
  if (failed || !name || which != CLOCK_REALTIME) return failed;
  long seconds = 0;
  if (FILE* file = fopen(name, "r")) {
    if (fscanf(file, "%ld", &seconds) == 1) out->tv_sec += seconds;
    fclose(file);
  }
  return 0;
}

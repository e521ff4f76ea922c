#include "base/parallel.h"

#include <atomic>
#include <thread>

namespace intercusp {
namespace {

std::atomic<bool> g_only_one{false};

bool has_second_thread() {
#ifdef INTERCUSP_THREADS
  static const bool several = std::thread::hardware_concurrency() > 1;
  return several && !g_only_one.load();
#else
  return false;
#endif
}

}  // namespace

void in_halves(std::size_t count, std::size_t worth, const std::function<void(std::size_t, std::size_t)>& work) {
  if (count == 0) return;
  if (count < 2 || count < worth || !has_second_thread()) return work(0, count);
#ifdef INTERCUSP_THREADS
  const std::size_t middle = count / 2;
  std::thread other([&] { work(middle, count); });
  work(0, middle);
  other.join();
#endif
}

void both(const std::function<void()>& first, const std::function<void()>& second) {
  in_halves(2, 2, [&](std::size_t begin, std::size_t end) {
    if (begin == 0) first();
    if (end == 2) second();
  });
}

void use_one_thread(bool only_one) {
  g_only_one.store(only_one);
}

}  // namespace intercusp

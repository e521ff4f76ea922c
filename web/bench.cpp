// The side of the program that does errands: in a worker (page/bench.js), or on the page where there is none.
#include <emscripten/emscripten.h>

#include "app/errands/errand_bench.h"
#include "app/errands/errand_wire.h"
#include "app/work/opening.h"

// clang-format off
EM_JS(void, bench_progress, (double fraction), { Module['progress'](fraction); });
// clang-format on

namespace intercusp {
namespace {

/// The one bench of this worker.
struct Worker {
  SurfaceLedger ledger{2};
  ErrandBench bench;
  std::vector<std::uint8_t> answer;
};

Worker& worker() {
  static Worker the_worker;
  return the_worker;
}

}  // namespace
}  // namespace intercusp

using namespace intercusp;

extern "C" {

/// Does one errand; `file` holds the bytes that travelled beside it. The answer stays in place until the next call.
EMSCRIPTEN_KEEPALIVE const std::uint8_t* ic_bench_run(const std::uint8_t* bytes, std::size_t size,
                                                      const std::uint8_t* file, std::size_t file_size) {
  std::optional<Errand> errand = unpack_errand(bytes, size, worker().ledger);
  ErrandAnswer answer = Error{"the worker did not understand what to do", "", "reload the page"};
  if (errand) {
    auto* reading = std::get_if<ReadFile>(&*errand);
    if (reading && reading->bytes.empty()) {  // what came from a server is in the errand itself
      reading->placed = file;
      reading->placed_size = file_size;
    }
    answer = worker().bench.run(*errand, Progress(bench_progress));
  }
  worker().answer = pack_answer(answer, worker().ledger);
  return worker().answer.data();
}

/// The errand that a first visit begins with, packed as the page will pack it; ic_bench_size has its size.
EMSCRIPTEN_KEEPALIVE const std::uint8_t* ic_bench_first_errand() {
  Errand errand{first_sample()};
  worker().answer = pack_errand(errand, worker().ledger);
  return worker().answer.data();
}

/// Forgets every surface, when the other side has.
EMSCRIPTEN_KEEPALIVE void ic_bench_reset() {
  worker() = Worker();
}

EMSCRIPTEN_KEEPALIVE std::size_t ic_bench_size() {
  return worker().answer.size();
}

EMSCRIPTEN_KEEPALIVE void ic_bench_forget(const std::uint8_t* bytes, std::size_t size) {
  std::vector<std::uint64_t> numbers(size / 8);
  std::copy(bytes, bytes + numbers.size() * 8, reinterpret_cast<std::uint8_t*>(numbers.data()));
  worker().ledger.forget(numbers);
}
}

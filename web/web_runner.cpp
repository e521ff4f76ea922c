#include "web_runner.h"

#include <emscripten/emscripten.h>

// clang-format off
EM_JS(void, page_start_errand, (const void* bytes, int size, int file), {
  Module['host'].startErrand(HEAPU8.slice(bytes, bytes + size), file);
});
EM_JS(void, page_forget_surfaces, (const void* numbers, int count), {
  Module['host'].forgetSurfaces(HEAPU8.slice(numbers, numbers + 8 * count));
});
EM_JS(void, page_cancel_errand, (), { Module['host'].cancelErrand(); });
// clang-format on

namespace intercusp {

void WebRunner::start(Errand errand) {
  answer_.reset();
  fraction_ = 0;
  const std::vector<std::uint64_t> gone = ledger_.forget_unused();
  if (!gone.empty()) page_forget_surfaces(gone.data(), static_cast<int>(gone.size()));
  const auto* file = std::get_if<ReadFile>(&errand);
  file_ = file ? file->name : "";
  const std::vector<std::uint8_t> bytes = pack_errand(errand, ledger_);
  page_start_errand(bytes.data(), static_cast<int>(bytes.size()), file ? static_cast<int>(file->held_by_host) : 0);
}

std::optional<ErrandAnswer> WebRunner::take() {
  auto answer = std::move(answer_);
  answer_.reset();
  return answer;
}

void WebRunner::cancel() {
  page_cancel_errand();
  ledger_ = SurfaceLedger(1);
  answer_.reset();
}

void WebRunner::receive(const std::uint8_t* bytes, std::size_t size) {
  answer_ = unpack_answer(bytes, size, ledger_);
  if (!answer_) answer_ = Error{"an answer from the page's worker was cut short", "", "reload the page and try again"};
}

void WebRunner::worker_stopped(const std::string& why) {
  ledger_ = SurfaceLedger(1);
  answer_ = Error{why, file_,
                  file_.empty() ? "try again, or reload the page"
                                : "export the scan with fewer triangles, or use the desktop program"};
}

}  // namespace intercusp

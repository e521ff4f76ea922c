#include "app/errands/sample_shelf.h"

#include <algorithm>

namespace intercusp {

namespace {

bool same_sample(const MakeSample& a, const MakeSample& b) {
  return a.name == b.name && a.seed == b.seed && a.triangles == b.triangles && a.with_bone == b.with_bone;
}

}  // namespace

ErrandAnswer SampleShelf::take(const MakeSample& sample, const std::function<ErrandAnswer()>& make) {
  if (auto kept = find(sample)) return std::move(*kept);
  ErrandAnswer answer = make();
  if (const auto* made = std::get_if<CaseOpened>(&answer)) put(sample, *made);
  return answer;
}

std::optional<CaseOpened> SampleShelf::find(const MakeSample& sample) {
  const std::lock_guard<std::mutex> lock(mutex_);
  const auto kept =
      std::find_if(kept_.begin(), kept_.end(), [&](const auto& entry) { return same_sample(entry.first, sample); });
  if (kept == kept_.end()) return std::nullopt;
  kept_.splice(kept_.begin(), kept_, kept);
  return kept_.front().second;
}

void SampleShelf::put(const MakeSample& sample, const CaseOpened& made) {
  const std::lock_guard<std::mutex> lock(mutex_);
  kept_.emplace_front(sample, made);
  if (kept_.size() > most_) kept_.pop_back();
}

}  // namespace intercusp

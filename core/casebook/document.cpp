#include "casebook/document.h"

namespace intercusp {

void Document::change(Case next, std::string words, std::string merge_key) {
  if (!refusal_.empty()) {
    refused_ = true;
    return;
  }
  const bool merge = !merge_key.empty() && merge_key == merge_key_ && !past_.empty();
  if (merge) {
    past_.back().words = std::move(words);
  } else {
    past_.push_back({std::move(now_), std::move(words)});
  }
  now_ = std::move(next);
  future_.clear();
  merge_key_ = std::move(merge_key);
  ++revision_;
}

void Document::undo() {
  if (past_.empty() || !refusal_.empty()) return;
  Step step = std::move(past_.back());
  past_.pop_back();
  std::swap(step.before, now_);
  future_.push_back(std::move(step));
  seal();
  ++revision_;
}

void Document::redo() {
  if (future_.empty() || !refusal_.empty()) return;
  Step step = std::move(future_.back());
  future_.pop_back();
  std::swap(step.before, now_);
  past_.push_back(std::move(step));
  seal();
  ++revision_;
}

std::string Document::take_refusal() {
  const bool refused = refused_;
  refused_ = false;
  return refused ? refusal_ : std::string{};
}

std::vector<std::string> Document::history() const {
  std::vector<std::string> words;
  for (const Step& step : past_) words.push_back(step.words);
  return words;
}

}  // namespace intercusp

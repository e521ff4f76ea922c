#include "review/order_findings.h"

#include <algorithm>
#include <map>

namespace intercusp {

namespace {

using OfAuthor = std::vector<const ReviewEntry*>;

std::string name_of(const ReviewEntry& entry) {
  return entry.name.empty() ? "somebody" : entry.name;
}

std::string times(std::uint64_t n) {
  return n == 1 ? "1 entry" : std::to_string(n) + " entries";
}

/// Each entry against the one of the same author before it.
void follow(const OfAuthor& list, std::vector<ReviewFinding>& out) {
  std::uint64_t count = 0;
  std::string sha256;
  for (const ReviewEntry* entry : list) {
    const std::string name = name_of(*entry);
    if (entry->count == count) {
      out.push_back({entry->id, "Two entries of " + name + " carry the number " + std::to_string(count) +
                                    ": the same key was used in two places. Both count."});
      continue;
    }
    if (entry->count > count + 1) {
      out.push_back({entry->id, times(entry->count - count - 1) + " of " + name + " before number " +
                                    std::to_string(entry->count) + " have not arrived."});
    } else if (entry->before != sha256) {
      out.push_back({entry->id, "Entry number " + std::to_string(entry->count) + " of " + name +
                                    " does not follow the one that is here: one of them was exchanged."});
    }
    count = entry->count;
    sha256 = entry->sha256;
  }
}

/// The latest entry of each author that anybody has seen, where it is later than what is here.
void missing_at_end(const std::vector<ReviewEntry>& entries, const std::map<std::string, OfAuthor>& authors,
                    std::vector<ReviewFinding>& out) {
  std::map<std::string, std::pair<std::uint64_t, const ReviewEntry*>> most;
  for (const ReviewEntry& entry : entries) {
    for (const auto& [author, count] : entry.seen) {
      auto& known = most[author];
      if (count > known.first) known = {count, &entry};
    }
  }
  for (const auto& [author, known] : most) {
    const auto list = authors.find(author);
    const std::uint64_t here = list == authors.end() ? 0 : list->second.back()->count;
    if (known.first <= here) continue;
    const std::string whose = list == authors.end() ? "somebody else" : name_of(*list->second.back());
    out.push_back({known.second->id, name_of(*known.second) + " had seen " + times(known.first - here) + " of " +
                                         whose + " that have not arrived."});
  }
}

}  // namespace

std::vector<ReviewFinding> order_findings(const std::vector<ReviewEntry>& entries) {
  std::map<std::string, OfAuthor> authors;
  for (const ReviewEntry& entry : entries) authors[entry.author].push_back(&entry);
  std::vector<ReviewFinding> out;
  for (auto& [author, list] : authors) {
    std::stable_sort(list.begin(), list.end(),
                     [](const ReviewEntry* a, const ReviewEntry* b) { return a->count < b->count; });
    follow(list, out);
  }
  missing_at_end(entries, authors, out);
  return out;
}

}  // namespace intercusp

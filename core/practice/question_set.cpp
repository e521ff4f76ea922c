#include "practice/question_set.h"

#include <algorithm>
#include <array>

#include <nlohmann/json.hpp>

#include "anatomy/fixed_random.h"
#include "base/base64.h"
#include "base/json_read.h"
#include "casebook/recipe_link.h"
#include "practice/code_text.h"
#include "practice/graded_set.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr std::array<const char*, 3> kToolIds{"views", "model", "probe"};

int whole(const json& j, const char* key, int low, int high, int otherwise) {
  return static_cast<int>(
      std::clamp(number_at(j, key).value_or(otherwise), static_cast<double>(low), static_cast<double>(high)));
}

// Those of graded sets differ, so that a version that knows nothing of them refuses the set and asks no others.
const std::string kSetPrefix = "set1-", kGradedSetPrefix = "gset1-";
constexpr std::size_t kSecretBytes = 32;

/// The secret of a graded set; empty for others.
Result<std::string> secret_in(const json& document, bool graded) {
  if (!graded) return std::string();
  const auto secret = from_base64url(text_at(document, "secret").value_or(""));
  if (!secret || secret->size() != kSecretBytes) return bad_code("the set's secret is not whole", "the set");
  return *secret;
}

}  // namespace

const char* tools_id(PracticeTools tools) {
  return kToolIds[static_cast<std::size_t>(tools)];
}

const char* tools_words(PracticeTools tools) {
  return tools == PracticeTools::views   ? "from the five views only"
         : tools == PracticeTools::model ? "on a model that you can turn"
                                         : "with measuring tools";
}

std::optional<PracticeTools> tools_of(const std::string& id) {
  for (std::size_t i = 0; i < kToolIds.size(); ++i)
    if (id == kToolIds[i]) return static_cast<PracticeTools>(i);
  return std::nullopt;
}

std::vector<QuestionSpec> questions_of(const QuestionSet& set) {
  std::vector<QuestionSpec> specs;
  FixedRandom random(set.seed);
  for (int i = 0; i < set.count; ++i) {
    const QuestionKind kind = set.kinds[static_cast<std::size_t>(i) % set.kinds.size()];
    const int difficulty = set.difficulty > 0 ? set.difficulty : 2 + 4 * i / std::max(1, set.count - 1);
    const std::uint64_t seed = is_graded(set) ? graded_seed(set, i) : 1 + random.below(999999999);
    specs.push_back({kind, seed, difficulty, set.version});
  }
  return specs;
}

std::string set_code(const QuestionSet& set) {
  json kinds = json::array();
  for (const QuestionKind kind : set.kinds) kinds.push_back(info_of(kind).id);
  json document = {{"v", set.version},
                   {"g", kGeneratorVersion},
                   {"title", short_label(set.title)},
                   {"seed", set.seed},
                   {"count", set.count},
                   {"kinds", kinds},
                   {"difficulty", set.difficulty},
                   {"seconds", set.seconds},
                   {"tools", tools_id(set.tools)}};
  if (is_graded(set)) document["secret"] = base64url(set.secret);
  return checked_code(is_graded(set) ? kGradedSetPrefix : kSetPrefix, code_body(document), "");
}

bool is_set_code(const std::string& text) {
  return text.rfind(kSetPrefix, 0) == 0 || text.rfind(kGradedSetPrefix, 0) == 0;
}

Result<QuestionSet> read_set_code(const std::string& code) {
  const std::size_t letter = code.find_first_not_of(" \t\r\n");
  const bool graded =
      letter != std::string::npos && code.compare(letter, kGradedSetPrefix.size(), kGradedSetPrefix) == 0;
  const auto body = body_of_code(graded ? kGradedSetPrefix : kSetPrefix, code, "", "the set");
  if (!body) return body.error();
  const auto read = document_of_body(body.value(), "the set");
  if (!read) return read.error();
  const json& d = read.value();
  const double version = number_at(d, "v").value_or(0);
  if (!is_known_version(version) || number_at(d, "g").value_or(0) != kGeneratorVersion)
    return Error{"this set was made by another version of the program, whose questions are not these", "the set",
                 "ask for the set again, or open it with that version"};
  const auto secret = secret_in(d, graded);
  if (!secret) return secret.error();
  QuestionSet set;
  set.secret = secret.value();
  set.version = static_cast<int>(version);
  set.title = short_label(text_at(d, "title").value_or(""));
  set.seed = static_cast<unsigned>(whole(d, "seed", 1, 999999999, 1));
  set.count = whole(d, "count", 1, kMostQuestions, 10);
  set.difficulty = whole(d, "difficulty", 0, kHardest, 0);
  set.seconds = whole(d, "seconds", 0, 3600, 0);
  set.tools = tools_of(text_at(d, "tools").value_or("")).value_or(PracticeTools::model);
  const json* kinds = member(d, "kinds");
  for (const json& id : kinds && kinds->is_array() ? *kinds : json::array()) {
    const auto kind = id.is_string() ? kind_of(id.get<std::string>()) : std::nullopt;
    if (!kind) return Error{"the set asks for a kind of question that this version does not know", "the set", ""};
    set.kinds.push_back(*kind);
  }
  if (set.kinds.empty()) return bad_code("the set names no kinds of questions", "the set");
  return set;
}

}  // namespace intercusp

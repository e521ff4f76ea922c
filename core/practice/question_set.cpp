#include "practice/question_set.h"

#include <algorithm>
#include <array>

#include <nlohmann/json.hpp>

#include "anatomy/fixed_random.h"
#include "base/base64.h"
#include "base/json_read.h"
#include "base/sha256.h"
#include "casebook/recipe_link.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr std::size_t kLongestCode = 64 * 1024, kLongestLabel = 60, kLongestAnswer = 400;
constexpr std::array<const char*, 3> kToolIds{"views", "model", "probe"};

std::string check_of(const std::string& what) {
  return sha256_hex(what.data(), what.size()).substr(0, 10);
}

std::string sealed(const std::string& prefix, const json& document, const std::string& with) {
  const std::string body = prefix + base64url(document.dump(-1, ' ', false, json::error_handler_t::replace));
  return body + "." + check_of(body + with);
}

Error bad_code(const std::string& what, const std::string& which) {
  return Error{what, which, "copy the whole code again"};
}

Result<json> unsealed(const std::string& prefix, std::string code, const std::string& with, const std::string& which) {
  const auto space = [](char c) { return c == ' ' || c == '\n' || c == '\r' || c == '\t'; };
  code.erase(std::remove_if(code.begin(), code.end(), space), code.end());
  const std::size_t dot = code.rfind('.');
  if (code.size() > kLongestCode || code.rfind(prefix, 0) != 0 || dot == std::string::npos)
    return bad_code("this is no code of practice", which);
  const std::string body = code.substr(0, dot);
  if (code.substr(dot + 1) != check_of(body + with))
    return bad_code(with.empty() ? "the code is cut short or damaged" : "the code is damaged, or of another set",
                    which);
  const auto text = from_base64url(body.substr(prefix.size()));
  if (!text) return bad_code("the code holds characters that do not belong there", which);
  return parse_json(text->data(), text->size());
}

int whole(const json& j, const char* key, int low, int high, int otherwise) {
  return static_cast<int>(
      std::clamp(number_at(j, key).value_or(otherwise), static_cast<double>(low), static_cast<double>(high)));
}

const std::string kSetPrefix = "set1-", kResultPrefix = "res1-";

}  // namespace

const char* tools_id(PracticeTools tools) {
  return kToolIds[static_cast<std::size_t>(tools)];
}

const char* tools_words(PracticeTools tools) {
  return tools == PracticeTools::views   ? "from the five views only"
         : tools == PracticeTools::model ? "on the turning model"
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
    specs.push_back({kind, 1 + random.below(999999999), difficulty});
  }
  return specs;
}

std::string set_code(const QuestionSet& set) {
  json kinds = json::array();
  for (const QuestionKind kind : set.kinds) kinds.push_back(info_of(kind).id);
  const json document = {{"v", kPracticeVersion},
                         {"g", kGeneratorVersion},
                         {"title", set.title.substr(0, kLongestLabel)},
                         {"seed", set.seed},
                         {"count", set.count},
                         {"kinds", kinds},
                         {"difficulty", set.difficulty},
                         {"seconds", set.seconds},
                         {"tools", tools_id(set.tools)}};
  return sealed(kSetPrefix, document, "");
}

Result<QuestionSet> read_set_code(const std::string& code) {
  auto read = unsealed(kSetPrefix, code, "", "the set");
  if (!read) return read.error();
  const json& d = read.value();
  if (number_at(d, "v").value_or(0) != kPracticeVersion || number_at(d, "g").value_or(0) != kGeneratorVersion)
    return Error{"this set was made by another version of the program, whose questions are not these", "the set",
                 "ask for the set again, or open it with that version"};
  QuestionSet set;
  set.title = text_at(d, "title").value_or("").substr(0, kLongestLabel);
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

std::string result_code(const std::string& code, const SetResult& result) {
  json answers = json::array();
  for (const GivenAnswer& given : result.answers)
    answers.push_back({given.text.substr(0, kLongestAnswer), static_cast<long>(given.seconds + 0.5)});
  return sealed(kResultPrefix, {{"by", result.by.substr(0, kLongestLabel)}, {"answers", answers}}, code);
}

Result<SetResult> read_result_code(const std::string& code, const std::string& text) {
  auto read = unsealed(kResultPrefix, text, code, "a result");
  if (!read) return read.error();
  SetResult result;
  result.by = text_at(read.value(), "by").value_or("").substr(0, kLongestLabel);
  const json* answers = member(read.value(), "answers");
  for (const json& given : answers && answers->is_array() ? *answers : json::array()) {
    const bool fine = given.is_array() && given.size() == 2 && given[0].is_string() && given[1].is_number();
    if (!fine || result.answers.size() >= kMostQuestions) return bad_code("the answers are not readable", "a result");
    result.answers.push_back({given[0].get<std::string>().substr(0, kLongestAnswer), given[1].get<double>()});
  }
  return result;
}

}  // namespace intercusp

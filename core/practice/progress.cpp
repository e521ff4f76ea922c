#include "practice/progress.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include <nlohmann/json.hpp>

#include "base/json_read.h"
#include "practice/words.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr int kProgressVersion = 1;
constexpr std::array<long, 4> kReturnDays{1, 3, 7, 21};
constexpr double kVariancePerDay = 0.01;  ///< of an ability while nothing is answered, logits squared
constexpr long kLongestPauseDays = 100;   ///< a longer pause widens no further
constexpr std::size_t kMostRecords = 20000;

json spec_json(const QuestionSpec& spec) {
  return {
      {"kind", info_of(spec.kind).id}, {"seed", spec.seed}, {"difficulty", spec.difficulty}, {"version", spec.version}};
}

std::optional<QuestionSpec> spec_from(const json& j) {
  const auto kind = kind_of(text_at(j, "kind").value_or(""));
  const double seed = number_at(j, "seed").value_or(0), difficulty = number_at(j, "difficulty").value_or(0);
  const double version = number_at(j, "version").value_or(1);
  if (!kind || seed < 1 || seed > 999999999 || difficulty < kEasiest || difficulty > kHardest) return std::nullopt;
  if (!is_known_version(version)) return std::nullopt;
  return QuestionSpec{*kind, static_cast<unsigned>(seed), static_cast<int>(difficulty), static_cast<int>(version)};
}

/// What readings are that are too large, and too small; nothing for numbers that are no reading of one quantity.
std::pair<const char*, const char*> too_words(QuestionKind kind) {
  switch (kind) {
    case QuestionKind::overjet:
      return {"too far forward", "too far back"};
    case QuestionKind::overbite:
      return {"too deep", "too open"};
    case QuestionKind::midline:
      return {"too far to the patient's left", "too far to the patient's right"};
    case QuestionKind::crowding:
      return {"too much crowding", "too little crowding"};
    case QuestionKind::curve_of_spee:
      return {"too deep", "too flat"};
    default:
      return {nullptr, nullptr};
  }
}

long day_at(const json& j) {
  return static_cast<long>(std::clamp(number_at(j, "day").value_or(0), 0.0, 1e7));
}

}  // namespace

double guess_chance(const PracticeQuestion& question) {
  return question.form == AnswerForm::choice ? 1.0 / static_cast<double>(question.choices.size()) : 0.0;
}

void PracticeProgress::take(const PracticeQuestion& question, const Mark& mark, long day) {
  AnswerRecord record{question.spec, mark.credit, guess_chance(question), std::nullopt, day};
  if (question.form == AnswerForm::number) record.off = mark.off;
  answers_.push_back(record);
  const auto found =
      std::find_if(due_.begin(), due_.end(), [&](const DueQuestion& d) { return d.spec == question.spec; });
  if (mark.verdict != Verdict::right) {
    DueQuestion again{question.spec, 0, day + kReturnDays[0]};
    found == due_.end() ? due_.push_back(again) : void(*found = again);
  } else if (found != due_.end()) {
    ++found->box;
    if (found->box >= static_cast<int>(kReturnDays.size()))
      due_.erase(found);
    else
      found->day = day + kReturnDays[static_cast<std::size_t>(found->box)];
  }
}

Ability PracticeProgress::ability(QuestionKind kind, std::optional<long> today) const {
  Ability ability;
  std::optional<long> last;
  const auto pause_until = [&](long day) {
    if (last && day > *last)
      ability.loosen(kVariancePerDay * static_cast<double>(std::min(day - *last, kLongestPauseDays)));
  };
  for (const AnswerRecord& record : answers_) {
    if (record.spec.kind != kind) continue;
    pause_until(record.day);
    last = record.day;
    ability.learn(difficulty_logits(record.spec.difficulty), record.guess, record.credit);
  }
  if (today) pause_until(*today);
  return ability;
}

std::vector<double> PracticeProgress::offs(QuestionKind kind) const {
  std::vector<double> out;
  for (const AnswerRecord& record : answers_)
    if (record.spec.kind == kind && record.off) out.push_back(*record.off);
  return out;
}

Calibration PracticeProgress::calibration(QuestionKind kind) const {
  const std::vector<double> off = offs(kind);
  Calibration c;
  c.count = off.size();
  if (off.empty()) return c;
  for (const double x : off) c.bias += x / static_cast<double>(off.size());
  double squares = 0;
  for (const double x : off) squares += (x - c.bias) * (x - c.bias);
  if (off.size() > 1) c.spread = std::sqrt(squares / static_cast<double>(off.size() - 1));
  return c;
}

QuestionSpec PracticeProgress::next(const std::vector<QuestionKind>& kinds, long day, unsigned fresh) const {
  const auto wanted = [&](QuestionKind kind) { return std::find(kinds.begin(), kinds.end(), kind) != kinds.end(); };
  for (const DueQuestion& d : due_)
    if (d.day <= day && wanted(d.spec.kind)) return d.spec;
  QuestionSpec best{kinds.front(), fresh, 1};
  double widest = -1;
  std::ptrdiff_t fewest = 0;
  for (std::size_t i = 0; i < kinds.size(); ++i) {
    // Of equal ones another each time.
    const QuestionKind kind = kinds[(i + fresh) % kinds.size()];
    const auto today = std::count_if(answers_.begin(), answers_.end(), [&](const AnswerRecord& record) {
      return record.spec.kind == kind && record.day == day;
    });
    const Ability a = ability(kind, day);
    const bool first = widest < 0 || today < fewest || (today == fewest && a.sd() > widest + 1e-9);
    if (!first) continue;
    fewest = today;
    widest = a.sd();
    best = {kind, fresh, a.next_difficulty()};
  }
  return best;
}

void PracticeProgress::join(const PracticeProgress& other) {
  const auto [mine, theirs] =
      std::mismatch(answers_.begin(), answers_.end(), other.answers_.begin(), other.answers_.end());
  if (theirs == other.answers_.end()) return;
  if (mine == answers_.end()) {
    *this = other;
    return;
  }
  std::vector<AnswerRecord> all(answers_.begin(), mine);
  std::merge(mine, answers_.end(), theirs, other.answers_.end(), std::back_inserter(all),
             [](const AnswerRecord& a, const AnswerRecord& b) { return a.day < b.day; });
  answers_ = std::move(all);
  for (const DueQuestion& d : other.due_) {
    const auto found =
        std::find_if(due_.begin(), due_.end(), [&d](const DueQuestion& own) { return own.spec == d.spec; });
    if (found == due_.end()) due_.push_back(d);
  }
}

json PracticeProgress::to_json() const {
  json answers = json::array(), due = json::array();
  for (const AnswerRecord& record : answers_) {
    json j = spec_json(record.spec);
    j["credit"] = record.credit;
    j["guess"] = record.guess;
    if (record.off) j["off_mm"] = *record.off;
    j["day"] = record.day;
    answers.push_back(j);
  }
  for (const DueQuestion& d : due_) {
    json j = spec_json(d.spec);
    j["box"] = d.box;
    j["day"] = d.day;
    due.push_back(j);
  }
  return {{"practice_progress", kProgressVersion}, {"recipes", kPracticeVersion}, {"answers", answers}, {"due", due}};
}

json PracticeProgress::to_json_with_skills() const {
  json skills = json::object();
  for (const KindInfo& info : question_kinds()) {
    const auto count = std::count_if(answers_.begin(), answers_.end(),
                                     [&](const AnswerRecord& r) { return r.spec.kind == info.kind; });
    if (count == 0) continue;
    const Ability a = ability(info.kind);
    skills[info.id] = {{"answers", count},
                       {"level_logits", a.mean()},
                       {"sd_logits", a.sd()},
                       {"next_difficulty", a.next_difficulty()}};
    const Calibration c = calibration(info.kind);
    if (c.count > 0) skills[info.id]["bias_mm"] = c.bias, skills[info.id]["spread_mm"] = c.spread;
  }
  json whole = to_json();
  whole["skills"] = std::move(skills);
  return whole;
}

Result<PracticeProgress> PracticeProgress::from_json_text(const std::string& text) {
  const auto parsed = parse_json(text.data(), text.size());
  const double version = parsed ? number_at(parsed.value(), "practice_progress").value_or(0) : 0;
  if (version < 1) return Error{"this is no progress file of practice", "", "choose the file that practice wrote"};
  if (version > kProgressVersion)
    return Error{"the progress file was written by a newer version", "", "update the program"};
  PracticeProgress progress;
  const json* answers = member(parsed.value(), "answers");
  const json* due = member(parsed.value(), "due");
  for (const json& j : answers && answers->is_array() ? *answers : json::array()) {
    const auto spec = spec_from(j);
    if (!spec || progress.answers_.size() >= kMostRecords) continue;
    const double credit = std::clamp(number_at(j, "credit").value_or(0), 0.0, 1.0);
    const double guess = std::clamp(number_at(j, "guess").value_or(0), 0.0, 0.5);
    progress.answers_.push_back({*spec, credit, guess, number_at(j, "off_mm"), day_at(j)});
  }
  for (const json& j : due && due->is_array() ? *due : json::array()) {
    const auto spec = spec_from(j);
    if (!spec || progress.due_.size() >= kMostRecords) continue;
    progress.due_.push_back(
        {*spec, static_cast<int>(std::clamp(number_at(j, "box").value_or(0), 0.0, 3.0)), day_at(j)});
  }
  return progress;
}

bool is_progress_text(const std::string& text) {
  const auto parsed = parse_json(text.data(), text.size());
  return parsed && number_at(parsed.value(), "practice_progress").has_value();
}

std::string level_words(const Ability& ability) {
  constexpr double kKnown = 0.8;  // logits: more than a step of difficulty to each side says little
  return (ability.sd() > kKnown ? "about level " : "level ") + std::to_string(ability.next_difficulty());
}

std::string calibration_words(QuestionKind kind, const Calibration& c) {
  const auto [more, less] = too_words(kind);
  if (c.count < 2 || !more) return "";
  const std::string mean = std::abs(c.bias) < 0.05 ? "right on the mean"
                                                   : short_number(std::abs(c.bias), 1) + " mm " +
                                                         (c.bias > 0 ? more : less) + " on the mean";
  return mean + ", spread " + short_number(c.spread, 1) + " mm";
}

std::string session_report(const PracticeProgress& progress, std::size_t from) {
  std::string text;
  const auto& answers = progress.answers();
  for (const KindInfo& info : question_kinds()) {
    double credit = 0;
    std::size_t asked = 0;
    for (std::size_t i = from; i < answers.size(); ++i) {
      if (answers[i].spec.kind != info.kind) continue;
      credit += answers[i].credit;
      ++asked;
    }
    if (asked == 0) continue;
    text += std::string(info.skill) + ": " + short_number(credit) + " of " + std::to_string(asked) + ", " +
            level_words(progress.ability(info.kind));
    const Calibration c = progress.calibration(info.kind);
    if (const std::string words = calibration_words(info.kind, c); !words.empty()) text += "; your readings: " + words;
    text += "\n";
  }
  if (!text.empty())
    text += "A level, from 1 to " + std::to_string(kHardest) +
            ", is how hard the next question of that kind is; \"about\": after few answers it is a first guess.\n";
  return text;
}

}  // namespace intercusp

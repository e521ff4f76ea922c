#include "practice/shown_question.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>

#include <nlohmann/json.hpp>

#include "anatomy/notation.h"
#include "base/json_read.h"
#include "casebook/case_file.h"
#include "practice/question_json.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr std::size_t kLengthBytes = 4, kMostQuestionText = 64 * 1024, kMostChoices = 64;
constexpr double kFarthestMm = 1000;

Mesh by_place(const Mesh& mesh) {
  std::vector<std::uint32_t> order(mesh.positions.size()), number(order.size());
  std::iota(order.begin(), order.end(), 0u);
  const auto place = [&mesh](std::uint32_t i) {
    const Vec3f& p = mesh.positions[i];
    return std::make_tuple(p.z(), p.y(), p.x());
  };
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) { return place(a) < place(b); });
  Mesh sorted;
  for (const std::uint32_t i : order) {
    number[i] = static_cast<std::uint32_t>(sorted.positions.size());
    sorted.positions.push_back(mesh.positions[i]);
  }
  for (Triangle t : mesh.triangles) {
    for (auto& corner : t) corner = number[corner];
    std::rotate(t.begin(), std::min_element(t.begin(), t.end()), t.end());
    sorted.triangles.push_back(t);
  }
  std::sort(sorted.triangles.begin(), sorted.triangles.end());
  return sorted;
}

/// What of the text of a question is wrong.
Error unreadable(const std::string& what) {
  return {"the question that came is not readable: " + what, "the question", "ask for it again"};
}

std::optional<AnswerForm> form_of(const std::string& id) {
  for (int i = 0; i < kAnswerForms; ++i)
    if (id == answer_form_id(static_cast<AnswerForm>(i))) return static_cast<AnswerForm>(i);
  return std::nullopt;
}

/// Texts of a list; nothing where one is none, or there are too many.
std::optional<std::vector<std::string>> texts_at(const json& j, const char* key, std::size_t most) {
  const json* list = member(j, key);
  std::vector<std::string> texts;
  if (!list) return texts;
  if (!list->is_array() || list->size() > most) return std::nullopt;
  for (const json& one : *list) {
    if (!one.is_string()) return std::nullopt;
    texts.push_back(one.get<std::string>());
  }
  return texts;
}

bool take_offered(const json& j, PracticeQuestion& question) {
  const json* list = member(j, "offered");
  if (!list) return true;
  if (!list->is_array() || list->size() > 32) return false;
  for (const json& one : *list) {
    if (!one.is_number_integer() || !is_permanent_tooth(one.get<int>())) return false;
    question.offered_teeth.push_back(one.get<int>());
  }
  return true;
}

bool take_marked(const json& j, PracticeQuestion& question) {
  const json* at = member(j, "marked");
  if (!at) return true;
  if (!at->is_array() || at->size() != 3) return false;
  Vec3 marked;
  for (int k = 0; k < 3; ++k) {
    const json& x = (*at)[static_cast<std::size_t>(k)];
    if (!x.is_number() || !(std::abs(x.get<double>()) <= kFarthestMm)) return false;
    marked[k] = x.get<double>();
  }
  question.marked = marked;
  return true;
}

Result<PracticeQuestion> question_in(const json& j) {
  const auto kind = kind_of(text_at(j, "kind").value_or(""));
  const auto form = form_of(text_at(j, "form").value_or(""));
  const double number = number_at(j, "number").value_or(0), difficulty = number_at(j, "difficulty").value_or(0);
  if (!kind || !form) return unreadable("it is of a kind that this version does not know");
  if (!(number >= 1 && number <= kMostQuestions) || !(difficulty >= kEasiest && difficulty <= kHardest))
    return unreadable("its number is out of range");
  PracticeQuestion question;
  question.spec = {*kind, static_cast<std::uint64_t>(number), static_cast<int>(difficulty)};
  question.form = *form;
  question.prompt = text_at(j, "prompt").value_or("");
  question.sheet = text_at(j, "sheet").value_or("");
  question.unit = text_at(j, "unit").value_or("");
  question.landmark = text_at(j, "landmark").value_or("");
  const auto choices = texts_at(j, "choices", kMostChoices), ways = texts_at(j, "ways", 2);
  if (!choices || !ways || !take_offered(j, question) || !take_marked(j, question) || question.prompt.empty())
    return unreadable("a part of it is not what it should be");
  if (*form == AnswerForm::choice && choices->empty()) return unreadable("there is nothing to choose from");
  for (const std::string& words : *choices) question.choices.push_back({words, 0, 0, ""});
  if (ways->size() == 2) question.positive_word = (*ways)[0], question.negative_word = (*ways)[1];
  return question;
}

/// What question_json says for everybody, but for what would make the question again or is known to the reader.
json shown_json(const PracticeQuestion& question, int number) {
  json j = question_json(question);
  for (const char* key : {"seed", "skill", "how"}) j.erase(key);
  j["number"] = number + 1;
  j["unit"] = question.unit;
  j["look_from"] = side_to_look_from(question);
  return j;
}

/// From where a tooth's place is seen.
const char* seen_from(const Vec3& at) {
  constexpr double kFront = 12;  // mm to either side of the midline
  return at.x() < -kFront ? "right" : at.x() > kFront ? "left" : "front";
}

}  // namespace

std::string side_to_look_from(const PracticeQuestion& q) {
  if (q.spec.kind == QuestionKind::crossbite)
    return "front";  // its measure is of the worse side, which is what is asked
  if (q.marked) return seen_from(*q.marked);
  if (!q.landmark.empty()) return jaw_of_landmark(q.landmark) == Jaw::upper ? "upper" : "lower";
  if (q.measure.find("_right") != std::string::npos) return "right";
  if (q.measure.find("_left") != std::string::npos) return "left";
  if (q.measure == "crowding_upper") return "upper";
  if (q.measure == "crowding_lower") return "lower";
  return q.spec.kind == QuestionKind::skeletal || q.measure == "overjet" ? "right" : "front";
}

std::string side_to_see_why(const PracticeQuestion& q) {
  if (q.spec.kind == QuestionKind::interference && !q.construct.empty()) {
    return seen_from(q.construct.front().points.front());
  }
  if (q.spec.kind != QuestionKind::crossbite || q.teeth.empty()) return "";
  const auto right = std::count_if(q.teeth.begin(), q.teeth.end(), is_right);
  return 2 * right >= static_cast<std::ptrdiff_t>(q.teeth.size()) ? "right" : "left";
}

Case surfaces_alone(const Case& c) {
  Case alone;
  alone.id = "practice";
  alone.patient_from_scans = c.patient_from_scans;
  alone.frame_known = c.frame_known;
  for (const Body& body : c.bodies)
    if (body.surface && !holds_roots(body.name))
      alone.bodies.push_back(make_body(body.name, Surface::make(by_place(body.surface->mesh()))));
  return alone;
}

Result<std::vector<std::uint8_t>> write_shown_question(const MadeQuestion& made, int number, std::uint32_t triangles) {
  const auto c = case_of(made, triangles);
  if (!c) return c.error();
  const std::string text = shown_json(made.question, number).dump();
  std::vector<std::uint8_t> bytes;
  for (std::size_t k = 0; k < kLengthBytes; ++k) bytes.push_back(static_cast<std::uint8_t>(text.size() >> (8 * k)));
  bytes.insert(bytes.end(), text.begin(), text.end());
  const std::vector<std::uint8_t> file = write_case(surfaces_alone(c.value()));
  bytes.insert(bytes.end(), file.begin(), file.end());
  return bytes;
}

Result<ShownQuestion> read_shown_question(const std::uint8_t* bytes, std::size_t size) {
  if (size < kLengthBytes) return unreadable("it is cut short");
  std::size_t length = 0;
  for (std::size_t k = 0; k < kLengthBytes; ++k) length |= static_cast<std::size_t>(bytes[k]) << (8 * k);
  if (length > kMostQuestionText || length > size - kLengthBytes) return unreadable("it is cut short");
  const auto parsed = parse_json(reinterpret_cast<const char*>(bytes + kLengthBytes), length);
  if (!parsed) return unreadable(parsed.error().what);
  auto question = question_in(parsed.value());
  if (!question) return question.error();
  auto shown = read_case(bytes + kLengthBytes + length, size - kLengthBytes - length);
  if (!shown) return shown.error();
  ShownQuestion read{std::move(question).value(), text_at(parsed.value(), "look_from").value_or("front"),
                     std::move(shown).value()};
  return read;
}

}  // namespace intercusp

#include "surgery/face_record.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace intercusp {
namespace {

// Textbooks, from memory.
constexpr double kLipShortensLeast = 0.2, kLipShortensMost = 0.4;
constexpr char kLipShortens[] = "the upper lip shortens by 0.2 to 0.4 of an impaction (textbooks, from memory)";
// Freihofer 1976 and San Miguel Moragas 2014, from memory; setback: textbooks, from memory.
constexpr double kLipForwardLeast = 0.5, kLipForwardMost = 0.8, kLipBackMost = 0.67;
constexpr char kLipForward[] =
    "the upper lip follows the incisor by 0.5 to 0.8 forward (Freihofer 1976, San Miguel Moragas 2014, from memory)";
constexpr char kLipBack[] = "the upper lip follows the incisor by 0.5 to 0.67 back (textbooks, from memory)";
constexpr double kCantNoticed = 4;  ///< degrees: Padwa 1997, from memory
constexpr double kStill = 0.005;    ///< mm: below it nothing moved

std::string number_words(double value, int decimals = 2) {
  char text[32];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

/// The patient frame as the head is held naturally.
Mat3 natural_head(const FaceRecord& record) {
  const double pitch = radians(record.number("head_pitch_deg").value_or(0));
  const double roll = radians(record.number("head_roll_deg").value_or(0));
  return (Eigen::AngleAxisd(roll, Vec3::UnitY()) * Eigen::AngleAxisd(-pitch, Vec3::UnitX())).toRotationMatrix();
}

/// Degrees by which the left side lies lower.
double cant_of(const Vec3& right, const Vec3& left) {
  return degrees(std::atan2(right.z() - left.z(), left.x() - right.x()));
}

// Vig & Brundo 1978 (means from memory); da Motta et al. 2010, 240 adults and adolescents (looked up).
std::string usual_show(const FaceRecord& record) {
  struct Series {
    const char* who;
    double mean, youngest, oldest;
  };
  constexpr Series kWomen{"women", 3.40, 4.45, 1.32}, kMen{"men", 1.91, 3.35, 0.57};
  constexpr double kYoungest = 15, kOldest = 51;
  const auto words = [&](const Series& s) {
    const auto age = record.number("age_years");
    std::string text = std::string(s.who) + " " + number_words(s.mean) + " (Vig & Brundo 1978, mean, from memory), ";
    const std::string young = number_words(s.youngest) + " at 12 to 15 years",
                      old = number_words(s.oldest) + " from 51";
    if (age && *age <= kYoungest) return text + young + " (da Motta 2010)";
    if (age && *age >= kOldest) return text + old + " (da Motta 2010)";
    return text + young + " to " + old + " (da Motta 2010)";
  };
  if (record.sex == "woman") return words(kWomen);
  if (record.sex == "man") return words(kMen);
  return words(kWomen) + "; " + words(kMen);
}

FaceRow row_of(const FaceRecord& record, const char* key) {
  FaceRow row;
  row.id = key;
  for (const FaceItem& item : face_items())
    if (item.key == key) row.words = item.words;
  row.recorded = record.number(key);
  return row;
}

void plan(FaceRow& row, double least, double most) {
  row.planned_least = std::min(least, most);
  row.planned_most = std::max(least, most);
}

/// How much of the incisors shows after the jaw went up by `up`, with the lip that goes along.
FaceRow show_row(const FaceRecord& record, const char* key, const std::optional<double>& up) {
  FaceRow row = row_of(record, key);
  if (std::string(key) == "incisor_show_rest_mm") row.usual = usual_show(record);
  if (!row.recorded || !up) return row;
  const double shorter = std::max(0.0, *up);
  plan(row, *row.recorded - *up + kLipShortensLeast * shorter, *row.recorded - *up + kLipShortensMost * shorter);
  if (*up > kStill) row.ratio = kLipShortens;
  if (*up < -kStill) row.remark = "the lip is taken as it is: no ratio is known for a move down";
  return row;
}

FaceRow lip_length_row(const FaceRecord& record, const std::optional<double>& up) {
  FaceRow row = row_of(record, "lip_length_mm");
  if (!row.recorded || !up) return row;
  const double shorter = std::max(0.0, *up);
  plan(row, *row.recorded - kLipShortensMost * shorter, *row.recorded - kLipShortensLeast * shorter);
  if (*up > kStill) row.ratio = kLipShortens;
  return row;
}

FaceRow midline_row(const FaceRecord& record, const std::optional<Vec3>& shift) {
  FaceRow row = row_of(record, "midline_upper_mm");
  if (row.recorded && shift) plan(row, *row.recorded + shift->x(), *row.recorded + shift->x());
  return row;
}

FaceRow cant_row(const FaceRecord& record, const std::optional<FaceMove>& move, const Mat3& head) {
  FaceRow row = row_of(record, "cant_deg");
  row.usual = "noticed from " + number_words(kCantNoticed, 0) + " degrees on (Padwa 1997, from memory)";
  if (!row.recorded || !move) return row;
  if (!move->sides) {
    row.remark = "what the plan makes of it is not known: place 16 and 26, or 13 and 23";
    return row;
  }
  const FaceMove::Sides& s = *move->sides;
  const double change =
      cant_of(head * s.right_after, head * s.left_after) - cant_of(head * s.right_before, head * s.left_before);
  plan(row, *row.recorded + change, *row.recorded + change);
  return row;
}

FaceRow lip_forward_row(const Vec3& shift) {
  FaceRow row;
  row.id = "upper_lip_forward_mm";
  row.words = "upper lip, forward";
  const double forward = -shift.y();
  plan(row, kLipForwardLeast * forward, (forward > 0 ? kLipForwardMost : kLipBackMost) * forward);
  row.ratio = forward > 0 ? kLipForward : kLipBack;
  return row;
}

}  // namespace

const std::vector<FaceItem>& face_items() {
  static const std::vector<FaceItem> items = {
      {"incisor_show_rest_mm", -10, 20, "upper incisor show at rest"},
      {"incisor_show_smile_mm", -10, 25, "upper incisor and gum show, smiling"},
      {"lip_length_mm", 5, 40, "upper lip, subnasale to its lower edge"},
      {"midline_upper_mm", -15, 15, "upper dental midline against the face, positive to the patient's left"},
      {"cant_deg", -20, 20, "cant of the upper teeth against the pupils, positive: patient's left side lower"},
      {"head_pitch_deg", -45, 45, "natural head position against the patient frame, positive: chin up"},
      {"head_roll_deg", -45, 45,
       "natural head position against the patient frame, positive: patient's left side lower"},
      {"slide_forward_mm", -10, 10, "slide from the hinge position to full closure, positive: forward"},
      {"slide_left_mm", -10, 10, "the same sideways, positive: to the patient's left"},
      {"age_years", 5, 110, "age"}};
  return items;
}

std::optional<double> FaceRecord::number(const char* key) const {
  const auto found = numbers.find(key);
  return found == numbers.end() ? std::nullopt : std::optional<double>(found->second);
}

bool operator==(const FaceRecord& a, const FaceRecord& b) {
  return a.numbers == b.numbers && a.sex == b.sex;
}

Status set_face_number(FaceRecord& record, const std::string& key, std::optional<double> value) {
  std::string known;
  for (const FaceItem& item : face_items()) {
    known += (known.empty() ? "" : ", ") + item.key;
    if (item.key != key) continue;
    if (!value) {
      record.numbers.erase(key);
      return Done{};
    }
    if (!(*value >= item.least && *value <= item.most))
      return Error{
          item.words + " must lie between " + number_words(item.least, 0) + " and " + number_words(item.most, 0), key,
          "correct it"};
    record.numbers[key] = *value;
    return Done{};
  }
  return Error{"the face has no number \"" + key + "\"", "", "its numbers are: " + known};
}

Status set_face_sex(FaceRecord& record, const std::string& sex) {
  if (!sex.empty() && sex != "woman" && sex != "man")
    return Error{"\"" + sex + "\" is not known here", "sex", "write woman, man, or nothing"};
  record.sex = sex;
  return Done{};
}

std::string face_words(const std::string& id, double value) {
  struct Sides {
    const char *id, *positive, *negative;
  };
  constexpr Sides kSides[] = {
      {"midline_upper_mm", "left", "right"},      {"cant_deg", "left side lower", "right side lower"},
      {"head_pitch_deg", "chin up", "chin down"}, {"head_roll_deg", "left side lower", "right side lower"},
      {"slide_forward_mm", "forward", "back"},    {"slide_left_mm", "left", "right"},
      {"upper_lip_forward_mm", "forward", "back"}};
  if (id == "age_years") return number_words(value, 0) + " years";
  const bool angle = id.size() > 4 && id.compare(id.size() - 4, 4, "_deg") == 0;
  const std::string unit = angle ? " deg" : " mm";
  for (const Sides& sides : kSides) {
    if (id != sides.id) continue;
    const std::string size = number_words(std::abs(value), 1);
    return size + unit + (size == "0.0" ? "" : std::string(" ") + (value > 0 ? sides.positive : sides.negative));
  }
  return number_words(std::abs(value) < 0.05 ? 0 : value, 1) + unit;
}

std::string planned_words(const FaceRow& row) {
  if (!row.planned_least || !row.planned_most) return {};
  const std::string least = face_words(row.id, *row.planned_least), most = face_words(row.id, *row.planned_most);
  if (least == most) return most;
  const double a = std::min(std::abs(*row.planned_least), std::abs(*row.planned_most));
  const double b = std::max(std::abs(*row.planned_least), std::abs(*row.planned_most));
  const bool one_way = (*row.planned_least < 0) == (*row.planned_most < 0);
  if (!one_way) return least + " to " + most;
  const double sign = *row.planned_most < 0 ? -1 : 1;
  const bool signed_words =
      row.id != "incisor_show_rest_mm" && row.id != "incisor_show_smile_mm" && row.id != "lip_length_mm";
  return signed_words ? number_words(a, 1) + " to " + face_words(row.id, sign * b)
                      : number_words(*row.planned_least, 1) + " to " + most;
}

std::vector<FaceRow> face_rows(const FaceRecord& record, const std::optional<FaceMove>& move) {
  const Mat3 head = natural_head(record);
  const std::optional<Vec3> shift = move ? std::optional<Vec3>(head * move->incisor_shift) : std::nullopt;
  const std::optional<double> up = shift ? std::optional<double>(shift->z()) : std::nullopt;
  std::vector<FaceRow> rows{show_row(record, "incisor_show_rest_mm", up), show_row(record, "incisor_show_smile_mm", up),
                            lip_length_row(record, up), midline_row(record, shift), cant_row(record, move, head)};
  if (shift && std::abs(shift->y()) > kStill) rows.push_back(lip_forward_row(*shift));
  FaceRow slide = row_of(record, "slide_forward_mm");
  slide.usual = "1.25, SD 1 (Posselt 1952, from memory)";
  if (slide.recorded && std::abs(*slide.recorded) > kStill)
    slide.remark = "scans in full closure stand so far from where the hinge closes the jaw";
  rows.push_back(std::move(slide));
  rows.push_back(row_of(record, "slide_left_mm"));
  return rows;
}

}  // namespace intercusp

#include "surgery/movement_note.h"

#include <cmath>
#include <cstdlib>

namespace intercusp {
namespace {

// Signed tenths: what a note says is rounded once, so that nothing shows as "0.0" or with a bare sign.
long long tenths_of(double value) {
  return std::llround(value * 10);
}

std::string amount(long long tenths) {
  const long long size = std::llabs(tenths);
  return std::to_string(size / 10) + "." + std::to_string(size % 10);
}

void say(std::vector<std::string>& phrases, long long tenths, const std::string& before, const char* unit,
         const char* positive, const char* negative, const std::string& after = {}) {
  if (tenths == 0) return;
  phrases.push_back(before + amount(tenths) + " " + unit + " " + (tenths > 0 ? positive : negative) + after);
}

void say_turns(std::vector<std::string>& phrases, const Angles& angles) {
  say(phrases, tenths_of(angles.pitch_deg), "pitch ", "degrees", "front up", "front down");
  say(phrases, tenths_of(angles.roll_deg), "roll ", "degrees", "left side down", "left side up");
}

std::string joined(const std::vector<std::string>& phrases) {
  if (phrases.empty()) return "no movement";
  std::string text;
  for (const std::string& phrase : phrases) text += (text.empty() ? "" : ", ") + phrase;
  return text;
}

Vec3 shift(const Pose& change, const PointMap& points, const char* name) {
  const Vec3& at = points.at(name);
  return change * at - at;
}

bool has_molars(const PointMap& points) {
  return points.count("molar_right") && points.count("molar_left");
}

// Heights at the three places, said together where they are equal.
void say_heights(std::vector<std::string>& phrases, long long incisors, long long right, long long left) {
  const auto height = [&phrases](long long tenths, const char* where) {
    say(phrases, tenths, "", "mm", "up", "down", where);
  };
  if (incisors == right && right == left) return height(incisors, "");
  height(incisors, " at the incisors");
  if (right == left) return height(right, " at the molars");
  height(right, " at the right molar");
  height(left, " at the left molar");
}

}  // namespace

PointMap note_points(const PointMap& points, Jaw jaw) {
  const int right = jaw == Jaw::lower ? 4 : 1, left = jaw == Jaw::lower ? 3 : 2;
  const auto find = [&points](int tooth, const char* feature) {
    return points.find(std::to_string(tooth) + "." + feature);
  };
  PointMap out;
  const auto edge_right = find(10 * right + 1, "incisal_edge_mid"), edge_left = find(10 * left + 1, "incisal_edge_mid");
  if (edge_right == points.end() || edge_left == points.end()) return out;
  out["incisors"] = 0.5 * (edge_right->second + edge_left->second);
  for (const int position : {6, 7}) {
    const auto r = find(10 * right + position, "mesiobuccal_cusp"), l = find(10 * left + position, "mesiobuccal_cusp");
    if (r == points.end() || l == points.end()) continue;
    out["molar_right"] = r->second;
    out["molar_left"] = l->second;
    break;
  }
  return out;
}

std::string write_movement_note(const std::string& segment_word, const PointMap& before, const Pose& change) {
  if (!before.count("incisors")) return {};
  const Vec3 incisors = shift(change, before, "incisors");
  const Angles angles = angles_of(change.linear());
  std::vector<std::string> phrases;
  say(phrases, tenths_of(-incisors.y()), "", "mm", "forward", "back");
  if (has_molars(before)) {
    say_heights(phrases, tenths_of(incisors.z()), tenths_of(shift(change, before, "molar_right").z()),
                tenths_of(shift(change, before, "molar_left").z()));
  } else {
    say(phrases, tenths_of(incisors.z()), "", "mm", "up", "down", " at the incisors");
    say_turns(phrases, angles);
  }
  say(phrases, tenths_of(incisors.x()), "midline ", "mm", "to the patient's left", "to the patient's right");
  say(phrases, tenths_of(angles.yaw_deg), "turned ", "degrees", "to the patient's left", "to the patient's right");
  return segment_word + ": " + joined(phrases) + ".";
}

std::string movement_words(const Movement& m) {
  std::vector<std::string> phrases;
  say(phrases, tenths_of(m.forward_mm), "", "mm", "forward", "back");
  say(phrases, tenths_of(m.up_mm), "", "mm", "up", "down");
  say(phrases, tenths_of(m.left_mm), "", "mm", "to the patient's left", "to the patient's right");
  say_turns(phrases, {m.pitch_deg, m.roll_deg, 0});
  say(phrases, tenths_of(m.yaw_deg), "yaw ", "degrees", "front to the patient's left", "front to the patient's right");
  return joined(phrases);
}

}  // namespace intercusp

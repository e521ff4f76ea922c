#pragma once

#include <nlohmann/json_fwd.hpp>

#include "practice/marking.h"

namespace intercusp {

/// What a student sees: {"kind", "skill", "seed", "difficulty", "prompt", "form", "how"}, and where the question has
/// them
/// {"sheet", "choices": [words], "ways": [positive, negative], "offered": [teeth], "landmark", "marked": [x, y, z]};
/// patient frame, mm.
nlohmann::json question_json(const PracticeQuestion& question);
/// The answer with where it comes from: {"truth", "definition", "source", "two_answers"}, and where the question has
/// them
/// {"measure", "note", "credits": [0..1], "probabilities": [0..1], "value", "uncertainty", "right_within",
/// "near_within" (all in mm; "value" of a skeletal pattern is ANB in degrees), "teeth", "doubtful", "at": [x, y, z]}.
nlohmann::json key_json(const PracticeQuestion& question);
/// {"verdict", "credit": 0..1, "seen", "meant", "why"}, and "off" in mm for a number or a point.
nlohmann::json mark_json(const Mark& mark);

}  // namespace intercusp

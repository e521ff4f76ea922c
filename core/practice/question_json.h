#pragma once

#include <nlohmann/json_fwd.hpp>

#include "practice/marking.h"

namespace intercusp {

/// {"kind","seed","difficulty","prompt","sheet","form","choices":[words],"how","unit","landmark","marked"}: what a
/// student sees.
nlohmann::json question_json(const PracticeQuestion& question);
/// {"truth","value","uncertainty","credits","teeth","doubtful","at","measure","definition","source","note",
/// "two_answers","probabilities"}: the answer with where it comes from.
nlohmann::json key_json(const PracticeQuestion& question);
/// {"verdict","credit","seen","meant","why","off"}
nlohmann::json mark_json(const Mark& mark);

}  // namespace intercusp

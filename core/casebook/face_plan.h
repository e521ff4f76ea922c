// What a plan makes of the face.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/case.h"

namespace intercusp {

/// How the upper teeth move between rest and these poses; empty where the upper central incisal edges are not placed.
/// `c` as with_cuts gives it. O(landmarks).
std::optional<FaceMove> face_move(const Case& c, const SegmentPoses& poses);

/// What a row speaks of, without what its sign means, which face_words says.
std::string face_name(const FaceRow& row);

/// {"face":[{"id","words","recorded","planned":[least, most],"usual","ratio","remark"}],"sex"}; null for what is not
/// known. `poses` empty: only what is recorded.
nlohmann::json face_report(const Case& c, const std::optional<SegmentPoses>& poses);

nlohmann::json face_to_json(const FaceRecord& record);
/// Error naming what is no number or out of its range.
Result<FaceRecord> face_from_json(const nlohmann::json& document);

}  // namespace intercusp

// What the parts of the teacher's page share.
#pragma once

#include "app/work/class_work.h"

namespace intercusp {

std::vector<MadeSet> kept_sets(Workspace& w);
void keep_sets(Workspace& w);
/// The set is there; results are gathered for it from now on.
void take_made(Workspace& w, const std::string& code, const std::optional<InboxAddress>& inbox, std::int64_t ends_ms);
/// Takes a set that has its code, with an inbox where one is wanted. `student_code`: what the students' link holds.
Status make_inbox_or_take(Workspace& w, const std::string& code, const std::string& student_code);

bool all_made(const ClassWork& c);
/// Marks once questions and signatures are there.
void mark_if_ready(Workspace& w);

}  // namespace intercusp

// Parts of a review that only its own sources use.
#pragma once

#include "app/work/review.h"

namespace intercusp {

constexpr char kViewingOnly[] = "this link is for viewing: nothing of the shared case can be changed with it";

/// Notes what was changed here since the last look; to be called before anything of others is shown.
void watch_changes(Workspace& w, ReviewState& r);
/// Carries entries that came from the others into the case.
void take_entries(Workspace& w, const std::vector<std::string>& bodies);
/// A live message of somebody: who, where they look and point, what they drag. `counts`: it was signed by one who may
/// change.
void take_live(Workspace& w, const std::string& session, const nlohmann::json& body, bool counts);
/// Somebody went.
void take_left(Workspace& w, const std::string& session);
/// Sends one's own live message when something of it changed, and follows the view of another.
void tend_people(Workspace& w, ReviewState& r);
/// The case begins to be opened: every entry is here.
Status open_shared(Workspace& w);
/// A body of it arrived: its bytes, or the number under which the host holds them.
void take_body(Workspace& w, std::size_t index, std::uint64_t held, std::vector<std::uint8_t> bytes);
/// Asks the host to put the open case on the server.
Status begin_sharing(Workspace& w, int days);

}  // namespace intercusp

// A case shared with others, as the program on the screen sees it: who is here, what they point at, what is published
// and what is taken. Network, keys and seals are the host's (Host::review); see docs/review.md and
// docs/review-protocol.md.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "app/view/camera.h"
#include "app/work/first_picture.h"
#include "app/work/workspace.h"
#include "review/agreed.h"
#include "review/sharing.h"

namespace intercusp {

/// Somebody else who is here now, as they last said themselves.
struct PersonHere {
  std::string name, role, author;
  std::string pointed_body;        ///< what their pointer is on; empty = on nothing
  Vec3 pointed_at = Vec3::Zero();  ///< mm, scan space of that body
  std::optional<Camera> camera;    ///< how they look at the case
  std::string plan;                ///< the one that they see
  bool asks_to_look = false;       ///< they asked the others to look with them
  double heard = 0;                ///< seconds on the app's clock
  std::string dragged_plan;        ///< name shown here of the plan that they are dragging
};

/// A remark that is being written.
struct RemarkDraft {
  std::string body, measure, text;
  Vec3 point = Vec3::Zero();
};

struct ReviewState {
  enum class Phase {
    asked,      ///< a link was opened: name and role are asked first
    uploading,  ///< the case is on its way to the server
    opening,    ///< the case is on its way from the server
    open
  };
  Phase phase = Phase::asked;
  Sharing sharing;
  std::string link;  ///< that was opened
  std::string author, change;
  std::string name, role;
  bool may_change = false, owner = false, keep = true;
  std::string view_link, change_link;
  std::int64_t ends_ms = 0;
  std::string connection = "connecting";  ///< connecting, live, offline
  std::size_t waiting = 0;                ///< entries not yet with the server
  std::string progress_words;             ///< what is on its way; empty = nothing
  double progress = 0;
  std::map<std::string, PersonHere> people;  ///< by session
  std::string following;                     ///< session whose view is followed; empty = none
  bool asking_to_look = false;

  std::string open_remark;  ///< id of the one whose thread is shown
  std::string scrolled_to;  ///< the one that its list has scrolled to
  std::string reply_text;
  std::optional<RemarkDraft> draft;
  bool shows_resolved = false, shows_versions = false;
  bool sure_to_delete = false, sure_to_revoke = false, code_for_changing = false;

  std::vector<StandingAgreement> standing;  ///< of the plan `standing_plan`, at that revision
  std::string standing_plan;
  std::uint64_t standing_at = ~0ull;

  /// What is fetched, in its order: first what makes the first picture, then the rest.
  struct Coming {
    std::size_t body = 0;
    bool coarse = false, first = false;
  };
  std::vector<Coming> coming;
  std::vector<Body> arriving, coarse;  ///< bodies fetched so far
  std::size_t wanted_bodies = 0, wanted_first = 0;
  FirstPicture first_picture;
  bool placing = false;            ///< the case that is being taken is this review's own
  std::uint64_t watched = ~0ull;   ///< revision of the document that was compared last
  double publish_at = 0;           ///< seconds; 0 = nothing waits
  double published_at = -1;        ///< seconds; when changes were sent last
  std::int64_t published_ms = 0;   ///< the same by the host's clock
  bool published_between = false;  ///< between two frames, when the app's clock stands still
  double live_at = 0;              ///< when the last live message went out
  std::string live_sent;           ///< its body without the counter
  std::uint64_t live_count = 0;
  std::string pointed_body;  ///< what one's own pointer is on
  Vec3 pointed_at = Vec3::Zero();
};

/// Whether a case is shared and open here.
bool in_review(const Workspace& w);

/// A link to a shared case, or its fragment ("review=1...."): asks who one is before it is opened.
bool is_review_link(const std::string& fragment);
Status ask_to_join(Workspace& w, const std::string& fragment);

/// What the host tells: {"event": ...} with the bytes that belong to it.
void take_review_event(Workspace& w, const nlohmann::json& event, std::vector<std::uint8_t> bytes);

/// Coarse bodies of the case that is on its way are to be shown: nothing else is open.
bool first_picture_shown(const Workspace& w);

/// Once a frame: publishes what was changed, tells the others where one points, follows somebody's view.
void tend_review(Workspace& w);
/// What there is to send is sent now, without the pause that a hand is given.
void publish_review(Workspace& w);
/// After a command, without waiting for the frame: what is due is sent.
void publish_if_due(Workspace& w);
/// Ends it: the case stays open as it is, no longer shared.
void leave_review(Workspace& w);

/// Writes an entry that changes no part of the case, and sends it.
Status write_entry(Workspace& w, nlohmann::json fields);
/// Why one cannot change the shared case; Done when one can.
Status may_change_review(const Workspace& w);

/// What holds of the plan worked on; looked through again only when an entry was added.
const std::vector<StandingAgreement>& standing_agreements(const Workspace& w);
/// For state(): people, remarks, agreements, versions, connection.
nlohmann::json review_json(const Workspace& w);
/// Lines of the sheet on who agreed to the plan; empty when the case is not shared.
std::vector<std::string> agreed_lines(const Workspace& w, const std::string& plan);

}  // namespace intercusp

// The shared case as state() tells it.
#include "app/work/command_table.h"
#include "app/work/review.h"
#include "base/sha256.h"
#include "review/agreed.h"

namespace intercusp {

namespace {

Json people_json(const ReviewState& r) {
  Json list = Json::array();
  for (const auto& [session, p] : r.people) {
    Json one = {{"session", session}, {"name", p.name}, {"role", p.role}, {"plan", p.plan}, {"look", p.asks_to_look}};
    if (!p.pointed_body.empty())
      one["pointer"] = {{"body", p.pointed_body}, {"point", {p.pointed_at.x(), p.pointed_at.y(), p.pointed_at.z()}}};
    list.push_back(std::move(one));
  }
  return list;
}

Json remarks_json(const SharedCase& shared) {
  Json list = Json::array();
  for (const Remark& r : shared.remarks()) {
    Json replies = Json::array();
    for (const RemarkReply& reply : r.replies) replies.push_back({{"name", reply.name}, {"text", reply.text}});
    list.push_back({{"id", r.id},
                    {"name", r.name},
                    {"text", r.text},
                    {"body", r.body},
                    {"measure", r.measure},
                    {"picture", r.picture ? r.picture->size() : 0},
                    {"resolved", r.resolved},
                    {"replies", std::move(replies)}});
  }
  return list;
}

Json agreed_json(const std::vector<StandingAgreement>& standing) {
  Json list = Json::array();
  for (const StandingAgreement& s : standing)
    list.push_back({{"part", s.agreement.part},
                    {"name", s.agreement.name},
                    {"role", s.agreement.role},
                    {"digest", s.agreement.digest},
                    {"key", key_fingerprint(s.agreement.author)},
                    {"current", s.current},
                    {"changes", s.changes}});
  return list;
}

Json versions_json(const SharedCase& shared, const std::string& plan) {
  Json list = Json::array();
  const SharedThing* thing = shared.shown_plan(plan).first;
  if (!thing) return list;
  for (const ThingVersion& v : thing->versions)
    list.push_back({{"id", v.id}, {"name", v.name}, {"time", v.time_ms}, {"shown_as", thing->lines[v.line].shown_as}});
  return list;
}

const char* phase_name(ReviewState::Phase phase) {
  switch (phase) {
    case ReviewState::Phase::asked:
      return "asked";
    case ReviewState::Phase::uploading:
      return "uploading";
    case ReviewState::Phase::opening:
      return "opening";
    default:
      return "open";
  }
}

}  // namespace

Json review_json(const Workspace& w) {
  const ReviewState& r = *w.review;
  Json out = {{"phase", phase_name(r.phase)},
              {"connection", r.connection},
              {"waiting", r.waiting},
              {"may_change", r.may_change},
              {"owner", r.owner},
              {"name", r.name},
              {"role", r.role},
              {"ends", r.ends_ms},
              {"view_link", r.view_link},
              {"change_link", r.change_link},
              {"key", key_fingerprint(r.author)},
              {"people", people_json(r)},
              {"following", r.following}};
  if (r.phase == ReviewState::Phase::opening) {
    out["progress"] = r.progress;
    out["first_picture"] = r.first_picture.shown;
  }
  if (!in_review(w)) return out;
  const SharedCase& shared = r.sharing.shared();
  out["entries"] = shared.entries().size();
  out["remarks"] = remarks_json(shared);
  out["agreed"] = agreed_json(standing_agreements(w));
  out["versions"] = versions_json(shared, w.plan);
  for (const ReviewFinding& finding : shared.findings()) out["findings"].push_back(finding.words);
  const std::string canonical = shared.canonical();
  out["digest"] = sha256_hex(canonical.data(), canonical.size());
  return out;
}

}  // namespace intercusp

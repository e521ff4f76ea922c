#include "shared_stage.h"

#include "casebook/case_json.h"
#include "casebook/digest.h"
#include "casebook/recipe_link.h"

namespace intercusp::window {

namespace {

const std::string kChange = base64url(std::string(32, 'C'));
const std::string kPartnerKey = base64url(std::string(32, 'p'));
const std::string kStageKey = base64url(std::string(32, 's'));
const std::string kFolder = "ICEiIyQlJicoKSorLC0uLw";
const std::string kView =
    "http://localhost:8080/#review=1." + kFolder + "." + std::string(43, 'V') + "." + std::string(22, 'k');
const std::string kChangeLink =
    "http://localhost:8080/#review=1." + kFolder + "." + std::string(43, 'V') + "." + std::string(43, 'C');

nlohmann::json about(bool may_change, bool owner) {
  return {{"folder", kFolder},  {"author", kStageKey},
          {"change", kChange},  {"may_change", may_change},
          {"owner", owner},     {"ends", 1771200000000},
          {"view_link", kView}, {"change_link", may_change ? kChangeLink : ""}};
}

}  // namespace

Partner::Partner(Stage& stage) : stage_(stage), sharing_(kChange) {}

EntryStamp Partner::stamp() {
  std::string bytes(16, '\x01');
  ++stamps_;
  for (int i = 0; i < 8; ++i) bytes[static_cast<std::size_t>(i)] = static_cast<char>(stamps_ >> (8 * i));
  return {base64url(bytes), kPartnerKey, name, role, 1770000000000 + static_cast<std::int64_t>(stamps_)};
}

void Partner::deliver(const std::vector<std::string>& bodies) {
  stage_.app().review_event({{"event", "entries"}, {"bodies", bodies}}, {});
  stage_.frames(2);
}

void Partner::read() {
  std::vector<std::string> bodies;
  const auto& asked = stage_.host().asked;
  for (; read_ < asked.size(); ++read_)
    if (asked[read_]["ask"] == "append") bodies.push_back(asked[read_]["body"]);
  (void)sharing_.take(&document_, bodies, plan_);
}

void Partner::share() {
  stage_.act("review_share", {{"name", "R. Falk"}, {"role", "orthodontist"}});
  nlohmann::json stored = about(true, true);
  stored["event"] = "stored";
  stored["bodies"] = nlohmann::json::array();
  stage_.app().review_event(stored, {});
  stage_.app().review_event({{"event", "connection"}, {"state", "live"}, {"waiting", 0}}, {});
  stage_.frames(2);
  for (; read_ < stage_.host().asked.size(); ++read_) {
    const auto& request = stage_.host().asked[read_];
    if (request["ask"] == "append") (void)sharing_.take(nullptr, {request["body"].get<std::string>()}, plan_);
  }
  document_ = Document(sharing_.shared().now());
}

void Partner::invite(bool may_change) {
  auto made = case_from_sample("class3", std::nullopt, 40000, false);
  Case c = made.ok() ? std::move(made).value() : Case{};
  Plan plan;
  plan.name = "A";
  plan.entries.push_back({"upper", {3, 0, 0, 0, 0, 0}, ""});
  c.plans.push_back(plan);
  const std::string begin =
      sharing_
          .write([&] { return stamp(); },
                 {{"do", "begin"}, {"change", kChange}, {"case", case_to_json(c)}, {"bodies", nlohmann::json::array()}})
          .value();
  document_ = Document(sharing_.shared().now());
  stage_.act("review_join", {{"link", kView}, {"name", "R. Falk"}, {"role", "orthodontist"}});
  nlohmann::json joined = about(may_change, false);
  joined["event"] = "joined";
  joined["bodies"] = {begin};
  stage_.app().review_event(joined, {});
  stage_.app().review_event({{"event", "connection"}, {"state", "live"}, {"waiting", 0}}, {});
  stage_.frames(4);
}

void Partner::write(nlohmann::json fields) {
  read();
  deliver({sharing_.write([&] { return stamp(); }, std::move(fields)).value()});
}

void Partner::move_upper(double forward_mm) {
  Case next = document_.now();
  for (PlanEntry& entry : next.find_plan("A")->entries) entry.movement.forward_mm = forward_mm;
  document_.change(std::move(next), "moved");
  deliver(sharing_
              .publish(
                  document_, [&] { return stamp(); }, plan_)
              .bodies);
}

void Partner::agree(const char* part) {
  read();
  const std::string digest = plan_digest(document_.now(), *document_.now().find_plan("A"));
  const SharedThing* thing = sharing_.shared().find_thing("plan", "A");
  write({{"do", "agree"}, {"part", part}, {"plan", "A"}, {"on", thing->lines[0].tip}, {"digest", digest}});
}

void Partner::live(const nlohmann::json& moves, const std::string& body, const Vec3& point) {
  nlohmann::json message = {{"count", ++lives_},     {"name", name}, {"role", role},
                            {"author", kPartnerKey}, {"plan", "A"},  {"look", false}};
  if (!body.empty()) message["pointer"] = {{"body", body}, {"point", {point.x(), point.y(), point.z()}}};
  if (!moves.is_null()) message["moves"] = moves;
  stage_.app().review_event(
      {{"event", "live"}, {"session", "partner"}, {"body", message}, {"counts", !moves.is_null()}}, {});
  stage_.frames(2);
}

void share_and_talk(Stage& stage, Partner& partner) {
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", -0.5}});
  partner.share();
  stage.act("back");
  const auto p = stage.act("project", {{"landmark", "13.cusp_tip"}});
  const auto hit = stage.act("pick", {{"x", p["x"]}, {"y", p["y"].get<float>() - 12}});
  const auto q = stage.act("project", {{"landmark", "43.cusp_tip"}});
  const auto low = stage.act("pick", {{"x", q["x"]}, {"y", q["y"].get<float>() + 12}});
  if (hit.contains("scan"))
    stage.act("remark", {{"body", hit["body"]},
                         {"point", hit["scan"]},
                         {"text", "Is the canine where you want it, or half a millimetre further back?"}});
  partner.write({{"do", "reply"},
                 {"to", stage.state()["review"]["remarks"][0]["id"]},
                 {"text", "Leave it; the premolar gives the stop."}});
  stage.act("agree", {{"part", "occlusion"}});
  partner.agree("movement");
  if (low.contains("scan")) partner.live(nullptr, low["body"], Vec3(low["scan"][0], low["scan"][1], low["scan"][2]));
  stage.act("stop", {{"name", "agree"}});
  stage.frames(4);
}

}  // namespace intercusp::window
